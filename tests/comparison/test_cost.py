"""What a comparison costs: little more than judging both sides, or nobody would run it on a tree."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path
from time import process_time

from gonogo.commands import check, diff

from .revision import EXAMPLES, JUDGED_ON

BOUND = 2.5  # times the CPU that checking one takes, start-up left out
ROUNDS = 12
STORIES = sorted(path for path in (EXAMPLES / "revisions").iterdir() if path.is_dir())


def seconds(work: Callable[[], object]) -> float:
    """CPU of one call."""
    start = process_time()
    work()
    return process_time() - start


def checked(path: Path) -> None:
    """A profile read, judged and reported."""
    check.run([path], as_of=JUDGED_ON, out=io.StringIO())


def compared(old: Path, new: Path) -> None:
    """Two profiles read, judged, compared and reported."""
    diff.run([str(old), str(new)], as_of=JUDGED_ON, out=io.StringIO())


def test_two_profiles_compared_cost_less_than_two_and_a_half_checks() -> None:
    """Of one of the two, taken at their mean, over all stories; each at its best of some rounds."""
    one = both = 0.0
    for folder in STORIES:
        old, new = folder / "before.yaml", folder / "after.yaml"
        works = (lambda: checked(old), lambda: checked(new), lambda: compared(old, new))  # noqa: B023
        rounds = [[seconds(work) for work in works] for _ in range(ROUNDS)]
        best = [min(times) for times in zip(*rounds, strict=True)]
        one += (best[0] + best[1]) / 2
        both += best[2]
    assert len(STORIES) >= 5
    assert both <= BOUND * one, f"{both / one:.2f} times"
