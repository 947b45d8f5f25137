"""A number as somebody types it: with its unit, in a unit of the same kind, as a quotient, as `16s`."""

from __future__ import annotations

import re

from ..documents.schema import Property
from ..documents.spelling import other_units, spelt_out
from ..documents.units import DIMENSIONLESS, GAUGE, POINT, UNITS, unit_symbol
from ..documents.value_units import is_word_of
from .entry_questions import entry_question

_NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)"
_WITH_UNIT = re.compile(rf"({_NUMBER})\s*([^\s.\d/÷:].*)")
_QUOTIENT = re.compile(
    rf"({_NUMBER})\s*([^\s.\d/÷:][^/÷:]*)?[/÷:]\s*({_NUMBER})\s*([^\s.\d/÷:].*)?"
)
_DIRECT = re.compile(r"\s*d\.?c\.?$", re.IGNORECASE)
_BATTERYS = ("V", "A")
# What is said with a letter behind the number, by the entry: 13s4p has 13 in series.
_COUNTS = {
    "pack.series": re.compile(r"(\d+)\s*s(?:\s*\d+\s*p)?", re.IGNORECASE),
    "pack.parallel": re.compile(r"(?:\d+\s*s\s*)?(\d+)\s*p", re.IGNORECASE),
}
_DIVIDED = "÷"
_DIGITS = 9
# Names of units in which a capital M would be a million where the small one is a thousandth.
_MILLI = frozenset(("mA", "mAh", "mV", "mH", "mF", "mohm", "mohm_per_m", "ms"))


def figure(entry: Property, answer: str) -> float | None:
    """The number that an answer says, in the entry's unit; None where it says none of these forms.

    A quotient is one only where the question itself shows it: elsewhere 80/200 A is two ratings.
    """
    count = _COUNTS.get(entry.path)
    if count is not None and (counted := count.fullmatch(answer)):
        return int(counted[1])
    if told := _WITH_UNIT.fullmatch(answer):
        factor = _factor(told[2].rstrip(), entry.unit)
        if factor is not None:
            return _plain(float(told[1]) * factor)
    if (told := _QUOTIENT.fullmatch(answer)) and _is_divided(entry.path):
        above, upper, below, behind = told.groups()
        said = [unit.strip() for unit in (upper, behind) if unit]
        if len(said) < 2 and float(below) > 0 and all(_factor(one, entry.unit) for one in said):
            factors = [_factor(one, entry.unit) or 1.0 for one in said]
            return _plain(float(above) / float(below) * (factors[0] if factors else 1.0))
    return None


def _is_divided(name: str) -> bool:
    """Whether the question for an entry, or what it says of the label, shows a quotient."""
    told = entry_question(name)
    return _DIVIDED in told.asks or _DIVIDED in told.label


def _factor(words: str, unit: str) -> float | None:
    """What one of the unit in words is in the entry's unit; None for another kind of thing.

    A battery's volts and amperes are DC anyway.
    """
    if not unit:
        return None
    head = unit.split("_", maxsplit=1)[0]
    bare = _DIRECT.sub("", words) if head in _BATTERYS else words
    if bare == unit_symbol(unit) or is_word_of(bare, unit) or is_word_of(bare, head):
        return 1.0
    own = UNITS[unit]
    if own.dimension == DIMENSIONLESS or own.kind in (POINT, GAUGE):
        return 1.0 if _is_written(bare, unit) else None
    for name, other in UNITS.items():
        alike = other.dimension == own.dimension and other.kind == own.kind
        if alike and _is_written(bare, name):
            return other.scale / own.scale
    return _of_elsewhere(bare, unit, head)


def _of_elsewhere(words: str, unit: str, head: str) -> float | None:
    """The factor of a unit that the table of those of elsewhere has, such as kA."""
    own = UNITS[unit]
    for row in other_units():
        of = UNITS[row["unit"]]
        names = (row["word"], *row["other"])
        if any(_is_written(words, str(name)) for name in names):
            if row["unit"] in (unit, head):
                return float(row["factor"])
            if of.dimension == own.dimension and of.kind == own.kind:
                return float(row["factor"]) * of.scale / own.scale
    return None


def _is_written(words: str, name: str) -> bool:
    """Whether words are the name of a unit, in any case; a mega is no milli."""
    letters = spelt_out(words)
    if letters == name:
        return True
    return letters.lower() == name.lower() and not (name in _MILLI and letters.startswith("M"))


def _plain(number: float) -> float:
    short = float(f"{number:.{_DIGITS}g}")
    return int(short) if short.is_integer() else short
