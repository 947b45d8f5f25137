"""What a profile states, as plain data: one value a quantity, by subsystem."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Literal

from ..documents.given import Given
from ..documents.profile import BASE, Profile, Waiver

Category = Literal["setting", "build", "reading", "record"]

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
CATEGORY_OF: Mapping[str, Category] = {
    "settings": "setting",
    "modes": "setting",
    "readings": "reading",
    "waivers": "record",
    "house": "record",
    "severities": "record",
    "require": "record",
    "rules": "record",
}
REPORT_ORDER = (
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
HOUSE_KEYS = ("severities", "require", "rules")


def category_of(quantity: str, mode: str = "") -> Category:
    """What sort of thing a quantity is; what a mode overlays is a setting of that mode.

    >>> category_of("settings.max_rpm"), category_of("pack.parallel"), category_of("readings.pack_V")
    ('setting', 'build', 'reading')
    """
    head = quantity.split(".")[0]
    return CATEGORY_OF.get(head, "setting" if mode else "build")


def subsystem(quantity: str) -> str:
    """The part of the vehicle that a quantity belongs to or governs.

    >>> subsystem("settings.low_voltage.cutoff_V"), subsystem("wiring.fuse.rated_A")
    ('pack', 'wiring')
    """
    head = quantity.split(".")[0]
    if head in HOUSE_KEYS:
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
    return REPORT_ORDER.index(name) if name in REPORT_ORDER else len(REPORT_ORDER)


# A value's mode ("" for the base settings) and the name of its quantity.
StatedKey = tuple[str, str]
Statement = dict[StatedKey, Any]

NO_NUMBER = "none"
DROPPED = "dropped"  # a mode leaves out what the base gives
SET = "set"  # a mode, an own rule or a required entry is there


def statement(profile: Profile) -> Statement:
    """Everything that a profile says, its parts and its shop's house file included.

    Places, order, comments and spelling are no part of it.
    """
    stated: Statement = {
        (BASE, name): stated_value(given) for name, given in profile.givens.items()
    }
    for section, part in profile.parts.items():
        stated[BASE, f"{section}.part"] = part
    for mode, changes in profile.modes.items():
        stated[mode, f"modes.{mode}"] = SET
        for name, given in changes.items():
            stated[mode, name] = DROPPED if given is None else stated_value(given)
    stated.update(_waivers(profile.waivers))
    stated.update(house_statement(profile))
    return stated


def stated_value(given: Given) -> Any:
    """The canonical value; `none` for a number that the vehicle does not have."""
    return NO_NUMBER if given.value is None else given.value


def _waivers(waivers: tuple[Waiver, ...]) -> Iterator[tuple[StatedKey, Any]]:
    """Waivers by the rule that they are for: their order says nothing."""
    met: dict[StatedKey, int] = {}
    for waiver in waivers:
        mode = waiver.mode or BASE
        number = met[mode, waiver.rule] = met.get((mode, waiver.rule), 0) + 1
        name = f"waivers.{waiver.rule}" + (f".{number}" if number > 1 else "")
        yield (mode, f"{name}.until"), waiver.until
        yield (mode, f"{name}.reason"), waiver.reason
        if waiver.accepts is not None:
            yield (mode, f"{name}.accepts"), waiver.accepts


def house_statement(profile: Profile) -> Iterator[tuple[StatedKey, Any]]:
    """What a shop's house file states: allowances, severities, required entries and own rules."""
    house = profile.house
    for name, given in house.allowances.items():
        yield (BASE, name), given.value
    for rule, severity in house.severities.items():
        yield (BASE, f"severities.{rule}"), severity
    for name in house.require:
        yield (BASE, f"require.{name}"), SET
    for document in house.rules:
        yield (BASE, f"rules.{document.value['id']}"), document.value


def given_at(key: StatedKey, profile: Profile) -> Given | None:
    """The entry in the documents behind a stated value, where it is one of the profile's."""
    mode, name = key
    if mode == BASE:
        return profile.givens.get(name) or profile.house.allowances.get(name)
    changes: Mapping[str, Given | None] = profile.modes.get(mode, {})
    return changes.get(name)
