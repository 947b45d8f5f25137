"""The README and the topics as stories: their code blocks, in order, acted out in a folder."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).parents[1]
PAGES = (ROOT / "README.md", *sorted((ROOT / "lint" / "topics").glob("*.md")))
DAY = "2026-11-25"
DATED = ("check", "diff", "history", "window")
BLOCK = re.compile(
    r"^<!-- in (?P<file>\S+): (?P<old>.+) → (?P<new>.+) -->$|^```(?P<language>\w*)\n(?P<text>.*?)^```$",
    re.MULTILINE | re.DOTALL,
)
ELLIPSIS = "…"
GIT = ("git", "-c", "user.name=Bench", "-c", "user.email=bench@example.org")


class Block(NamedTuple):
    """A code block of a page with its language; or what the page says is entered otherwise."""

    language: str
    text: str
    edit: tuple[str, str, str] | None = None


def blocks(page: Path) -> Iterator[Block]:
    """The blocks of a page in order."""
    for found in BLOCK.finditer(page.read_text("utf-8")):
        if found["file"]:
            yield Block("", "", (found["file"], found["old"], found["new"]))
        else:
            yield Block(found["language"], found["text"])


def bench(folder: Path) -> Path:
    """A folder with all that the pages name: the examples, and a bike under git with two tunes."""
    shutil.copytree(ROOT / "examples", folder / "examples")
    larch = (ROOT / "tests" / "commands" / "bench" / "larch.yaml").read_text("utf-8")
    (folder / "vehicles").mkdir()
    before, after = larch, larch.replace("name: Larch", "name: Larch 2", 1)
    for name, text in (("old", before), ("new", after), ("vehicles/larch", before)):
        (folder / f"{name}.yaml").write_text(text, "utf-8")
    git = (("init", "-q", "-b", "main"), ("add", "."), ("commit", "-qm", "First"), ("tag", "v1"))
    for arguments in git:
        subprocess.run([*GIT, *arguments], cwd=folder, check=True)
    (folder / "vehicles" / "larch.yaml").write_text(after, "utf-8")
    return folder


class Shown(NamedTuple):
    """A call of a page, its status, and all that it printed."""

    call: str
    status: int
    out: str
    err: str


def acted(page: Path, folder: Path) -> Iterator[tuple[str, Shown]]:
    """Each screen of a page, empty for a call without one, with the last call before it, made here.

    A profile is written to wren.yaml, readings go behind it, and what is entered otherwise counts
    until the next screen.
    """
    wren = folder / "wren.yaml"
    calls: list[Shown] = []
    again = ""
    for block in blocks(page):
        if block.edit is not None:
            again = _entered(folder, *block.edit)
            calls = [called(calls[-1].call, folder)]
        elif block.language == "yaml" and block.text.startswith("gonogo: profile/1"):
            wren.write_text(block.text, "utf-8")
        elif block.language == "yaml" and block.text.startswith("readings:") and wren.exists():
            wren.write_text(wren.read_text("utf-8") + block.text, "utf-8")
        elif block.language == "sh":
            calls = [called(call, folder) for call in _calls(block.text)]
            yield from (("", call) for call in calls)
        elif not block.language:
            yield block.text, calls[-1]
            if again:
                wren.write_text(again, "utf-8")
                again = ""


def _entered(folder: Path, file: str, old: str, new: str) -> str:
    """Enter a value otherwise; returns what stood there."""
    text = (folder / file).read_text("utf-8")
    assert text.count(old) == 1
    (folder / file).write_text(text.replace(old, new), "utf-8")
    return text


def _calls(text: str) -> Iterator[str]:
    """The calls of gonogo in a block, each with the folder into which the block went."""
    inside = ""
    for line in text.splitlines():
        if line.startswith("cd "):
            inside = f"{line} && "
        elif line.startswith("gonogo "):
            yield inside + line


def called(call: str, folder: Path) -> Shown:
    """A call as the page has it, on the day of the pages."""
    inside, _, plain = call.rpartition(" && ")
    words = shlex.split(plain, comments=True)
    dated = ["--as-of", DAY] if words[1] in DATED and "--as-of" not in words else []
    done = subprocess.run(
        [sys.executable, "-m", "gonogo", *words[1:], *dated],
        cwd=folder / inside.removeprefix("cd "),
        env={**os.environ, "COLUMNS": "80"},
        capture_output=True,
        text=True,
        check=False,
    )
    return Shown(call, done.returncode, done.stdout, done.stderr)


def is_shown(screen: str, out: str) -> bool:
    """Whether a call printed a screen, up to what it leaves out with an ellipsis; rules only count."""
    shown, printed = uncounted(screen), uncounted(out)
    if not shown.startswith(f" {ELLIPSIS}\n"):
        first = shown.split(f" {ELLIPSIS}\n")[0]
        if not printed.startswith(first):
            return False
    place = 0
    for piece in shown.split(f" {ELLIPSIS}\n"):
        found = printed.find(piece, place)
        if found < 0:
            return False
        place = found + len(piece)
    return shown.endswith(f" {ELLIPSIS}\n") or place == len(printed)


def uncounted(text: str) -> str:
    """A report without how many rules there are, and how many of them wait."""
    counts = r"(?:[0-9]+|…) (of # rules|rules checked|not checked|out of scope|rules: values|of these rules required)"
    text = re.sub("of (?:[0-9]+|…) rules", "of # rules", text)
    return re.sub(r"(?:[0-9]+|…) (readings|entries)", r"# \1", re.sub(counts, r"# \1", text))
