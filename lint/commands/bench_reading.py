"""One reading at the bench: refused where no meter shows it, and in words what it comes to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from ..documents.error import UsageError
from ..documents.motors import key_under
from ..documents.template import TemplateValue
from ..documents.text import clean
from ..expressions.formatting import shown
from ..judgement.planned_step import NOTICED, PlannedReading, PlannedStep
from ..reports.bring_up import expected_words, outside_words, span_words
from ..reports.section import Row, row
from .answer import keyed_value
from .bench_words import SWITCH_OFF
from .entry_questions import entry_question, explanation
from .questions import HELP

NONE_WORDS = " (Enter: later; none: it cannot be read)"
LEFT_UNREAD = "none"
EXCHANGED = (
    "A minus sign says that the meter's leads are exchanged, or plus and minus of what it measures: find "
    "out which before anything is plugged in."
)
_IDENTIFICATION = "readings.identification"
_IDENTIFIED = f"{_IDENTIFICATION}.done"


def several(value: Any) -> list[Any]:
    """A reading as a list, whether one or several were taken."""
    return list(value) if isinstance(value, list | tuple) else [value]


def noticed_with(before: Any, answer: str) -> TemplateValue:
    """What was noticed before, and what an answer adds to it."""
    _, fresh = keyed_value(NOTICED, answer)
    whole = dict.fromkeys([*several(before or ()), *several(fresh)])
    symptoms = [one for one in whole if one != "none"]
    return symptoms or "none"


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
    if reading.value == LEFT_UNREAD and reading.optional:
        return row("noted", f"{words}: not read, so it proves nothing")
    if reading.expect is None:
        return row("noted", words)
    if reading.is_outside:
        return row("outside", f"{words}, {expected_words(reading)}", tone="advice")
    return row("good", f"{words}, {expected_words(reading)}", tone="go")


def question_of(reading: PlannedReading) -> str:
    """The question for a reading, with the motor that it is of and what to expect."""
    whose = f"Motor {clean(reading.motor)}: " if reading.motor else ""
    words = band_words(reading)
    about = f" ({words})" if words else ""
    may_be_none = reading.entry.can_be_none and reading.entry.path != NOTICED
    blank = NONE_WORDS if reading.optional and may_be_none else ""
    return f"{whose}{entry_question(reading.entry.path).asks}{about}{blank}"


def answered_reading(reading: PlannedReading, answer: str) -> Mapping[str, TemplateValue]:
    """An answer under the key as it stands in the document; nothing where it is left open."""
    path = reading.entry.path
    if answer == HELP:
        raise UsageError(explanation(path).rstrip())
    if not answer:
        return {}
    if path == _IDENTIFIED and answer.lower() == "none":
        return {key_under(reading.motor, _IDENTIFICATION): "none"}
    try:
        key, value = keyed_value(path, answer)
    except UsageError as refused:
        if reading.entry.unit == "V" and answer.startswith(("-", "−")):
            raise UsageError(f"{refused} {EXCHANGED}") from None
        raise
    return {key_under(reading.motor, key): value}


def band_words(reading: PlannedReading) -> str:
    """What to expect of a reading and where to stop, as its question says it."""
    return "; ".join(filter(None, (expected_words(reading), _stop_words(reading))))


def _stop_words(reading: PlannedReading) -> str:
    if reading.stop is None:
        return ""
    return f"stop {outside_words(reading.stop, reading.entry.unit)}"


def _is_number(value: Any) -> bool:
    return type(value) in (int, float)


def alarm(reading: PlannedReading | None, steps: Iterable[PlannedStep]) -> Iterator[Row]:
    """To switch off, before all reasons, where a reading stops a step with a turning motor."""
    turning = (one for step in steps if step.spec.turns for one in step.readings)
    if reading is not None and reading.state == "stop" and reading in turning:
        yield row("stop", SWITCH_OFF, tone="danger")
