"""What is left out of a profile never makes a failure caught that was not."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import gonogo

from ..hazards.test_hazards import base, changed, written

DAY = "2026-11-25"
# A build on which many failures are uncovered, each for an entry of its own.
OPEN = {
    "vehicle": {"steepest_grade_percent": 60},
    "pack": {"bms": {"cell_high_V": 4.6, "cell_low_V": 2.0}},
    "wiring": {"fuse": {"rated_V": 58}, "kill_switch": "none"},
    "throttle": {"brake_cut": False},
    "settings": {
        "throttle": {"lost_above_V": 5.4, "lost_below_V": "none"},
        "over_voltage_trip_V": 99.5,
        "field_weakening_A_rms": 60,
        "phase_current_A_rms": 290,
        "max_rpm": 7400,
    },
    "readings": {"throttle": {"open_ground_V": 3.0}},
}


def keys(build: Mapping[str, Any], before: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    """Every key of a build, sections and what is in them."""
    for key, value in build.items():
        yield (*before, key)
        if isinstance(value, Mapping):
            yield from keys(value, (*before, key))


def without(path: tuple[str, ...]) -> dict[str, Any]:
    """The change that takes a key out."""
    change: Any = "~remove"
    for key in reversed(path):
        change = {key: change}
    return dict(change)


def settled(path: Path) -> dict[str, bool | None]:
    return {one.failure: one.covered for one in gonogo.rehearse(path, as_of=DAY)[""]}


def test_no_missing_entry_catches_a_failure(tmp_path: Path) -> None:
    """A builder who leaves out what is wrong with his vehicle hears no better of it."""
    build = changed(base(), OPEN)
    before = settled(written(build, tmp_path))
    uncovered = [name for name, covered in before.items() if covered is False]
    assert len(uncovered) > 9
    better: dict[str, list[str]] = {}
    for path in keys(build):
        if path in (("gonogo",), ("vehicle",), ("vehicle", "name")):
            continue
        now = settled(written(changed(build, without(path)), tmp_path))
        caught = [
            name for name, covered in before.items() if not covered and now.get(name, True) is True
        ]
        if caught:
            better[".".join(path)] = caught
    assert not better
