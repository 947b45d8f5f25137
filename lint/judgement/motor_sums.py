"""What several motors have of one quantity together: the sum, the greatest, the least on their bus."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from ..quantities.book import Book
from ..quantities.operand import ABSENT, EXACT, NO_LESS, NO_MORE, NOT_THERE, NOTHING, Operand, Side
from ..quantities.registry import rests_on
from .rule import Rule

MAX_V = "controller.max_V"


def summed(operands: Iterable[Operand]) -> Operand:
    """The sum of what several motors have of one quantity; what a motor has not counts nothing.

    Where one is not known it is no less than the others together.

    >>> summed([Operand(60.0), Operand(40.0), NOT_THERE]).value
    100.0
    >>> summed([Operand(60.0), Operand(None, EXACT, frozenset({MAX_V}))]).side
    'no less than'
    """
    there = [one for one in operands if one.side != ABSENT]
    if not there:
        return NOT_THERE
    missing = NOTHING.union(*(one.missing for one in there))
    known = [one for one in there if one.value is not None]
    sides: set[Side] = {one.side for one in known} - {EXACT}
    if len(known) < len(there):
        sides.add(NO_LESS)
    if not known or len(sides) > 1:
        reason = next((one.reason for one in there if one.reason), "")
        return Operand(None, EXACT, missing, reason)
    return Operand(sum(one.number for one in known), sides.pop() if sides else EXACT, missing)


def greatest(operands: Iterable[Operand]) -> Operand:
    """The greatest of what several motors have; where one is not known, no less than the others.

    >>> greatest([Operand(30.0), Operand(None, EXACT, frozenset({"motor.kv_rpm_per_V"}))]).side
    'no less than'
    """
    there = [one for one in operands if one.side != ABSENT]
    if not there:
        return NOT_THERE
    missing = NOTHING.union(*(one.missing for one in there))
    known = [one for one in there if one.value is not None]
    if len(known) == len(there) and all(one.side in (EXACT, NO_MORE) for one in known):
        most = max(one.number for one in known)
        exact = any(one.number == most and one.side == EXACT for one in known)
        return Operand(most) if exact else Operand(most, NO_MORE, missing)
    sure = [one.number for one in known if one.side != NO_MORE]
    return Operand(max(sure), NO_LESS, missing) if sure else Operand(None, EXACT, missing)


def on_the_bus(rule: Rule) -> bool:
    """Whether a rule is judged by the voltage that the weakest controller on the bus withstands."""
    return rule.of != MAX_V and any(MAX_V in rests_on(name) for name in rule.reads)


def weakest_of(books: Mapping[str, Book]) -> str | None:
    """The motor whose controller withstands the lowest voltage of all on the bus; None if none is known."""
    volts = {name: book.operand(MAX_V) for name, book in books.items()}
    known = {name: one.number for name, one in volts.items() if one.value is not None}
    return min(known, key=lambda name: known[name]) if known else None


def held_on_bus(name: str, books: Mapping[str, Book]) -> Book:
    """A motor's book with what the weakest controller withstands, and where that is entered.

    Where its own is not known, it is no more than that.
    """
    book, weakest = books[name], weakest_of(books)
    if weakest is None or not withstands_less(books[weakest], book):
        return book
    own = book.operand(MAX_V)
    held = book.changed({MAX_V: books[weakest].given(MAX_V)})
    if own.value is not None:
        return held
    entry = held.entry(MAX_V)
    at_most = entry.operand._replace(side=NO_MORE, missing=own.missing)
    return held.told({MAX_V: entry._replace(operand=at_most)})


def withstands_less(weak: Book, own: Book) -> bool:
    """Whether the controller of one book withstands less voltage than that of another, or of one unknown."""
    mine = own.operand(MAX_V)
    return mine.value is None or weak.operand(MAX_V).number < mine.number
