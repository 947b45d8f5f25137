"""How the band of a reading is worked out: each end in numbers, and the quantities that it rests on."""

from __future__ import annotations

from ..documents.schema import Property
from ..expressions.expression import Expression
from ..expressions.formatting import shown
from ..quantities.book import Book
from ..quantities.number import is_number
from .bring_up_steps import BandEnds

END_NAMES = ("from", "to")


def band_working(ends: BandEnds, book: Book, entry: Property) -> tuple[str, ...]:
    """A line for each end that is worked out, then one for each quantity in them that is itself."""
    from ..expressions.in_numbers import in_numbers  # late: only a plan on paper shows it
    from .explanation import formulas

    low, high = ends
    same = low is not None and high is not None and low.text == high.text
    told = [("at", low)] if same else zip(END_NAMES, ends, strict=True)
    lines: list[str] = []
    names: set[str] = set()
    for word, end in told:
        if end is None or not end.names:
            continue
        told_in, value = in_numbers(end, book.operand), _shown(end, book, entry)
        names |= told_in.names
        if told_in.text != value:
            lines.append(f"{word} {told_in.text}{f' = {value}' if value else ''}")
    for name in sorted(names):
        line = book.entry(name)
        if line.worked is not None and line.operand.known and line.origin == "worked":
            value = shown(line.value, line.worked.unit)
            lines.append(f"{name} = {formulas(line.worked, book)[1]} = {value}")
    return tuple(dict.fromkeys(lines))


def _shown(end: Expression, book: Book, entry: Property) -> str:
    """An end's value in the unit of the entry; empty where it is not known."""
    value = end.evaluate(book.operand).value
    if not is_number(value):
        return ""
    return shown(rounded_end((value - entry.offset) / entry.factor), entry.unit)


def rounded_end(value: float) -> float:
    """An end of a band to three digits, from a thousand on whole.

    >>> rounded_end(4162.9), rounded_end(0.12345)
    (4163.0, 0.123)
    """
    return float(f"{value:.3g}") if abs(value) < 1000.0 else float(round(value))
