"""Readings that stopped a step together: each asked for once more, then all of them judged."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from ..documents.template import TemplateValue
from ..judgement.planned_step import PlannedReading, PlannedStep
from .bench_reading import answered_reading, question_of
from .questions import Ask, asked

READ_AGAIN = "Read again: a new value, or Enter where it is the same. "


def stopped_together(step: PlannedStep) -> tuple[PlannedReading, ...]:
    """The readings of a step that one danger or fault is about, none of them alone; else none."""
    stopping = tuple(one for one in step.readings if one.state == "stop" and not one.stops)
    return stopping if len(stopping) > 1 else ()


def read_again(
    readings: tuple[PlannedReading, ...], write: Callable[[str, TemplateValue], object], ask: Ask
) -> None:
    """Ask for each once more; who leaves one keeps it."""

    def taken(reading: PlannedReading, answer: str) -> None:
        for name, value in answered_reading(reading, answer).items():
            write(name, value)

    for reading in readings:
        asked(f"{READ_AGAIN}{question_of(reading)}", partial(taken, reading), ask)
