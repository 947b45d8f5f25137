"""What a change of several motors does: quantities and margins of the vehicle once, else by motor."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import NamedTuple, TypeVar

from ..documents.profile import BASE
from ..judgement.catalogue import Catalogue
from ..judgement.motor_books import AT_THE_BATTERY, SUMS
from ..judgement.motor_entries import reached_by
from ..judgement.motor_quantities import having_of_each, havings
from ..judgement.motor_sums import MAX_V
from ..quantities.book import Book, Entry
from ..quantities.registry import WORKED
from .change import ValueChange
from .consequence import Consequence, consequence_of, farthest_first
from .finding_change import JudgedSide
from .margin import Margin, effective, margins, same_numbers, tightest_first
from .motor_changes import Pairs

WORKED_OUT = WORKED.keys() | AT_THE_BATTERY  # what a motor is given is worked out of several
_Told = TypeVar("_Told", Consequence, Margin)


class Had(NamedTuple):
    """A quantity on one side: its line of the book, and the book."""

    entry: Entry
    book: Book


def motor_consequences(
    old: JudgedSide, new: JudgedSide, pairs: Pairs, made: Iterable[ValueChange]
) -> tuple[Consequence, ...]:
    """The worked quantities that moved: of all motors together, and of each; those alike told once.

    A mode is shown only where it moves otherwise than the base settings.
    """
    touched: dict[str, set[str]] = {}
    if not len(pairs) == len(old.hearings) == len(new.hearings):  # one was fitted, or is gone
        touched[BASE] = {*SUMS, MAX_V}
    for change in made:
        touched.setdefault(change.mode, set()).add(change.quantity)
    reach = _reach(touched.get(BASE, ()))
    told: list[Consequence] = []
    both = old.hearing.books.keys() & new.hearing.books.keys()
    for mode in (BASE, *sorted(both - {BASE})):
        in_base = [replace(one, mode=mode) for one in told if one.mode == BASE]
        for name in reach | _reach(touched.get(mode, ())):
            moved = _of_quantity(name, mode, old, new, pairs)
            told += [one for one in moved if one not in in_base]
    return tuple(sorted(told, key=farthest_first))


def _reach(names: Iterable[str]) -> frozenset[str]:
    return frozenset[str]().union(*map(reached_by, names)) & WORKED_OUT


def _of_quantity(
    name: str, mode: str, old: JudgedSide, new: JudgedSide, pairs: Pairs
) -> Iterator[Consequence]:
    whole = _together(name, mode, old), _together(name, mode, new)
    if whole[0] is not None and whole[1] is not None:
        told = _moved(name, mode, whole[0], whole[1])
        if told is not None:
            yield told
        if not (_adds(name, mode, old) or _adds(name, mode, new)):
            return
    alike: list[Consequence] = []
    for motor, other in pairs.items():
        before, after = _of_one(name, mode, old, other), _of_one(name, mode, new, motor)
        told = None if before is None or after is None else _moved(name, mode, before, after)
        if told is not None:
            alike.append(replace(told, motors=(motor or other,)))
    yield from _gathered(alike)


def _gathered(each: Iterable[_Told]) -> Iterator[_Told]:
    """What is told of one motor each, alike ones once with the names of all."""
    groups: list[tuple[_Told, list[str]]] = []
    for one in each:
        bare = replace(one, motors=())
        names = next((names for known, names in groups if known == bare), None)
        if names is None:
            groups.append((bare, names := []))
        names += one.motors
    for bare, names in groups:
        yield replace(bare, motors=tuple(names))


def _moved(name: str, mode: str, before: Had, after: Had) -> Consequence | None:
    given = name in AT_THE_BATTERY
    return consequence_of(name, mode, (before.entry, after.entry), (before.book, after.book), given)


def _together(name: str, mode: str, side: JudgedSide) -> Had | None:
    """A quantity as the vehicle has it once; None for one that each of several motors has."""
    if not side.heard:
        return _had(name, side.hearing.books[mode])
    first = next(havings(name, side.heard, mode, deep=False), None)
    return None if first is None or first.motors else _had(name, first.book)


def _adds(name: str, mode: str, side: JudgedSide) -> bool:
    """Whether each of several motors adds something of its own to what the vehicle has once."""
    if not side.heard or name not in WORKED:
        return False
    return any(one.motors for one in havings(name, side.heard, mode, deep=False))


def _of_one(name: str, mode: str, side: JudgedSide, motor: str) -> Had | None:
    """A quantity as one motor has it."""
    if not side.heard:
        return _had(name, side.hearing.books[mode])
    own = next(having_of_each(name, side.heard, mode, only=motor, deep=False), None)
    return None if own is None else _had(name, own.book)


def _had(name: str, book: Book) -> Had:
    return Had(book.entry(name), book)


def motor_margins(
    old: JudgedSide, new: JudgedSide, pairs: Pairs, catalogue: Catalogue
) -> tuple[Margin, ...]:
    """The margins that moved, of each motor that both sides have; one that is alike for all once.

    Where the sides have no motor in common, those that are alike for all motors of either.
    """
    names = pairs or {next(iter(new.hearings)): next(iter(old.hearings))}
    each = [
        replace(one, motors=(motor or other,))
        for motor, other in names.items()
        for one in margins(old.hearings[other], new.hearings[motor], catalogue)
    ]
    told: list[Margin] = []
    for one in _gathered(each):
        if _alike_for_all(one, old) and _alike_for_all(one, new):
            told.append(replace(one, motors=()))
        elif pairs:
            told.append(one)
    return tuple(sorted(told, key=tightest_first))


def _alike_for_all(margin: Margin, side: JudgedSide) -> bool:
    """Whether a rule holds every motor of a side to the same numbers."""
    rulings = [effective(one, margin.mode, margin.rule.id) for one in side.hearings.values()]
    first = rulings[0]
    return all(
        one is not None and first is not None and same_numbers(first, one) for one in rulings
    )
