"""Before and after in words: values that moved, findings that came and went."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any

from ..comparison.change import ValueChange
from ..comparison.consequence import Consequence
from ..comparison.finding_change import FindingChange, Way
from ..comparison.margin import Margin
from ..comparison.statement import DROPPED, SET, Category
from ..documents.text import so_many
from ..documents.units import unit_apart, unit_symbol
from ..expressions.formatting import apart, listed, number, shown

ARROW = "→"
MOST_INSIDE = 3
AS_WRITTEN = "as written"
BACK_NOW = "not checked: the vehicle was retired"
OLD_UNKNOWN = "not known: the old side cannot be read"
TEETH = ("driving_teeth", "driven_teeth")
LOAD_KEYS = frozenset(("current_A", "power_W"))  # a load gives the one or the other


def value_words(value: Any, unit: str, digits: int = 4) -> str:
    """A value as a person says it; a chain's stages by their teeth.

    >>> value_words(({"driving_teeth": 14, "driven_teeth": 42},), "")
    '14:42'
    """
    if isinstance(value, Mapping):
        stage = [value.get(key) for key in TEETH]
        if None not in stage:
            return ":".join(map(str, stage))
        loads = value if LOAD_KEYS.isdisjoint(value) else {"": value}
        named = all(
            isinstance(load, Mapping) and LOAD_KEYS & load.keys() for load in loads.values()
        )
        return shown(value) if loads and named else AS_WRITTEN
    if isinstance(value, tuple | list):
        words = ", ".join(value_words(member, "", digits) for member in value) or "none"
        return f"{words} {unit_symbol(unit)}".rstrip()
    if value == DROPPED:
        return "left out"
    return shown(value, unit, digits)


def change_movement(change: ValueChange) -> str:
    """What became of a stated value; of an own rule, what in it is different."""
    inside = change.inner_changes if isinstance(change.old, Mapping) else ()
    if not inside:
        return movement(change.old, change.new, change.unit)
    words = [f"{place.at} {inner_movement(place.old, place.new)}" for place in inside[:MOST_INSIDE]]
    more = len(inside) - MOST_INSIDE
    return ", ".join(words) + (f", and {more} more" if more > 0 else "")


def change_in_words(change: ValueChange) -> str:
    """A change by itself: `low_voltage.cutoff_V 48 → 50 V`, `battery_current_A in road 60 → 80 A`."""
    mode = f" in {change.mode}" if change.mode else ""
    return f"{short_key(change.entered_as)}{of_motors(change)}{mode} {change_movement(change)}"


def inner_movement(old: Any, new: Any) -> str:
    """What became of a value inside another; of a sentence no more than that.

    >>> inner_movement("The stop of {of} is low.", "The stop is low."), inner_movement(3, 4)
    ('reworded', '3 → 4')
    """
    if any(isinstance(side, str) and side.rstrip().endswith(".") for side in (old, new)):
        return "now there" if old is None else "gone" if new is None else "reworded"
    return movement(old, new, "")


def movement(old: Any, new: Any, unit: str) -> str:
    """Both values, the unit said once.

    >>> movement(75.0, 95.0, "A"), movement(None, 5.0, "V")
    ('75 → 95 A', 'now 5 V')
    """
    if old is None:
        return "now there" if _is_long(new) else f"now {value_words(new, unit)}"
    if new is None:
        return "gone" if _is_long(old) else f"gone, was {value_words(old, unit)}"
    numbers = (int, float)
    if _is_long(old):
        return "rewritten"
    if not (isinstance(old, numbers) and isinstance(new, numbers)) or isinstance(old, bool):
        return f"{value_words(old, unit)} {ARROW} {value_words(new, unit)}"
    digits = apart(old, new)
    return f"{number(old, digits)} {ARROW} {shown(new, unit, digits)}"


def _is_long(value: Any) -> bool:
    """Whether a value is only there or not, or too long to be told, as an own rule is."""
    return value == SET or (isinstance(value, Mapping) and value_words(value, "") == AS_WRITTEN)


def worked_movement(moved: Consequence) -> str:
    """A calculated quantity's two values; one that is only a bound says so."""
    bound = next((side for side in (moved.old_side, moved.new_side) if side.startswith("no ")), "")
    if moved.old is None:
        return f"now {value_words(moved.new, moved.unit)}"
    if moved.new is None:
        return f"not known, was {value_words(moved.old, moved.unit)}"
    words = movement(moved.old, moved.new, moved.unit)
    return f"{bound} {words}" if bound else words


def signed(by: float | None) -> str:
    """By how much, with its sign; empty where that says nothing.

    >>> signed(-0.6), signed(20.0)
    ('−0.6', '+20')
    """
    if by is None:
        return ""
    return f"{'+' if by > 0 else ''}{number(by, 4)}"


def percentage(share: float | None) -> str:
    """By what share, in percent.

    >>> percentage(0.2667), percentage(-0.5)
    ('+27%', '−50%')
    """
    if share is None:
        return ""
    return f"{'+' if share > 0 else ''}{number(share * 100, 2 if abs(share) < 1 else 3)}%"


def entry_steps(change: ValueChange) -> str:
    """How many entry steps a setting moved; empty where that says no more than its unit does."""
    if change.by is None or not change.step:
        return ""
    count = abs(change.by) / change.step
    if change.step == 1 or abs(count - round(count)) > 1e-6:
        return ""
    return so_many(round(count), "step")


def respelling(change: ValueChange) -> str:
    """What is only written otherwise: the keys of both sides, or the part that says it now."""
    if change.quantity.endswith(".part"):
        section = change.entered_as.removesuffix(".part")
        if change.old is None:
            return f"{section} is now taken from the part {change.new}"
        return f"{section} is no longer taken from the part {change.old}"
    old, new = short_key(change.old_as), short_key(change.entered_as)
    value = value_words(change.new, change.unit)
    return f"{old} is now entered as {new}, {value}: the same value{of_motors(change)}"


def of_motors(change: ValueChange | Consequence | Margin) -> str:
    """Of which motors a value is, where its key does not say so: ` of motor left`."""
    if not change.motors:
        return ""
    return f" of motor{'s' if len(change.motors) > 1 else ''} {listed(change.motors, 'and')}"


def of_each(moved: Consequence | Margin) -> str:
    """Of which motors a worked value or margin is: ` of motors left and right, each`."""
    return of_motors(moved) + (", each" if len(moved.motors) > 1 else "")


def short_key(entered_as: str) -> str:
    """A key without the section that a heading names already.

    >>> short_key("settings.low_voltage.cutoff_V"), short_key("modes.road.throttle.ramp_ms"), short_key("pack.series")
    ('low_voltage.cutoff_V', 'throttle.ramp_ms', 'pack.series')
    """
    parts = entered_as.split(".")
    if parts[0] == "modes" and len(parts) > 2:
        return ".".join(parts[2:])
    return ".".join(parts[1:]) if parts[0] in ("settings", "readings") else entered_as


def margin_way(margin: Margin) -> str:
    """What became of a margin, in one word."""
    if margin.new.room < 0:
        return "exceeded" if margin.old.room >= 0 else "still exceeded"
    if margin.old.room < 0:
        return "now met"
    return "smaller" if margin.by < 0 else "larger"


def margin_movement(margin: Margin) -> str:
    """The margin on both sides; a difference of temperatures has no zero of its own."""
    return movement(margin.old.room, margin.new.room, unit_apart(margin.unit))


def margin_limit(margin: Margin) -> str:
    """The limit on the new side: `at most 80 A`."""
    strict = margin.rule.strict
    if margin.new.upper:
        word = "less than" if strict else "at most"
    else:
        word = "more than" if strict else "at least"
    return f"{word} {shown(margin.new.limit, margin.unit)}"


WAY_TITLES: dict[Way, str] = {
    "introduced": "New findings",
    "worsened": "Findings that got worse",
    "resolved": "Resolved findings",
    "standing": "Unchanged findings",
}


def was(change: FindingChange, is_unknown: bool = False, is_back: bool = False) -> str:
    """What stood there before a finding was new or got worse, where it is not `is_unknown`.

    One that `is_back` was no vehicle of the shop in between, and not checked.
    """
    if is_back:
        return BACK_NOW
    if is_unknown:
        return OLD_UNKNOWN
    if change.old is None:
        what = "motor" if change.finding.motors else "vehicle"
        return {
            "clear": "OK",
            "not_checked": "not checked: values missing",
            "out_of_scope": "out of scope for this vehicle",
            None: f"no such {what}: it is new",
        }.get(change.other_side, "OK")
    if change.new is not None and change.old.severity != change.new.severity:
        return f"{change.old.severity}: {change.old.message}"
    if change.old.waived and change.new is not None and not change.new.waived:
        return f"waived until {change.old.waived.until}"
    return change.old.message


def unflagged_because(change: FindingChange) -> str:
    """Why a finding went, or is less grave, with nothing on the vehicle corrected."""
    if change.is_let_through:
        what = listed(change.rule_changed, "and")
        return f"new, and let through: the same change brought {what}, without which it is flagged."
    now = f"{change.new.severity} now" if change.new is not None else "not resolved"
    return f"{now}: the shop changed {listed(change.rule_changed, 'and')}, not the vehicle."


def notes(change: FindingChange) -> list[str]:
    """What has to be said beside a short finding, lest it be misread."""
    words = []
    if change.other_side == "not_checked":
        words.append("not resolved: a value is missing now, so the rule cannot be checked.")
    if change.missing:
        words.append(f"not resolved: {listed(change.missing, 'and')} is missing now.")
    elif change.other_side == "out_of_scope" and not change.rule_changed:
        words.append("only because the rule no longer applies to the vehicle.")
    if change.rule_changed:
        words.append(unflagged_because(change))
    elif change.improved:
        words.append("smaller than before.")
    if change.new is not None and change.new.waived:
        before = change.old.waived if change.is_waived_longer and change.old is not None else None
        longer = f" instead of {before.until}" if before is not None else ""
        words.append(f"waived until {change.new.waived.until}{longer}: {change.new.waived.reason}")
    return words


TITLES: dict[Category, str] = {
    "setting": "Settings",
    "build": "Build",
    "reading": "Readings",
    "record": "House file and waivers",
}


@dataclass(frozen=True, slots=True)
class Chapter:
    """Changes under one title, in the order of the subsystems."""

    title: str
    changes: tuple[ValueChange, ...]


def chapters(changes: Iterable[ValueChange]) -> list[Chapter]:
    """All changes that are more than another way of writing, under their titles; a new mode says so in its own."""
    real = [change for change in changes if change.kind != "equivalent"]
    parts = []
    for (category, mode), group in groupby(real, lambda change: (change.category, change.mode)):
        members = tuple(group)
        if category == "setting" and mode:
            parts.append(_of_mode(mode, members))
        else:
            parts.append(Chapter(TITLES[category], members))
    return parts


def _of_mode(mode: str, changes: tuple[ValueChange, ...]) -> Chapter:
    whole = next((change for change in changes if change.quantity == f"modes.{mode}"), None)
    rest = tuple(change for change in changes if change is not whole)
    if whole is None:
        return Chapter(f"Mode {mode}", rest)
    return Chapter(f"Mode {mode}, {'new' if whole.new == SET else 'gone'}", rest)
