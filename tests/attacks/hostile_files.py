"""A small shop, and a profile of it with a danger that somebody wants to be overlooked."""

from __future__ import annotations

import io
import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from gonogo.commands import check, diff

from .hostile_git import call

STORY = Path(__file__).parents[1] / "catalogue" / "stories" / "hotter-tune" / "before.yaml"
SOUND = STORY.read_text("utf-8")
HAZARD = SOUND.replace("battery_current_A: 75", "battery_current_A: 300").replace(
    "name: Foxglove", "name: Hemlock"
)
DAY = "2026-11-25"
BEGINNING = "first"


@dataclass(frozen=True)
class Answered:
    """A status, and the report as a record."""

    status: int
    record: dict[str, Any]

    @property
    def errors(self) -> list[str]:
        """The files of which something was not read."""
        return [error["file"] for error in self.record["errors"]]


def checked(*paths: Path, strict: bool = False) -> Answered:
    """What a check of some paths comes to."""
    out = io.StringIO()
    status = check.run(paths, "json", as_of=DAY, strict=strict, out=out)
    return Answered(status, json.loads(out.getvalue()))


def compared(top: Path, *sides: str) -> Answered:
    """What a comparison of a whole tree with its first commit comes to."""
    out = io.StringIO()
    status = diff.run(sides, BEGINNING, "json", as_of=DAY, out=out, here=top)
    return Answered(status, json.loads(out.getvalue()))


def verdicts(answered: Answered) -> dict[str, str]:
    """The verdict of each profile by its file, in a check or on the new sides of a comparison."""
    if "profiles" in answered.record:
        return {one["file"]: one["verdict"] for one in answered.record["profiles"]}
    sides = [(one["new"], one["verdict"]["new"]) for one in answered.record["comparisons"]]
    return {side["file"]: verdict for side, verdict in sides if side}


def committed(top: Path, name: str = BEGINNING) -> None:
    """Everything in a folder as a commit with a tag."""
    if not (top / ".git").is_dir():
        call(top, "git", "init", "--quiet", "--initial-branch=main")
    call(top, "git", "add", "--all", "--force")
    call(top, "git", "commit", "--quiet", "--allow-empty", "--message", name)
    call(top, "git", "tag", "--force", name)


def write(path: Path, data: str | bytes) -> None:
    """A file, with the folders on its way."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data if isinstance(data, bytes) else data.encode())


def plain_git() -> Sequence[tuple[str, str]]:
    """An environment in which git has no settings of whoever runs the tests."""
    names = [
        (f"GIT_{who}_{key}", value)
        for who in ("AUTHOR", "COMMITTER")
        for key, value in (("NAME", "Test"), ("EMAIL", "test@example.org"))
    ]
    return [("GIT_CONFIG_GLOBAL", "/dev/null"), ("GIT_CONFIG_NOSYSTEM", "1"), *names]
