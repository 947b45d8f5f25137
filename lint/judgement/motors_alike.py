"""Vehicles of several motors that are nearly the same: of each book, what cannot differ is taken over.

The books of a motor know what all have together. What of that is another than it was is found by its
value, and moves all that rests on it, as an entry does that is another.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from ..documents.profile import BASE, Profile
from ..quantities.book import IN_BASE, Book
from ..quantities.registry import affected
from .evaluation import Ruling
from .motor_books import SUMS, Books, OfMotor
from .motor_sums import MAX_V
from .moved_names import given_otherwise

FELT = SUMS | {MAX_V}  # what a book knows of the other motors


class Before(NamedTuple):
    """A vehicle heard before, and by motor the names whose value in the base settings may be another."""

    heard: Mapping[str, OfMotor]
    moved: Mapping[str, frozenset[str]]

    def plain(self, motor: str, book: Book) -> None:
        """Take over what a motor alone comes to in its base settings."""
        book.take_over(self.heard[motor].plain[BASE], self.moved[motor])

    def taken_over(
        self, motor: str, view: Profile, books: Mapping[str, Books]
    ) -> Mapping[str, tuple[frozenset[str], ...]]:
        """Take over what the books of a motor come to; by mode, the names of each book that moved."""
        heard, gone = self.heard[motor], dict[str, tuple[frozenset[str], ...]]()
        for mode, now in books.items():
            was = heard.books[mode]
            changed = self.moved[motor]
            if mode != BASE:
                was_set = heard.hearing.profile.modes[mode]
                changed |= frozenset(given_otherwise(was_set, view.modes[mode]))
            gone[mode] = tuple(
                _taken_over(one, other, changed | _in_base(gone.get(BASE), number))
                for number, (one, other) in enumerate(zip(now.books, was.books, strict=True))
            )
        return gone

    def rulings(self, motor: str, mode: str) -> Mapping[str, Ruling]:
        """What the rules came to."""
        return self.heard[motor].hearing.rulings[mode]


def _taken_over(book: Book, other: Book, changed: frozenset[str]) -> frozenset[str]:
    """Take over what another book has worked out; the names that moved between the two."""
    told = {name for name in FELT if book.operand(name) != other.operand(name)}
    gone = affected(changed | told)
    book.take_over(other, gone)
    return gone


def _in_base(gone: tuple[frozenset[str], ...] | None, number: int) -> frozenset[str]:
    """What moved in the base settings, as it is there and as a mode reads it."""
    if gone is None:
        return frozenset()
    return gone[number] | {IN_BASE + name for name in gone[number]}
