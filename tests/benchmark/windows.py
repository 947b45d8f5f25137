"""What all windows of one profile cost, in checks of that profile.

Run it where gonogo is installed with `pip install .`, on a machine that has nothing else to do:

    python tests/benchmark/windows.py

It prints a ratio for each vehicle of the example workshop, in CPU time of one process, and the
largest of them; meant to stay within 60. A check is the judgement alone: reading the file, which
every command does once, would only make the ratio look smaller. The tests hold no clock, since
machines differ.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from time import process_time

from gonogo.documents.loading import load, load_profile
from gonogo.documents.repository import open_repository
from gonogo.judgement.evaluation import hear
from gonogo.judgement.judge import judge
from gonogo.judgement.site_rules import shop_of
from gonogo.judgement.window import windows

VEHICLES = Path(__file__).parents[2] / "examples" / "workshop" / "vehicles"
JUDGED_ON = "2026-11-25"
REPEATS = 5
CHECKS = 20  # in one measurement: a single one is too short for the clock
MOST = 60


def cpu_s(work: Callable[[], object], times: int = 1) -> float:
    """The least CPU time of one call, over a few runs."""
    found = []
    for _ in range(REPEATS):
        start = process_time()
        for _ in range(times):
            work()
        found.append((process_time() - start) / times)
    return min(found)


def ratio(path: Path) -> float:
    """One vehicle's windows beside its check."""
    repository, inside = open_repository(path)
    profile, catalogue = load_profile(repository, inside), shop_of(repository).catalogue
    judge(profile, catalogue, JUDGED_ON)  # once unmeasured: tables are read
    check_s = cpu_s(lambda: judge(profile, catalogue, JUDGED_ON), CHECKS)
    windows_s = cpu_s(lambda: windows(hear(profile, catalogue, JUDGED_ON), catalogue))
    count = len(windows(hear(profile, catalogue, JUDGED_ON), catalogue))
    told = f"check {1000 * check_s:.2f} ms, {count} windows {1000 * windows_s:.0f} ms"
    print(f"{path.stem:14} {told}, ratio {windows_s / check_s:.0f}")
    return windows_s / check_s


if __name__ == "__main__":
    largest = max(ratio(path) for path in sorted(VEHICLES.glob("*.yaml")) if not load(path).motors)
    print(f"largest ratio {largest:.0f}, meant to stay within {MOST}")
