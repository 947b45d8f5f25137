"""Slips undone: the values that an entry may have had before a slip made it what stands there."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import Any, NamedTuple

from ..documents.given import as_entered_under
from ..documents.schema import Property
from ..documents.wire_gauge import THICKEST, section_of_gauge
from ..quantities.book import Book
from ..quantities.number import is_number, tidy
from ..tables.table import table
from .slip_rows import Factor, SlipRow

_MOST_DIGITS = 12
_THINNEST = 40  # the gauge beyond which no cable of a vehicle is
_NEARLY = 1e-9
_SIGN = -1.0  # a factor that turns the sign alone


class Undone(NamedTuple):
    """A value that may have been meant, as it is entered, and how many digits shorter it is.

    A datasheet and a builder say round numbers, so one that becomes round is likelier.
    """

    entered: Any
    shorter: int = 0


def undone(row: SlipRow, entry: Property, entered: Any, book: Book) -> Iterator[Undone]:
    """The values from which a slip of one entry may have led to the one that is entered."""
    changes = row.changes
    if "other" in changes:
        yield from (Undone(word) for word in _others(changes["other"], entry, entered))
        return
    if "copies" in changes:
        yield from (Undone(value) for value in _copied(changes["copies"], entry, entered, book))
        return
    if "teeth" in changes:
        yield from map(Undone, _turned(entered))
        return
    if isinstance(entered, list | tuple) or not is_number(entered):
        return
    for value, again in _numbers(row, entry, float(entered), book):
        fitting = _fitting(value, again, float(entered), entry)
        if fitting is not None:
            yield fitting


Again = Any  # a function that makes the slip again


def _numbers(
    row: SlipRow, entry: Property, now: float, book: Book
) -> Iterator[tuple[float, Again]]:
    """Each number before the slip, with the slip itself to try it by."""
    changes = row.changes
    if changes.get("digits"):
        yield from ((value, None) for value in exchanged(now))
        return
    if changes.get("extra"):
        yield from ((value, None) for value in without_a_digit(now))
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
    pairs: Sequence[Sequence[str]], entry: Property, entered: Any, book: Book
) -> Iterator[Any]:
    """What an entry would be if it followed another that it belongs to."""
    for name, other in pairs:
        value = book.operand(other).value
        if name != entry.quantity or value is None:
            continue
        if is_number(value) and entry.kind == "number":
            value = tidy(as_entered_under(entry, value))
        if value != entered and (not is_number(value) or _is_allowed(float(value), entry)):
            yield value


def _turned(stages: Any) -> Iterator[list[dict[str, int]]]:
    """The stages of a drive with one of them, or all of them, the other way about."""
    if not isinstance(stages, list | tuple):
        return

    def turn(stage: Any) -> dict[str, int]:
        return {"driving_teeth": stage["driven_teeth"], "driven_teeth": stage["driving_teeth"]}

    for at in range(len(stages)):
        yield [turn(stage) if at == place else dict(stage) for place, stage in enumerate(stages)]
    if len(stages) > 1:
        yield [turn(stage) for stage in stages]


def exchanged(value: float) -> Iterator[float]:
    """A number with two neighbouring digits exchanged, each way once.

    One that only moves the decimal point, or begins with a nought, is another slip.

    >>> list(exchanged(54.0)), list(exchanged(1.35)), list(exchanged(300.0))
    ([45.0], [3.15, 1.53], [])
    """
    text = _in_digits(value)
    digits = [place for place, sign in enumerate(text) if sign.isdigit()]
    for one, other in pairwise(digits):
        if text[one] != text[other]:
            signs = list(text)
            signs[one], signs[other] = signs[other], signs[one]
            told = "".join(signs)
            if is_written_so(told) and _digits(float(told)) != _digits(value):
                yield float(told)


def without_a_digit(value: float) -> Iterator[float]:
    """A number with one digit less, as it was before one was typed too many or twice.

    A nought at the end, or before it a point, is the slip of a decimal point.

    >>> list(without_a_digit(145.0)), list(without_a_digit(4.55)), list(without_a_digit(300.0))
    ([45.0, 15.0, 14.0], [4.5], [])
    """
    text = _in_digits(value)
    found: list[float] = []
    for place, sign in enumerate(text):
        told = text[:place] + text[place + 1 :]
        if not sign.isdigit() or not told.strip("-") or not is_written_so(told):
            continue
        less = float(told)
        if less not in (0.0, *found) and _digits(less) != _digits(value):
            found.append(less)
    yield from found


def _in_digits(value: float) -> str:
    return format(Decimal(repr(value)).normalize(), "f")


def _digits(value: float) -> tuple[int, ...]:
    """The digits of a number without noughts at its ends."""
    return Decimal(repr(value)).normalize().as_tuple().digits


def is_written_so(text: str) -> bool:
    """Whether a number is written so: with a digit at each end, and no nought before another digit.

    >>> is_written_so("015"), is_written_so("0.15"), is_written_so("15."), is_written_so(".5")
    (False, True, False, False)
    """
    told = text.lstrip("-")
    return told[0].isdigit() and told[-1].isdigit() and not (told[0] == "0" and told[1:2].isdigit())


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


def digits_of(value: float) -> int:
    """How many digits a number takes, without noughts at its ends.

    >>> digits_of(1500.0), digits_of(0.25), digits_of(103.92)
    (2, 2, 5)
    """
    return len(Decimal(repr(float(value))).normalize().as_tuple().digits)


def _is_allowed(value: float, entry: Property) -> bool:
    if entry.lowest is not None and (
        value < entry.lowest or (entry.strictly_above and value == entry.lowest)
    ):
        return False
    return entry.highest is None or value <= entry.highest
