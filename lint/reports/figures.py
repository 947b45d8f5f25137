"""The figures of a finding: the two numbers that disagree, how far apart, and the working."""

from __future__ import annotations

import re

from ..judgement.finding import Finding, WorkingLine
from ..judgement.unit import UNITS
from ..judgement.wording import DIGITS, apart, shown, unit_word

_WORDS = sorted({unit_word(unit) for unit in UNITS if unit}, key=len, reverse=True)
_BEFORE_UNIT = re.compile(rf"(?<=\d) (?=(?:{'|'.join(map(re.escape, _WORDS))})(?![\w/]))")

DISTANCE_DIGITS = 3
ORIGINS = {"typical": " (typical of the chemistry)", "house": " (the shop's allowance)"}


def together(text: str) -> str:
    """The text with each number tied to its unit, so that no line ends between them.

    >>> together("120 A rms at most").encode("unicode_escape")
    b'120\\\\xa0A rms at most'
    """
    return _BEFORE_UNIT.sub("\u00a0", text)


def found_against(finding: Finding) -> str:
    """The value and its limit in one line, with the distance; empty where no limit was broken."""
    value, unit = finding.value, finding.unit
    limits = [limit for limit in (finding.low, finding.high) if limit is not None]
    if not limits or isinstance(value, bool) or not isinstance(value, int | float):
        return ""
    digits = max([DIGITS, *(apart(value, limit) for limit in limits)])
    measured = shown(value, unit, digits)
    if finding.of and finding.of != finding.quantity:
        measured = f"{finding.of} is {measured}"
    return f"{measured} against {allowed(finding, digits)}, {_distance(finding, value)}"


def allowed(finding: Finding, digits: int = DIGITS) -> str:
    """The limit in words: `at most 120 A`, `13 V to 15 V`, `more than 0.79 V`."""
    low, high, unit = finding.low, finding.high, finding.unit
    if low is not None and high is not None:
        return f"{shown(low, unit, digits)} to {shown(high, unit, digits)}"
    if high is not None:
        return f"{'less than' if finding.rule.strict else 'at most'} {shown(high, unit, digits)}"
    return f"{'more than' if finding.rule.strict else 'at least'} {shown(low, unit, digits)}"


def _distance(finding: Finding, value: float) -> str:
    high = finding.high
    above = high is not None and value >= high
    limit = high if above or finding.low is None else finding.low
    assert limit is not None
    far = abs(value - limit)
    unit = "K" if finding.unit == "degC" else finding.unit
    if far <= 1e-9 * abs(limit):
        return "right on it"
    return f"{shown(far, unit, DISTANCE_DIGITS)} too {'high' if above else 'low'}"


def waived(finding: Finding) -> str:
    """What the waiver accepts, until when and why; empty where none covers the finding."""
    waiver = finding.waived
    if waiver is None:
        return ""
    size = "" if waiver.accepts is None else f" up to {shown(waiver.accepts, finding.unit)}"
    return f"until {waiver.until}{size}: {waiver.reason}"


def working(line: WorkingLine) -> str:
    """One worked quantity: `pack.cells_continuous_A = 6 × 20 A = 120 A`."""
    value = shown(line.value, line.unit)
    if line.side != "exact":
        value = f"{line.side} {value}"
    about = ORIGINS.get(line.origin, "")
    middle = line.numbers or line.formula
    if not middle or middle == value:
        return f"{line.quantity} = {value}{about}"
    return f"{line.quantity} = {middle} = {value}{about}"
