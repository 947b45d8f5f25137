"""What is stated otherwise on the new side: each value with its unit, its step and its share."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

from ..documents.given import Given
from ..documents.house import allowance_entries
from ..documents.location import Place
from ..documents.motors import entry_path
from ..documents.profile import BASE, Profile
from ..documents.schema import Property, allowances, canonical, properties
from ..documents.trade_units import GAUGE_UNIT
from ..documents.wire_gauge import gauge_of_section
from ..quantities.number import NOISE, is_number, rounded_to, tidy
from .statement import Category, StatedKey, Statement, category_of, given_at, rank, subsystem


@dataclass(frozen=True, slots=True)
class InnerChange:
    """One place inside a value, `2.driven_teeth`, counted from 1; None where a side has none."""

    at: str
    old: Any
    new: Any


def is_nested(value: Any) -> bool:
    """Whether there is something inside a value."""
    return isinstance(value, list | tuple | Mapping)


def inner_changes(old: Any, new: Any) -> tuple[InnerChange, ...]:
    """What differs inside two nested values, in the order of the places.

    >>> inner_changes([{"driving_teeth": 14, "driven_teeth": 42}], [{"driving_teeth": 14, "driven_teeth": 48}])
    (InnerChange(at='1.driven_teeth', old=42, new=48),)
    """
    if not (is_nested(old) and is_nested(new)):
        return ()
    from deepdiff import DeepDiff

    raw = DeepDiff(_lists(old), _lists(new), view="tree", threshold_to_diff_deeper=0)
    return tuple(sorted(_places(raw), key=lambda place: place.at))


def _lists(value: Any) -> Any:
    """Tuples as lists: which of the two it is says nothing."""
    if isinstance(value, Mapping):
        return {key: _lists(member) for key, member in value.items()}
    return [_lists(member) for member in value] if isinstance(value, list | tuple) else value


def _places(raw: Mapping[str, Any]) -> Iterator[InnerChange]:
    for levels in raw.values():
        for level in levels:
            way = level.path(output_format="list")
            at = ".".join(str(part + 1) if isinstance(part, int) else part for part in way)
            yield InnerChange(at, _value(level.t1), _value(level.t2))


def _value(value: Any) -> Any:
    """What a side has there; deepdiff marks a missing value in its own way."""
    known = (int, float, str, bool, list, Mapping)
    return value if isinstance(value, known) else None


Effect = Literal["none", "raised", "other"]
ChangeKind = Literal["changed", "added", "removed", "equivalent"]
CATEGORY_ORDER: tuple[Category, ...] = ("setting", "build", "reading", "record")
POINTS = ("degC", "degF")  # a share of a temperature says nothing
GAUGE_NEAR = 0.02  # of a cross-section: it is still that of its gauge


@dataclass(frozen=True, slots=True)
class Spelling:
    """Under which key a value stands in a document: canonical = `factor` × entered + `offset`."""

    entered_as: str
    factor: float
    offset: float
    unit: str
    step: float | None
    place: Place | None

    def entered(self, value: Any) -> Any:
        """A canonical value in the unit of the key."""
        if not is_number(value):
            return value
        if self.unit == GAUGE_UNIT:
            return tidy(gauge_of_section(value))
        return tidy((value - self.offset) / self.factor)


@dataclass(frozen=True, slots=True)
class ValueChange:
    """One value that the new side states otherwise; `old` and `new` are in the unit of the new key.

    `equivalent` is no change of the vehicle: the same value under another key of its pair, or from a
    part file. `before` and `after` are canonical; None where a side states nothing. `effect` is
    what the vehicle feels of it: a mode that comes to say what the base said already moves nothing.
    `motors` names those of several that it is about, where the key does not say so.
    """

    quantity: str
    mode: str
    kind: ChangeKind
    category: Category
    subsystem: str
    entered_as: str
    old_as: str
    old: Any
    new: Any
    unit: str
    step: float | None
    by: float | None
    share: float | None
    before: Any
    after: Any
    place: Place | None
    effect: Effect
    motors: tuple[str, ...] = ()

    @property
    def inner_changes(self) -> tuple[InnerChange, ...]:
        """What differs inside a nested value; looked for only when a report asks."""
        return inner_changes(self.before, self.after)


def changes(
    old: Profile, new: Profile, before: Statement, after: Statement
) -> tuple[ValueChange, ...]:
    """Every value that differs, in the order of a report: settings, build, readings, records."""
    keys = _differing(before, after) | _equivalent(old, new)
    differing = [_change(key, old, new, before, after) for key in keys]
    return tuple(sorted(differing, key=place_in_report))


def _differing(before: Statement, after: Statement) -> set[StatedKey]:
    """The keys under which the two sides say something else, or only one of them anything."""
    keys = {key for key, value in before.items() if after.get(key) != value}
    return keys | {key for key in after if key not in before}


def _equivalent(old: Profile, new: Profile) -> set[StatedKey]:
    """Values that stand under the other key of their pair now."""
    keys: set[StatedKey] = set()
    for mode in {BASE, *(old.modes.keys() & new.modes.keys())}:
        was = old.modes[mode] if mode else old.givens
        now = new.modes[mode] if mode else new.givens
        for name, given in was.items():
            other = now.get(name)
            if given is not None and other is not None and not _under_one_key(given, other):
                keys.add((mode, name))
    return keys


def _under_one_key(old: Given, new: Given) -> bool:
    """Whether two values stand under the same key, which may lie below a motor's name."""
    return entry_path(old.entered_as) == entry_path(new.entered_as)


def _change(
    key: StatedKey, old: Profile, new: Profile, before: Statement, after: Statement
) -> ValueChange:
    mode, quantity = key
    was, now = before.get(key), after.get(key)
    given_old, given_new = given_at(key, old), given_at(key, new)
    spelling = _spelling(quantity, given_new or given_old)
    kind = _kind(key, before, after, given_old, given_new, spelling)
    entered_was, entered_now = spelling.entered(was), spelling.entered(now)
    both = is_number(entered_was) and is_number(entered_now) and spelling.unit != GAUGE_UNIT
    by = tidy(entered_now - entered_was) if both else None
    return ValueChange(
        quantity=quantity,
        mode=mode,
        kind=kind,
        category=category_of(quantity, mode),
        subsystem=subsystem(quantity),
        entered_as=spelling.entered_as,
        old_as=given_old.entered_as if given_old is not None else spelling.entered_as,
        old=entered_was,
        new=entered_now,
        unit=spelling.unit,
        step=spelling.step,
        by=by,
        share=relative_change(entered_was, entered_now, spelling.unit),
        before=was,
        after=now,
        place=spelling.place,
        effect="none" if kind == "equivalent" else _effect(key, before, after),
    )


def _effect(key: StatedKey, before: Statement, after: Statement) -> Effect:
    """What becomes of the value that the vehicle runs on: in a mode, else in the base settings."""
    base = (BASE, key[1])
    was, now = before.get(key, before.get(base)), after.get(key, after.get(base))
    if was == now:
        return "none"
    if not is_number(now):
        return "other"
    return "raised" if not is_number(was) or now > was else "other"


def _spelling(quantity: str, given: Given | None) -> Spelling:
    if given is None:
        return Spelling(quantity, 1.0, 0.0, "", None, None)
    if quantity in allowances():
        key = given.entered_as.rsplit(".", 1)[-1]
        entry = allowance_entries()[key]
        return Spelling(entry.path, entry.factor, entry.offset, entry.unit, None, given.place)
    entry = _key_of(given)
    factor = given.factor or 1.0
    return Spelling(given.entered_as, factor, given.offset, entry.unit, entry.step, given.place)


def _key_of(given: Given) -> Property:
    """The schema's word on the key under which a value was entered, in a mode too."""
    entry = properties().get(given.entered_as)
    if entry is not None:
        return entry
    last = given.entered_as.rsplit(".", 1)[-1]
    return _pairs().get((given.name, last)) or canonical()[given.name]


@lru_cache(maxsize=1)
def _pairs() -> Mapping[tuple[str, str], Property]:
    return {
        (entry.quantity, path.rsplit(".", 1)[-1]): entry for path, entry in properties().items()
    }


@lru_cache(maxsize=1)
def _order() -> Mapping[str, int]:
    """The order of the schema."""
    return {name: number for number, name in enumerate(canonical())}


def _kind(
    key: StatedKey,
    before: Statement,
    after: Statement,
    old: Given | None,
    new: Given | None,
    spelling: Spelling,
) -> ChangeKind:
    """Whether a value is there on both sides, and whether only its spelling differs."""
    mode, quantity = key
    is_part = quantity.endswith(".part") and mode == BASE
    if key not in before:
        return "equivalent" if is_part else "added"
    if key not in after:
        return "equivalent" if is_part else "removed"
    if old is None or new is None or _under_one_key(old, new):
        return "changed"
    if not (is_number(old.value) and is_number(new.value)):
        return "changed"
    step = max(_step(old), _step(new)) or NOISE
    return "equivalent" if abs(old.value - new.value) <= step / 2 else "changed"


def _step(given: Given) -> float:
    """The entry step of a value's own key, canonical: rounding to it is no change."""
    key = _key_of(given)
    if key.unit == GAUGE_UNIT and is_number(given.value):
        return GAUGE_NEAR * given.value
    return (key.step or 0.0) * (given.factor or 1.0)


def relative_change(old: Any, new: Any, unit: str) -> float | None:
    """By what share of the old value it moved; None where that says nothing.

    >>> relative_change(75.0, 95.0, "A")
    0.2667
    """
    if not (is_number(old) and is_number(new)) or unit in (*POINTS, GAUGE_UNIT) or old == 0:
        return None
    return rounded_to((new - old) / abs(old), 4)


def place_in_report(change: ValueChange) -> tuple[int, str, int, int, str]:
    return (
        CATEGORY_ORDER.index(change.category),
        change.mode,
        rank(change.subsystem),
        _order().get(change.quantity, -1),
        change.quantity,
    )
