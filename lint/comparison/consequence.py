"""What the changes do: worked quantities that moved, and the rules that a change does not reach."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from ..documents.profile import BASE, Profile
from ..judgement.catalogue import Catalogue
from ..judgement.evaluation import Hearing, Ruling
from ..judgement.moved_names import moved_between
from ..quantities.book import IN_BASE, Book, Entry
from ..quantities.number import is_number, tidy
from ..quantities.operand import Side
from ..quantities.registry import WORKED, affected, unit_of
from .change import POINTS, ValueChange, relative_change
from .statement import rank, subsystem

TODAY = "judged.on"


def unmoved(
    old: Hearing, new: Profile, catalogue: Catalogue, same_day: bool = True
) -> Mapping[str, Ruling]:
    """The old side's rulings on the base settings that need no second hearing.

    A ruling holds where nothing that its rule reads can have moved, and where the new side is
    judged by that very rule; on another day also what is counted in days has moved.
    """
    names = moved_between(old.profile, new)
    names = names if same_day else names | _moved_by_time()
    return {
        name: ruling
        for name, ruling in old.rulings[BASE].items()
        if catalogue.rules.get(name) is ruling.rule and names.isdisjoint(ruling.rule.reads)
    }


def _moved_by_time() -> frozenset[str]:
    """The names whose value may be another on another day, also as they are in the base settings."""
    names = affected(frozenset((TODAY,)))
    return affected(names | {IN_BASE + name for name in names})


# A worked quantity is shown when it moved by more than this share of the larger of its values, so
# that a change and its opposite show the same; a temperature when it moved by more than so many kelvins.
THRESHOLD = 0.01
THRESHOLD_K = 1.0
DUST = 1e-3  # of a plain number, such as a share or a remainder


@dataclass(frozen=True, slots=True)
class Consequence:
    """A worked quantity that moved; None where it cannot be worked out on a side.

    `restates` marks one that only repeats a given number, which is among the changes already.
    `motors` are those of several that have it, empty where the vehicle has it once.
    """

    quantity: str
    mode: str
    old: Any
    new: Any
    unit: str
    by: float | None
    share: float | None
    old_side: Side
    new_side: Side
    restates: bool
    motors: tuple[str, ...] = ()


def consequences(
    old: Hearing, new: Hearing, made: Iterable[ValueChange]
) -> tuple[Consequence, ...]:
    """The worked quantities that depend on what changed, the farthest moved first in each mode.

    A mode is shown only where it moves otherwise than the base settings.
    """
    touched: dict[str, set[str]] = {}
    for change in made:
        touched.setdefault(change.mode, set()).add(change.quantity)
    moved = _moved(touched.get(BASE, set()))
    every = list(_of_mode(BASE, moved, old, new, {}))
    in_base = {consequence.quantity: consequence for consequence in every}
    for mode in sorted((old.books.keys() & new.books.keys()) - {BASE}):
        reach = moved | _moved(touched.get(mode, set()))
        every += _of_mode(mode, reach, old, new, in_base)
    return tuple(sorted(every, key=farthest_first))


def _moved(names: set[str]) -> frozenset[str]:
    """The worked quantities that a change of the names can move."""
    return affected(frozenset(names)) & WORKED.keys()


def _of_mode(
    mode: str,
    names: Iterable[str],
    old: Hearing,
    new: Hearing,
    base: Mapping[str, Consequence],
) -> Iterator[Consequence]:
    was, now = old.books[mode], new.books[mode]
    for name in names:
        known = base.get(name)
        told = consequence_of(name, mode, (was.entry(name), now.entry(name)), (was, now))
        if told and (known is None or (known.old, known.new) != (told.old, told.new)):
            yield told


def consequence_of(
    name: str,
    mode: str,
    entries: tuple[Entry, Entry],
    books: tuple[Book, Book],
    given_too: bool = False,
) -> Consequence | None:
    """What became of a worked quantity, or of any where what is `given_too` counts; None if nothing."""
    before, after = entries
    worked = given_too or "worked" in (before.origin, after.origin)
    return _consequence(name, mode, before, after, books) if worked and _differ(*entries) else None


def _value(entry: Entry) -> Any:
    value = entry.value
    return tidy(float(value)) if is_number(value) else value


def _differ(before: Entry, after: Entry) -> bool:
    """Whether a quantity moved by more than the threshold, or from one side of a bound to another."""
    was, now = before.value, after.value
    if not (is_number(was) and is_number(now)):
        return bool(was != now)
    if unit_of(before.name) in POINTS:
        return bool(abs(now - was) > THRESHOLD_K)
    least = DUST if unit_of(before.name) == "" else 0.0
    return bool(abs(now - was) > max(THRESHOLD * max(abs(was), abs(now)), least))


def _consequence(
    name: str, mode: str, before: Entry, after: Entry, books: tuple[Book, Book]
) -> Consequence:
    was, now = _value(before), _value(after)
    unit = unit_of(name)
    inputs = {*before.inputs, *after.inputs}
    same = (before.value, after.value)
    return Consequence(
        quantity=name,
        mode=mode,
        old=was,
        new=now,
        unit=unit,
        by=tidy(now - was) if is_number(was) and is_number(now) else None,
        share=relative_change(was, now, unit),
        old_side=before.operand.side,
        new_side=after.operand.side,
        restates=any(
            (books[0].operand(given).value, books[1].operand(given).value) == same
            for given in inputs
            if books[0].given(given) is not None or books[1].given(given) is not None
        ),
    )


def farthest_first(moved: Consequence) -> tuple[str, bool, float, int, str, tuple[str, ...]]:
    """What a share tells first, by its size; then the rest from the pack to the wheel."""
    size = abs(moved.share) if moved.share is not None else 0.0
    place = rank(subsystem(moved.quantity)), moved.quantity, moved.motors
    return moved.mode, moved.share is None, -size, *place
