"""A number as somebody types it: with its unit, in a unit of the same kind, as a quotient, as `16s`."""

from __future__ import annotations

import re

from ..documents.schema import Property
from ..documents.value_units import factor_to
from .entry_questions import entry_question

_NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)"
_WITH_UNIT = re.compile(rf"({_NUMBER})\s*([^\s.\d/÷:].*)")
_QUOTIENT = re.compile(
    rf"({_NUMBER})\s*([^\s.\d/÷:][^/÷:]*)?[/÷:]\s*({_NUMBER})\s*([^\s.\d/÷:].*)?"
)
# What is said with a letter behind the number, by the entry: 13s4p has 13 in series.
_COUNTS = {
    "pack.series": re.compile(r"(\d+)\s*s(?:\s*\d+\s*p)?", re.IGNORECASE),
    "pack.parallel": re.compile(r"(?:\d+\s*s\s*)?(\d+)\s*p", re.IGNORECASE),
}
_MAGNETS = re.compile(r"(\d+)\s*(?:magnets|poles)", re.IGNORECASE)
_TO_A_POLE = {"motor.pole_pairs": 2, "motor.magnets": 1}  # poles are counted, not their pairs
_DIVIDED = "÷"
_DIGITS = 9


def figure(entry: Property, answer: str) -> float | None:
    """The number that an answer says, in the entry's unit; None where it says none of these forms.

    A quotient is one only where the question itself shows it: elsewhere 80/200 A is two ratings.
    """
    count = _COUNTS.get(entry.path)
    if count is not None and (counted := count.fullmatch(answer)):
        return int(counted[1])
    if entry.path in _TO_A_POLE and (told := _MAGNETS.fullmatch(answer)):
        whole, rest = divmod(int(told[1]), _TO_A_POLE[entry.path])
        return None if rest else whole
    if told := _WITH_UNIT.fullmatch(answer):
        factor = factor_to(told[2].rstrip(), entry.unit) if entry.unit else None
        if factor is not None:
            return _plain(float(told[1]) * factor)
    if (told := _QUOTIENT.fullmatch(answer)) and _is_divided(entry.path):
        above, upper, below, behind = told.groups()
        said = [unit.strip() for unit in (upper, behind) if unit]
        if len(said) < 2 and float(below) > 0 and all(factor_to(one, entry.unit) for one in said):
            factors = [factor_to(one, entry.unit) or 1.0 for one in said]
            return _plain(float(above) / float(below) * (factors[0] if factors else 1.0))
    return None


def _is_divided(name: str) -> bool:
    """Whether the question for an entry, or what it says of the label, shows a quotient."""
    told = entry_question(name)
    return _DIVIDED in told.asks or _DIVIDED in told.label


def _plain(number: float) -> float:
    short = float(f"{number:.{_DIGITS}g}")
    return int(short) if short.is_integer() else short
