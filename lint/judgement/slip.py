"""Usual slips: why a field may show another value than the profile has."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from ..documents.schema import canonical
from ..documents.units import FAHRENHEIT_K, FREEZING_DEGF, UNITS
from ..expressions.formatting import number
from ..expressions.names import with_article
from ..quantities.book import Book
from ..quantities.number import is_number, near
from .field import Field

_ROUNDED = 0.01  # of a value: what rounding to a few digits makes of a factor
_COARSE = 0.05  # of a value: the most that a step of the field may explain
_FREEZING_K = 273.15  # 0 °C, Bureau International des Poids et Mesures: The International System of Units, 2.3.1
_CURRENTS = ("A", "A_rms", "A_peak")
_SPEEDS = ("rpm", "electrical_rpm", "Hz")


class Shown(NamedTuple):
    """A setting in one mode beside what its field shows: both in the field's unit."""

    quantity: str
    shown: float
    exact: float
    step: float
    unit: str


class Beside(NamedTuple):
    """What else a field may show: `read` of the same mode; the profile's value `of_others`, settings
    that are measured alike and were not seen to be held; `in_modes`, this setting in other modes."""

    read: Sequence[Shown]
    of_others: Mapping[str, float]
    in_modes: Mapping[str, float]


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
_LINES = UsualSlip(
    math.sqrt(3.0),
    "√3 times the profile's: line to line and one phase were taken for each other",
    "the profile's divided by √3: one phase and line to line were taken for each other",
)
_ROAD_SPEEDS = UsualSlip(
    3.6, "3.6 times the profile's: km/h and m/s", "the profile's divided by 3.6: m/s and km/h"
)
# What fits any number, if nothing better does.
_ANY = (
    UsualSlip(2.0, "twice the profile's", "half of the profile's"),
    UsualSlip(10.0, "ten times the profile's: a decimal point", "a tenth of it: a decimal point"),
    UsualSlip(100.0, "a hundred times the profile's", "a hundredth of the profile's"),
    UsualSlip(1000.0, "a thousand times the profile's", "a thousandth of the profile's"),
)
_POLE_PAIRS = (
    "{} times the profile's: electrical speed, by the pole pairs, in a field of rotor speed",
    "the profile's divided by {}, the pole pairs: rotor speed in a field of electrical speed",
)
_HERTZ = "electrical turns a second, in a field of rpm"
_CELLS = (
    "{} times the profile's: volts of the pack in a field of one cell",
    "the profile's divided by {}: volts of one cell in a field of the pack",
)


def slip_words(one: Shown, field: Field, beside: Beside, book: Book) -> str:
    """The usual slip that explains best what a field shows, as a phrase; empty where none does."""
    swapped = [other for other in beside.read if _crossed(one, other)]
    if swapped:
        return f"that of {with_article(swapped[0].quantity)}, and the other way about: the two are swapped"
    for mode, value in beside.in_modes.items():
        if near(value, one.shown):
            return f"that of {f'mode {mode}' if mode else 'the base settings'}"
    apart = [
        (abs(one.shown - expected) / abs(expected), words)
        for expected, words in _expected(one, field, book)
        if _like(one.shown, expected, one.step)
    ]
    exactly = [name for name, value in beside.of_others.items() if near(value, one.shown)]
    of_field = min(apart, default=None, key=lambda each: each[0])
    if of_field is not None and (not exactly or of_field[0] < _ROUNDED):
        return of_field[1]
    if exactly and one.exact:
        name = with_article(exactly[0])
        return f"the profile's value for {name}: the two fields may be swapped"
    return _reordered(one)


def _expected(one: Shown, field: Field, book: Book) -> Iterator[tuple[float, str]]:
    """What each usual slip would show, the most usual first, with the words for it."""
    for slip in (*_of_unit(field, book), *_ANY):
        yield one.exact * slip.factor, slip.above
        yield one.exact / slip.factor, slip.below
    if one.unit == "rpm":
        yield one.exact * math.tau / 60.0, "the profile's in radians a second, in a field of rpm"
        if is_number(pairs := book.operand("motor.pole_pairs").value):
            yield one.exact * pairs / 60.0, _HERTZ
    elif one.unit == "percent" and field.scale > 0:
        means = UNITS[canonical()[field.quantity].unit].spoken
        yield field.means(one.exact), f"the profile's in {means}, in a field of percent"
    elif one.unit in ("degC", "degF"):
        yield (
            one.exact / FAHRENHEIT_K + FREEZING_DEGF,
            "the profile's in degrees Fahrenheit, in a field of degrees Celsius",
        )
        yield (
            (one.exact - FREEZING_DEGF) * FAHRENHEIT_K,
            "the profile's in degrees Celsius, in a field of degrees Fahrenheit",
        )
        yield one.exact + _FREEZING_K, "the profile's in kelvin, in a field of degrees Celsius"


def _of_unit(field: Field, book: Book) -> Iterator[UsualSlip]:
    """The factors that belong to what a field measures, the most usual first."""
    if field.unit in ("A_rms", "A_peak"):
        yield from (_PHASE, _LINES)
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
    if field.unit in _SPEEDS:
        yield _ROAD_SPEEDS


def _counted(name: str, words: tuple[str, str], book: Book) -> Iterator[UsualSlip]:
    count = book.operand(name).value
    if is_number(count) and count > 1:
        above, below = (one.format(number(count)) for one in words)
        yield UsualSlip(float(count), above, below)


def _like(shown: float, expected: float, step: float) -> bool:
    """Equal as far as a rounded factor goes, or a step of the field that shows steps; not nought."""
    if shown == 0 or expected == 0:
        return False
    in_steps = near(shown, round(shown / step) * step)
    coarse = min(step / 2, _COARSE * abs(expected)) if in_steps else 0.0
    return abs(shown - expected) <= max(coarse, _ROUNDED * abs(expected))


def _crossed(one: Shown, other: Shown) -> bool:
    """Whether each of two fields shows what the other should."""
    alike = one.unit == other.unit or {one.unit, other.unit} <= set(_CURRENTS)
    if not alike or near(one.exact, other.exact):
        return False
    return _like(one.shown, other.exact, one.step) and _like(other.shown, one.exact, other.step)


def _reordered(one: Shown) -> str:
    """Two neighbouring digits that changed places."""
    wanted, shown = number(one.exact), number(one.shown)
    for place in range(len(wanted) - 1):
        first, second = wanted[place], wanted[place + 1]
        if first != second and shown == f"{wanted[:place]}{second}{first}{wanted[place + 2 :]}":
            return "the profile's with two digits exchanged"
    return ""
