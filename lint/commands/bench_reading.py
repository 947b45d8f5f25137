"""One reading at the bench: refused where no meter shows it, and in words what it comes to."""

from __future__ import annotations

from typing import Any

from ..documents.error import UsageError
from ..documents.template import TemplateValue
from ..expressions.formatting import shown
from ..judgement.bring_up import PlannedReading
from ..judgement.finding import Finding
from ..reports.bring_up import expected_words, outside_words, span_words
from ..reports.section import Row, row


def several(value: Any) -> list[Any]:
    """A reading as a list, whether one or several were taken."""
    return list(value) if isinstance(value, list | tuple) else [value]


def refuse_impossible(reading: PlannedReading, value: TemplateValue) -> None:
    """Raise UsageError for what no meter can have shown."""
    band = reading.can_be
    wrong = [
        one
        for one in several(value)
        if _is_number(one) and band is not None and not band.holds(one)
    ]
    if wrong and band is not None:
        unit = reading.entry.unit
        raise UsageError(
            f"{shown(wrong[0], unit)} cannot be: it lies outside {span_words(band, unit)}. "
            "Look at the meter's range and leads, and measure again."
        )


def as_expected(reading: PlannedReading) -> Row:
    """A reading that no rule speaks about, beside what was expected."""
    words = shown(reading.value, reading.entry.unit)
    if reading.expect is None:
        return row("noted", words)
    if reading.is_outside:
        return row("outside", f"{words}, {expected_words(reading)}", tone="advice")
    return row("good", f"{words}, {expected_words(reading)}", tone="go")


def band_words(reading: PlannedReading) -> str:
    """What to expect of a reading and where to stop, as its question says it."""
    return "; ".join(filter(None, (expected_words(reading), _stop_words(reading))))


def _stop_words(reading: PlannedReading) -> str:
    if reading.stop is None:
        return ""
    return f"stop {outside_words(reading.stop, reading.entry.unit)}"


def is_about(finding: Finding, quantity: str) -> bool:
    """Whether a finding points at an entry, or its calculation reads it."""
    return finding.quantity == quantity or any(one.quantity == quantity for one in finding.related)


def _is_number(value: Any) -> bool:
    return type(value) in (int, float)
