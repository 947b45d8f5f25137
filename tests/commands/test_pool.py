"""Work shared out over processes comes to the same as without, only sooner."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

from gonogo.commands.diff import run

STORY = Path(__file__).parents[1] / "catalogue" / "stories" / "hotter-tune"
CALM = (STORY / "before.yaml").read_text("utf-8")
HOT = (STORY / "after.yaml").read_text("utf-8")
MANY = 45  # just enough for two processes


def compared(here: Path, jobs: int) -> str:
    """The record of a tree's comparison."""
    out = io.StringIO()
    run([], out=out, here=here, as_of="2026-11-25", against="HEAD", form="json", jobs=jobs)
    return out.getvalue()


def test_several_processes_compare_alike(git: Any) -> None:
    """In the same order, word for word."""
    for number in range(MANY):
        git.write(f"vehicles/v{number:02}.yaml", CALM)
    git.commit("Many")
    for number in range(MANY):
        warmer = HOT if number % 9 == 0 else CALM.replace("A: 75", "A: 78")
        git.write(f"vehicles/v{number:02}.yaml", warmer)
    one, two = (compared(git.folder, jobs) for jobs in (1, 2))
    assert one == two
    assert len(json.loads(one)["comparisons"]) == MANY
