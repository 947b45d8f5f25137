"""What a profile gives twice: an entry, and the same worked out of other entries."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from ..documents.entry_terms import Ends
from ..documents.given import Given, Value
from ..documents.schema import canonical
from .book import Book, Entry
from .number import is_number
from .registry import ENTERED_OR_WORKED

ANOTHER = 100.0  # percent off, of what differs and is no number


class KnownTwice(NamedTuple):
    """A quantity that is entered and follows from other entries too.

    `off_percent` is how far the entry lies from what the others come to, in percent of that;
    `fault` and `advice` are the ends beyond which it is one.
    """

    entered: Given
    other: Entry
    used: Value | None
    off_percent: float
    fault: Ends
    advice: Ends


def known_twice(book: Book) -> Iterator[KnownTwice]:
    """Every quantity of a book that is known in two ways and held together by no rule of its own."""
    for name in sorted(ENTERED_OR_WORKED):
        terms = canonical()[name].twice
        entered = book.given(name)
        if terms is None or terms.rule or entered is None:
            continue
        other = book.otherwise(name)
        if other is None:
            continue
        ends = (terms.fault, terms.advice)
        if book.is_typical(other):
            if terms.typical is None:
                continue
            ends = (terms.typical, terms.typical)
        off_percent = off(entered.value, other.value)
        yield KnownTwice(entered, other, book.operand(name).value, off_percent, *ends)


def off(value: Value | None, reference: Value | None) -> float:
    """How far a value lies from another, in percent of that; what is no number is equal or not.

    >>> off(95.0, 90.0), off("J", "J"), off("J", "R"), off(None, 54)
    (5.555555555555555, 0.0, 100.0, 100.0)
    """
    if is_number(value) and is_number(reference) and reference:
        return (value - reference) / abs(reference) * 100.0
    return 0.0 if value == reference else ANOTHER
