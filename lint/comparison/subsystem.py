"""Where a change belongs: a setting, the build, a reading or the papers, and which subsystem."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

Sort = Literal["setting", "build", "reading", "paper"]

# The part of the vehicle that a setting governs, by the longest beginning that fits.
GOVERNED: Mapping[str, str] = {
    "settings.battery_current_A": "pack",
    "settings.pack_nominal_V": "pack",
    "settings.low_voltage": "pack",
    "settings.over_voltage_trip_V": "pack",
    "settings.regen": "regen",
    "settings.throttle": "throttle",
    "settings.speed_shown": "drivetrain",
    "settings.temperature": "thermal",
    "settings": "motor",
}
SORTS: Mapping[str, Sort] = {
    "settings": "setting",
    "modes": "setting",
    "readings": "reading",
    "waivers": "paper",
    "house": "paper",
    "severities": "paper",
    "require": "paper",
    "rules": "paper",
}
ORDER = (
    "vehicle",
    "pack",
    "wiring",
    "controller",
    "motor",
    "throttle",
    "regen",
    "thermal",
    "drivetrain",
    "readings",
    "house",
    "waivers",
)
HOUSE = ("severities", "require", "rules")


def sort_of(quantity: str, mode: str = "") -> Sort:
    """What sort of thing a quantity is; what a mode overlays is a setting of that mode.

    >>> sort_of("settings.highest_rpm"), sort_of("pack.parallel"), sort_of("readings.pack_V")
    ('setting', 'build', 'reading')
    """
    head = quantity.split(".")[0]
    return SORTS.get(head, "setting" if mode else "build")


def subsystem(quantity: str) -> str:
    """The part of the vehicle that a quantity belongs to or governs.

    >>> subsystem("settings.low_voltage.stop_V"), subsystem("wiring.fuse.rated_A")
    ('pack', 'wiring')
    """
    head = quantity.split(".")[0]
    if head in HOUSE:
        return "house"
    if head == "modes":
        return "vehicle"
    if head != "settings":
        return head
    parts = quantity.split(".")
    beginnings = (".".join(parts[:length]) for length in range(len(parts), 0, -1))
    return next(GOVERNED[name] for name in beginnings if name in GOVERNED)


def rank(name: str) -> int:
    """The place of a subsystem in a report, from the pack to the wheel."""
    return ORDER.index(name) if name in ORDER else len(ORDER)
