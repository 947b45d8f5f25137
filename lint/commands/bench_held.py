"""What holds a step of a bring-up: dangers and faults of the profile, and entries that are missing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from ..judgement.bring_up import lacking_before, standing_before
from ..judgement.finding import Judgement
from ..judgement.planned_step import PlannedReading, PlannedStep, graver_of
from ..judgement.verdict import ask_of
from ..reports.check_page import finding_notice
from ..reports.section import Notice, Row, row
from .bench_words import HELD, HELD_POWER, LACKING, NO_GO_YET, SWITCH_OFF


def held_by(step: PlannedStep, judgement: Judgement) -> Iterator[Row | Notice]:
    """What to put right or to enter before a step may be done; nothing where it may."""
    standing = standing_before(step, judgement.findings)
    if standing:
        yield row("first", HELD if step.spec.turns else HELD_POWER, tone="danger")
        yield from (finding_notice(one, judgement.profile) for one in standing)
        return
    lacking = lacking_before(step, judgement)
    if lacking:
        yield row("first", LACKING.format(stage=step.spec.turns), tone="danger")
        yield row("enter", *map(ask_of, lacking), role="act")


def standing_at_start(judgement: Judgement) -> Iterator[Row]:
    """How a bring-up begins with a profile that is no-go already."""
    grave = [one for one in graver_of(judgement.findings) if one.rule.stage == "stand"]
    if grave:
        count = (
            f"{len(grave)} danger or fault"
            if len(grave) == 1
            else f"{len(grave)} dangers or faults"
        )
        yield row("no-go", NO_GO_YET.format(count=count), tone="danger")


def alarm(reading: PlannedReading | None, steps: Iterable[PlannedStep]) -> Iterator[Row]:
    """To switch off, before all reasons, where a reading stops a step with a turning motor."""
    turning = (one for step in steps if step.spec.turns for one in step.readings)
    if reading is not None and reading.state == "stop" and reading in turning:
        yield row("stop", SWITCH_OFF, tone="danger")
