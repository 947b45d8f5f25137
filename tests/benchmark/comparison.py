"""What comparing two profiles costs, in checks of one of them.

Run it where gonogo is installed with `pip install .`, on a machine that has nothing else to do:

    python tests/benchmark/comparison.py

It prints a ratio for each story of `examples/revisions` and their mean, in CPU time of one process,
start-up left out; meant to stay within 2.5 times a check of the two sides' mean. Both are the whole
command: reading, judging, comparing and reporting.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path
from time import process_time

from gonogo.commands import check, diff

REVISIONS = Path(__file__).parents[2] / "examples" / "revisions"
JUDGED_ON = "2026-11-25"
ROUNDS = 12
MOST = 2.5


def cpu_s(work: Callable[[], object]) -> float:
    """The least CPU time of one call, over some rounds."""
    found = []
    for _ in range(ROUNDS):
        start = process_time()
        work()
        found.append(process_time() - start)
    return min(found)


def checked_s(path: Path) -> float:
    """A profile read, judged and reported."""
    return cpu_s(lambda: check.run([path], as_of=JUDGED_ON, out=io.StringIO()))


def story(folder: Path) -> tuple[float, float]:
    """The cost of one check of a story's sides, taken at their mean, and of their comparison."""
    old, new = folder / "before.yaml", folder / "after.yaml"
    one_s = (checked_s(old) + checked_s(new)) / 2
    both_s = cpu_s(lambda: diff.run([str(old), str(new)], as_of=JUDGED_ON, out=io.StringIO()))
    print(
        f"{folder.name:20} check {1000 * one_s:.1f} ms, comparison {1000 * both_s:.1f} ms,"
        f" ratio {both_s / one_s:.2f}"
    )
    return one_s, both_s


if __name__ == "__main__":
    costs = [story(folder) for folder in sorted(REVISIONS.iterdir()) if folder.is_dir()]
    mean = sum(both for _, both in costs) / sum(one for one, _ in costs)
    print(f"mean ratio {mean:.2f}, meant to stay within {MOST}")
