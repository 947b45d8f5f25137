"""A number as somebody types it: with its unit, in a unit of the same kind, as a sum, as `16s`."""

from __future__ import annotations

import math
import re

from ..documents.error import UsageError
from ..documents.schema import Property
from ..documents.value_units import factor_to, in_the_unit_of
from .entry_questions import entry_question
from .typed_sum import typed_sum

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
# What is printed round a figure and says nothing more: DC, and the sign for it.
_DIRECT = re.compile(r"(?i)^DC\s+(?=[\d.])|\s*(?:=|\u2393)$")
_COUNTED = re.compile(
    r"(?i)(?<=\d)\s*(?:teeth|tooth|t|cells?|s)\b\.?"
)  # 54T/11T, 58.4 V / 16 cells
_UNGEARED = ("direct", "direct drive", "gearless", "no gear", "none")
_TILL = r"(?:-|[–~…]|\.{2,3}|to)"
_SPAN = re.compile(rf"(?i)({_NUMBER})\s*V?\s*{_TILL}\s*({_NUMBER})\s*V?(?:\s*DC)?")
_ENDS = {"controller.min_V": 1, "controller.max_V": 2}  # of an input range such as 30-60 V
_DECIMAL_COMMA = re.compile(r"[-+]?\d+,\d+")
_MOST = re.compile(r"(?i)^(?:max(?:imum)?\.?\s*|\u2264\s*)(?=\d)|(?<=\w)\s*\bmax(?:imum)?\.?$")
_PEAK = re.compile(r"(?i)A?[_ ]*(?:pk|peak)\.?")
_MAGNETS = re.compile(r"(\d+)\s*(?:magnets|poles)", re.IGNORECASE)
_TO_A_POLE = {"motor.pole_pairs": 2, "motor.magnets": 1}  # poles are counted, not their pairs
_IN_BRACKETS = re.compile(r"\s*\(\s*([^\W\d][^()\d]*)\)\s*$")  # 110 A (rms)
_DIVIDED = "÷"
_DIGITS = 9
_RATIO = "drivetrain.ratio"


def figure(entry: Property, answer: str) -> float | None:
    """The number that an answer says, in the entry's unit; None where it says none of these forms.

    Raises UsageError where the unit beside it is another kind of thing. A quotient is one only where the question itself shows it: elsewhere 80/200 A is two ratings.
    """
    if entry.kind != "list" and _DECIMAL_COMMA.fullmatch(answer):
        raise UsageError(
            f"{entry.path}: expected a decimal with a point; found {answer!r}. "
            f"Did you mean {answer.replace(',', '.')}?"
        )
    if entry.path == _RATIO and answer.lower() in _UNGEARED:
        return 1
    answer = _without_most(entry, _DIRECT.sub("", _IN_BRACKETS.sub(r" \1", answer)))
    if entry.path in _ENDS and (span := _SPAN.fullmatch(answer)):
        return _plain(float(span[_ENDS[entry.path]]))
    if _is_divided(entry.path) and any(sign in answer for sign in "/:÷"):
        answer = _COUNTED.sub("", answer)
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
    summed = _summed(entry, answer)
    return _converted(entry, answer) if summed is None else summed


def _summed(entry: Property, answer: str) -> float | None:
    """What a sum comes to; none of a list, in which a sign may stand between two readings."""
    told = None if entry.kind == "list" else typed_sum(answer, _is_divided(entry.path))
    if told is None:
        return None
    value, unit = told
    factor = (factor_to(unit, entry.unit) if entry.unit else None) if unit else 1.0
    return None if factor is None else _plain(value * factor)


def _converted(entry: Property, answer: str) -> float | None:
    """A number with another word for its unit; raises UsageError where that means another key."""
    told = _WITH_UNIT.fullmatch(answer)
    if told is None:
        return None
    if entry.unit == "A_rms" and _PEAK.fullmatch(told[2]):
        raise UsageError(
            f"{entry.path}: expected A rms, found {answer!r}. A peak of the sine is 1.414 times the rms, so this "
            f"would be {float(told[1]) / math.sqrt(2):.3g}; a peak for some seconds is a burst current."
        )
    said, meant = in_the_unit_of(entry.path, told[1], told[2].rstrip())
    if meant is None and "it is `" in said:
        raise UsageError(f"{entry.path}: found {answer!r}{said}.")
    return None if meant is None else _plain(float(meant))


def _without_most(entry: Property, answer: str) -> str:
    """The figure without a `max` beside it, where the most is asked for.

    Raises UsageError where what is carried for long is asked for.
    """
    bare = _MOST.sub("", answer)
    if bare == answer:
        return answer
    told = entry_question(entry.path)
    if "aximum" not in f"{told.asks}{told.label}{entry.description}" and not entry.path.endswith(
        "_V"
    ):
        raise UsageError(
            f"{entry.path}: found {answer!r}. A maximum is often for some seconds; the continuous "
            f"figure is meant. Enter {bare} alone where the label means that, or Enter."
        )
    return bare


def _is_divided(name: str) -> bool:
    """Whether the question for an entry, or what it says of the label, shows a quotient."""
    told = entry_question(name)
    return _DIVIDED in told.asks or _DIVIDED in told.label


def _plain(number: float) -> float:
    short = float(f"{number:.{_DIGITS}g}")
    return int(short) if short.is_integer() else short
