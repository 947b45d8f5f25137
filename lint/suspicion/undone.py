"""Slips undone: the values that an entry may have had before a slip made it what stands there."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any, NamedTuple

from ..documents.given import as_entered_under
from ..documents.schema import Property
from ..documents.wire_gauge import THICKEST, section_of_gauge
from ..quantities.book import Book
from ..quantities.number import is_number, tidy
from ..tables.table import table
from .digits import digits_of, exchanged, misread, with_a_first_digit, without_a_digit
from .slip_rows import Factor, SlipRow
from .tooth_counts import (
    retyped_stages,
    turned_stages,
    with_a_stage,
    with_other_teeth,
    without_a_stage,
)

_MOST_DIGITS = 12
_THINNEST = 40  # the gauge beyond which no cable of a vehicle is
_NEARLY = 1e-9
_COPIED_DIGITS = 5
_SIGN = -1.0  # a factor that turns the sign alone
_SHOWN = "settings.speed_shown.ratio"  # what the stages come to once more
_BY_DIGITS = {
    "digits": exchanged,
    "misread": misread,
    "extra": without_a_digit,
    "lost": with_a_first_digit,
}
_BY_STAGES = {
    "left_out": with_a_stage,
    "too_many": without_a_stage,
    "other_teeth": with_other_teeth,
}


class Undone(NamedTuple):
    """A value that may have been meant, as it is entered, and how many digits shorter it is.

    A datasheet and a builder say round numbers, so one that becomes round is likelier. What it
    `follows` is the quantity that it is copied of, over `over`. Where it is not `known`, it is one of many.
    """

    entered: Any
    shorter: int = 0
    follows: str = ""
    over: float = 1.0
    known: bool = True


def undone(row: SlipRow, entry: Property, entered: Any, book: Book) -> Iterator[Undone]:
    """The values from which a slip of one entry may have led to the one that is entered."""
    changes = row.changes
    if "other" in changes:
        yield from (Undone(word) for word in _others(changes["other"], entry, entered))
        return
    if "copies" in changes:
        yield from _copied(changes["copies"], entry, entered, book)
        return
    if "teeth" in changes:
        yield from map(Undone, turned_stages(entered))
        return
    if "tooth" in changes:
        yield from map(Undone, retyped_stages(entered))
        return
    if "stage" in changes:
        shown, what = book.operand(_SHOWN).value, changes["stage"]
        if is_number(shown) and shown > 0:
            for stages in _BY_STAGES[what](entered, float(shown)):
                yield Undone(stages, known=what != "left_out")
        return
    if isinstance(entered, list | tuple):
        yield from (Undone(value) for value in _in_a_list(row, entry, entered, book))
        return
    if not is_number(entered):
        return
    for value, again in _numbers(row, entry, float(entered), book):
        fitting = _fitting(value, again, float(entered), entry)
        if fitting is not None:
            yield fitting


def _in_a_list(
    row: SlipRow, entry: Property, entered: Sequence[Any], book: Book
) -> Iterator[list[float]]:
    """The numbers of a list with one of them as it was before the slip."""
    if len(entered) < 2 or not all(map(is_number, entered)):
        return
    for at, number in enumerate(entered):
        for value, again in _numbers(row, entry, float(number), book):
            fitting = _fitting(value, again, float(number), entry)
            if fitting is not None:
                yield [*entered[:at], fitting.entered, *entered[at + 1 :]]


Again = Any  # a function that makes the slip again


def _numbers(
    row: SlipRow, entry: Property, now: float, book: Book
) -> Iterator[tuple[float, Again]]:
    """Each number before the slip, with the slip itself to try it by."""
    changes = row.changes
    for what, before in _BY_DIGITS.items():
        if changes.get(what):
            yield from ((value, None) for value in before(now))
            return
    if "becomes" in changes:
        yield from ((float(value), None) for value in changes["becomes"])
        return
    if changes.get("gauge"):
        if now == int(now) and THICKEST <= now <= _THINNEST:
            yield section_of_gauge(now), None
        return
    if changes.get("diameter"):
        yield math.pi / 4.0 * now**2, lambda value: math.sqrt(value * 4.0 / math.pi)
        return
    if changes.get("inverse"):
        if now:
            yield 1.0 / now, lambda value: 1.0 / value
        return
    if changes.get("bases"):
        for basis in (line["basis"] for line in table("kv_bases")["rows"]):
            if basis != 1.0:
                yield now * basis, lambda value, basis=basis: value / basis
        return
    if "times" in changes and "plus" in changes:
        times, plus = float(changes["times"][0]), float(changes["plus"][0])
        yield (now - plus) / times, lambda value: value * times + plus
        return
    for plus in changes.get("plus", ()):
        yield now - plus, None
    for factor in _known(changes.get("times", ()), entry, book):
        yield now / factor, lambda value, factor=factor: value * factor
    for factor in _known(changes.get("over", ()), entry, book):
        yield now * factor, lambda value, factor=factor: value / factor


def _known(factors: Sequence[Factor], entry: Property, book: Book) -> Iterator[float]:
    """The factors as numbers; those of unknown quantities, and of the entry itself, are left out."""
    for factor in factors:
        value = book.operand(factor).value if isinstance(factor, str) else factor
        if (
            factor != entry.quantity
            and is_number(value)
            and (value > 0 or value == _SIGN)
            and value != 1.0
        ):
            yield float(value)


def _others(wanted: str | Sequence[str], entry: Property, entered: Any) -> Iterator[Any]:
    if entry.kind == "boolean":
        yield not entered
        return
    words = entry.choices if wanted == "any" else wanted
    yield from (word for word in words if word != entered and word != "none")


def _copied(
    pairs: Sequence[Sequence[str | float]], entry: Property, entered: Any, book: Book
) -> Iterator[Undone]:
    """What an entry would be if it followed another that it belongs to, over a third where there is one."""
    for name, other, *over in pairs:
        if name != entry.quantity:
            continue
        value, divisor = book.operand(str(other)).value, 1.0
        for each in over:
            told = book.operand(each).value if isinstance(each, str) else each
            divisor = float(told) if isinstance(told, int | float) else 0.0
            value = value / divisor if isinstance(value, int | float) and divisor else None
        if value is None:
            continue
        if is_number(value) and entry.kind in ("number", "integer"):
            value = _in_steps(as_entered_under(entry, float(value)), entry)
        if value != entered and (not is_number(value) or _is_allowed(float(value), entry)):
            yield Undone(value, follows=str(other), over=divisor)


def _in_steps(value: float, entry: Property) -> float:
    """A number that comes of others as one would enter it."""
    if entry.kind == "integer":
        return round(value)
    return tidy(float(f"{value:.{_COPIED_DIGITS}g}"))


def _fitting(value: float, again: Again, now: float, entry: Property) -> Undone | None:
    """The value as one would enter it, inside what the key allows; None where it cannot be."""
    if not math.isfinite(value):
        return None
    if entry.kind == "integer":
        whole = round(value)
        redone = again(whole) if again is not None else whole
        same = abs(redone - now) <= 0.5 if again is not None else abs(value - whole) < _NEARLY
        if not same or (again is not None and abs(value - whole) > 0.51):
            return None
        value = float(whole)
    elif again is not None:
        value = _as_entered(value, again, now)
    if not _is_allowed(value, entry) or math.isclose(value, now, rel_tol=1e-6):
        return None
    shorter = digits_of(now) - digits_of(value)
    return Undone(int(value) if entry.kind == "integer" else value, shorter)


def _as_entered(value: float, again: Again, now: float) -> float:
    """The roundest number from which the slip leads to the one that stands there, as it is rounded."""
    within = max(0.5 * 10.0 ** _last_place(now), _NEARLY * abs(now)) * (1.0 + _NEARLY)
    for digits in range(1, _MOST_DIGITS):
        rounded = float(f"{value:.{digits - 1}e}")
        if rounded and abs(again(rounded) - now) <= within:
            return rounded
    return value


def _last_place(value: float) -> int:
    exponent = Decimal(repr(value)).normalize().as_tuple().exponent
    return min(exponent if isinstance(exponent, int) else 0, 0)


def _is_allowed(value: float, entry: Property) -> bool:
    if entry.lowest is not None and (
        value < entry.lowest or (entry.strictly_above and value == entry.lowest)
    ):
        return False
    return entry.highest is None or value <= entry.highest
