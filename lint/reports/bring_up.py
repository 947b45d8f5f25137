"""The plan of a bring-up: a page to work from, and a record for machines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from ..documents.text import alternatives
from ..expressions.formatting import shown
from ..judgement.band_working import rounded_end
from ..judgement.bring_up import holds_power
from ..judgement.finding import Finding
from ..judgement.planned_step import Band, PlannedReading, PlannedStep
from ..judgement.rule import STOPS
from .record import exact
from .section import Card, Code, Report, Row, Section, Tone, row

BRING_UP_EDITION = "bringup/1"
BENCH_CAUTIONS = (
    "Wheel clear of the ground and the stand secure until a step says otherwise; hands, hair and "
    "clothing clear; a switch to cut the power within reach; low limits first. A pack above 60 V DC "
    "can kill and any lithium pack can burn. Local law and a qualified person come before this plan."
)
BOXES = {"to do": "☐", "done": "☑", "look again": "☐", "stop": "☐"}
STATE_NOTES = {"look again": " (look again)", "stop": " (stop: a reading is past its limit)"}
TICKED = "yes when it is done, failed where it is not sound"
FAILED_NOTE = " (stop: it failed)"
MEMORY_NOTES = {
    "other": " (done for other settings: do it again)",
    "not noted": " (for which settings is not noted)",
}
STATE_TONES: dict[str, Tone] = {
    "to do": "bold",
    "done": "go",
    "look again": "advice",
    "stop": "danger",
}


def bring_up_record(steps: Iterable[PlannedStep]) -> dict[str, Any]:
    """The plan as plain data: an object a reading, and one a step without readings."""
    return {
        "gonogo": BRING_UP_EDITION,
        "steps": [entry for step in steps for entry in _step_records(step)],
    }


def _step_records(step: PlannedStep) -> Iterable[dict[str, Any]]:
    spec = step.spec
    of_motor = {"motor": step.motor} if step.motor else {}
    head = {"step": spec.step, **of_motor, "do": spec.do, "caution": spec.caution}
    if not step.readings:
        tail = {"measure": None, "expect": None, "stop_if": spec.stop_if, "state": step.state}
        return [{**head, **tail}]
    return [
        {
            **head,
            "measure": one.key,
            "expect": _band_record(one),
            "stop_if": _stop_words(one, spec.stop_if),
            "state": one.state,
        }
        for one in step.readings
    ]


def _band_record(reading: PlannedReading) -> dict[str, Any] | None:
    band = reading.expect
    if band is None:
        return None
    ends = {"low": _rounded(band.low), "high": _rounded(band.high)}
    return {**ends, "unit": reading.entry.unit or None}


def _rounded(value: float | None) -> Any:
    return None if value is None else exact(float(f"{value:.6g}"))


def bring_up_page(
    steps: Sequence[PlannedStep],
    name: str,
    file: str,
    judged_on: str = "",
    tool: str = "",
    standing: Sequence[Finding] = (),
) -> Report:
    """The plan on paper or screen: each step with a box, its bands, and when to stop.

    `standing` are the dangers and faults with which it begins, told before all steps.
    """
    done = sum(step.state == "done" for step in steps)
    stopped = any(step.state == "stop" for step in steps)
    card = Card(
        verdict="BRING-UP",
        tone="no-go" if stopped or standing else "go" if done == len(steps) else "incomplete",
        name=name,
        coverage=f"{done} of {len(steps)} steps done",
        about=((Code(file),), (BENCH_CAUTIONS,)),
        sections=(
            *_first_section(standing, steps),
            *(_step_section(number, step) for number, step in enumerate(steps, 1)),
        ),
    )
    made = f"Made as of {judged_on}" if judged_on else ""
    return Report(f"Bring-up on the stand: {name}", (card,), judged_on=made, tool=tool)


def _first_section(standing: Sequence[Finding], plan: Sequence[PlannedStep]) -> Iterable[Section]:
    """What is put right before anything else; nothing where nothing stands."""
    if not standing:
        return ()
    rows = [row("no-go", no_go_words(standing, plan), tone="danger")]
    for one in standing:
        tone: Tone = "danger" if one.severity == "danger" else "fault"
        rows += [row(one.severity, one.message, tone=tone), row("do", one.remedy, role="act")]
    return (Section("Before anything", tuple(rows)),)


def no_go_words(standing: Sequence[Finding], plan: Sequence[PlannedStep]) -> str:
    """That a profile is no-go as the work begins, for how much, and what is not done before."""
    told = [
        f"{count} {one if count == 1 else f'{one}s'}"
        for one in STOPS
        if (count := sum(each.severity == one for each in standing))
    ]
    it = "it is" if len(standing) == 1 else "they are"
    power = any(holds_power(one, plan) for one in standing)
    nothing = f"nothing is {'charged, connected or ' if power else ''}turned before {it} put right"
    return f"NO-GO for the stand: {' and '.join(told)}; {nothing}."


def waiting_words(steps: Iterable[PlannedStep]) -> str:
    """What a step waits for."""
    titles = "; ".join(one.spec.title for one in steps)
    return f"Not before these are done: {titles}."


def _step_section(number: int, step: PlannedStep) -> Section:
    spec = step.spec
    rows = [row("caution", spec.caution, tone="fault"), row("do", spec.do, role="act")]
    for one in step.readings:
        rows += [_reading_row(one), *(row("calc", line, role="working") for line in one.working())]
    rows += [] if step.readings else [row("answer", TICKED)]
    rows.append(row("stop if", f"{_outside(step.readings)}{spec.stop_if}", tone="danger"))
    note = FAILED_NOTE if step.has_failed else STATE_NOTES.get(step.state, "")
    note = note or MEMORY_NOTES.get(step.memory, "")
    title = f"{number}  {BOXES[step.state]}  {spec.title}{note}"
    return Section(title, tuple(rows), "whole")


def _reading_row(reading: PlannedReading) -> Row:
    """A reading: its key, what to expect, and what was read."""
    words = [expected_words(reading)] if expected_words(reading) else []
    if reading.value is None:
        words.append("read: ________")
    else:
        words.append(f"read: {shown(reading.value, reading.entry.unit)}")
    about = "; ".join(words)
    tone = STATE_TONES[reading.state] if reading.value is not None else "faint"
    optional = ", if it can be read" if reading.optional else ""
    answers = f"; {answers_to(reading)}" if answers_to(reading) else ""
    return row(
        "measure",
        (Code(reading.key), f" ({reading.entry.title}{optional}{answers}): {about}"),
        tone=tone,
    )


def answers_to(reading: PlannedReading) -> str:
    """The words that may be answered; empty where it is a number without any."""
    entry = reading.entry
    if entry.kind == "boolean":
        return f"yes or no{', or none' if entry.can_be_none else ''}"
    if entry.kind == "date":
        return "a day, such as 2026-05-18"
    if entry.choices:
        several = ", or several with a comma" if entry.kind == "list" else ""
        return f"{alternatives(entry.choices)}{several}"
    return "a number, or none" if entry.can_be_none else ""


def expected_words(reading: PlannedReading) -> str:
    """The band in which a reading should lie; empty where nothing can be said beforehand."""
    if reading.expect is None:
        return f"expected once {', '.join(reading.lacks)} is known" if reading.lacks else ""
    return f"expected {span_words(reading.expect, reading.entry.unit)}"


def span_words(band: Band, unit: str) -> str:
    """A band in words.

    >>> span_words(Band(4.5, 5.5), "V"), span_words(Band(None, 5.0), "V")
    ('4.5 V to 5.5 V', 'up to 5 V')
    """
    low, high = (None if end is None else shown(rounded_end(end), unit) for end in band)
    if low is None:
        return f"up to {high}"
    if high is None:
        return f"from {low}"
    return low if low == high else f"{low} to {high}"


def _stop_words(reading: PlannedReading, words: str) -> str:
    return f"{_outside((reading,))}{words}"


def _outside(readings: Iterable[PlannedReading]) -> str:
    """In words, outside which bands to stop at once; ends with what joins it to more."""
    told = [
        f"{one.entry.title} {outside_words(one.stop, one.entry.unit)}, or "
        for one in readings
        if one.stop is not None
    ]
    return "".join(told)


def outside_words(band: Band, unit: str) -> str:
    """Where a band ends, in words.

    >>> outside_words(Band(4.0, 6.0), "V"), outside_words(Band(5.8, None), "kohm")
    ('outside 4 V to 6 V', 'below 5.8 kΩ')
    """
    if band.low == band.high:
        return f"other than {span_words(band, unit)}"
    if band.high is None:
        return f"below {span_words(band, unit).removeprefix('from ')}"
    if band.low is None:
        return f"above {span_words(band, unit).removeprefix('up to ')}"
    return f"outside {span_words(band, unit)}"
