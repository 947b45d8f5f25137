"""Usual slips: why a field may show another value than the profile has."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from ..documents.units import FAHRENHEIT_K, FREEZING_DEGF
from ..expressions.formatting import number
from ..expressions.names import with_article
from ..quantities.book import Book
from ..quantities.number import is_number, near
from .field import Field

_SPREAD = 0.004  # of a value: what rounding to a few digits makes of a factor


class Shown(NamedTuple):
    """A setting in one mode beside what its field shows: both in the field's unit."""

    quantity: str
    shown: float
    exact: float
    step: float
    unit: str


class UsualSlip(NamedTuple):
    """A factor between what is shown and what should be, what one says of it, upwards and down."""

    factor: float
    above: str
    below: str


_PHASE = UsualSlip(
    math.sqrt(2.0),
    "√2 times the profile's: amperes peak in a field of amperes rms",
    "the profile's divided by √2: amperes rms in a field of amperes peak",
)
_PEAK_IN_PERCENT = _PHASE._replace(
    above="√2 times the profile's: peak and rms were taken for each other",
    below="the profile's divided by √2: rms and peak were taken for each other",
)
THREE_PHASES = UsualSlip(
    math.sqrt(3.0),
    "√3 times the profile's: line to line and one phase were taken for each other",
    "the profile's divided by √3: one phase and line to line were taken for each other",
)
# What fits any number, if nothing better does.
_ANY = (
    UsualSlip(2.0, "twice the profile's", "half of the profile's"),
    UsualSlip(10.0, "ten times the profile's: a decimal point", "a tenth of it: a decimal point"),
    UsualSlip(
        3.6, "3.6 times the profile's: km/h and m/s", "the profile's divided by 3.6: m/s and km/h"
    ),
    UsualSlip(100.0, "a hundred times the profile's", "a hundredth of the profile's"),
    UsualSlip(1000.0, "a thousand times the profile's", "a thousandth of the profile's"),
)


def slip_words(
    one: Shown, field: Field, others: Sequence[Shown], known: Mapping[str, float], book: Book
) -> str:
    """The usual slip that explains what a field shows, as a phrase; empty where none does.

    `others` are the other settings of the same mode that were read back, `known` holds what the
    profile has for each setting of the same unit, in the unit of this field.
    """
    swapped = [other for other in others if _crossed(one, other)]
    if swapped:
        return f"that of {with_article(swapped[0].quantity)}, and the other way about: the two are swapped"
    for slip in _of_unit(field, book):
        if words := _fits(slip, one):
            return words
    if field.unit in ("degC", "degF") and (words := _fahrenheit(one)):
        return words
    same = [name for name, value in known.items() if near(value, one.shown)]
    if same:
        return f"the profile's value for {with_article(same[0])}: the two fields may be swapped"
    return next(filter(None, (_fits(slip, one) for slip in _ANY)), "")


def _of_unit(field: Field, book: Book) -> Iterator[UsualSlip]:
    """The factors that belong to what a field measures, the most usual first."""
    if field.unit in ("A_rms", "A_peak"):
        yield _PHASE
    elif field.unit == "percent" and field.quantity.endswith("A_rms"):
        yield _PEAK_IN_PERCENT
    if field.form in ("mechanical", "electrical", "hertz"):
        yield from _counted("motor.pole_pairs", _POLE_PAIRS, book)
        yield UsualSlip(60.0, "60 times the profile's: rpm and Hz", "a 60th of it: Hz and rpm")
    elif field.form in ("pack", "cell"):
        yield from _counted("pack.series", _CELLS, book)
    elif field.form in ("pole_pairs", "poles"):
        yield UsualSlip(
            2.0,
            "twice the profile's: the poles, which are all magnets, and not their pairs",
            "half of the profile's: pairs, where the field asks for all poles",
        )
    if field.unit in ("V", "A", "A_rms", "A_peak"):
        yield THREE_PHASES


_POLE_PAIRS = (
    "{} times the profile's: electrical speed, by the pole pairs, in a field of rotor speed",
    "the profile's divided by {}, the pole pairs: rotor speed in a field of electrical speed",
)
_CELLS = (
    "{} times the profile's: volts of the pack in a field of one cell",
    "the profile's divided by {}: volts of one cell in a field of the pack",
)


def _counted(name: str, words: tuple[str, str], book: Book) -> Iterator[UsualSlip]:
    count = book.operand(name).value
    if is_number(count) and count > 1:
        above, below = (one.format(number(count)) for one in words)
        yield UsualSlip(float(count), above, below)


def _fits(slip: UsualSlip, one: Shown) -> str:
    if _like(one.shown, one.exact * slip.factor, one.step):
        return slip.above
    return slip.below if _like(one.shown, one.exact / slip.factor, one.step) else ""


def _fahrenheit(one: Shown) -> str:
    if _like(one.shown, one.exact / FAHRENHEIT_K + FREEZING_DEGF, one.step):
        return "the profile's in degrees Fahrenheit, in a field of degrees Celsius"
    if _like(one.shown, (one.exact - FREEZING_DEGF) * FAHRENHEIT_K, one.step):
        return "the profile's in degrees Celsius, in a field of degrees Fahrenheit"
    return ""


def _like(shown: float, expected: float, step: float) -> bool:
    """Equal as far as a step of the field and a rounded factor go; nought is like nothing."""
    return shown != 0 and abs(shown - expected) <= max(step / 2, _SPREAD * abs(expected))


def _crossed(one: Shown, other: Shown) -> bool:
    """Whether each of two fields shows what the other should."""
    if one.unit != other.unit or near(one.exact, other.exact):
        return False
    return _like(one.shown, other.exact, one.step) and _like(other.shown, one.exact, other.step)
