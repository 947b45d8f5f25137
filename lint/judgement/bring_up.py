"""The bring-up of a vehicle: its steps in a safe order, and which of them may be begun."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from ..documents.motors import entry_path
from ..documents.profile import Profile
from .bring_up_steps import bring_up_steps, tick_of
from .evaluation import book_of
from .finding import Finding, Judgement
from .planned_step import (
    STEPS_FAILED,
    PlannedStep,
    Whose,
    applies,
    graver_of,
    is_about,
    planned,
)
from .verdict import READINGS, short_of


def bring_up_plan(
    profile: Profile, judged_on: str, findings: Iterable[Finding] = ()
) -> tuple[PlannedStep, ...]:
    """The steps that apply to a vehicle, each with its bands worked out and its state.

    `findings` are those of its judgement: a danger or fault that points at a reading stops its step, and
    one that reads it where the motor turns. What is expected of a reading is worked out without it.
    """
    if profile.motors:
        from .motor_bring_up import motor_plan  # late: most vehicles have one motor

        return motor_plan(profile, judged_on, findings)
    whose, grave = Whose(book_of(profile, judged_on), profile), graver_of(findings)
    steps = (step for step in bring_up_steps() if not step.several)
    return tuple(planned(step, whose, grave) for step in steps if applies(step, whose.book))


def standing_before(step: PlannedStep, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The dangers and faults with which a step may not be done; those about itself aside.

    Where the motor turns on the stand those that count there, in a ride all; where something is
    charged or connected those that point at it. None at any other step; nor one that points at a
    reading of a later step that waits for this one, since only this one lets it be read again.
    """
    if step.spec.turns is None:
        return tuple(
            one
            for one in graver_of(findings)
            if one.rule.stage == "stand" and _section_of(one.quantity) in step.spec.powers
        )
    alone = step.failed == (tick_of(step.spec.step),)  # it failed, and is done again
    return tuple(
        one
        for one in graver_of(findings)
        if (one.rule.stage == "stand" or step.spec.turns == "ride")
        and not any(is_about(one, each.entry.quantity, each.motor) for each in step.readings)
        and one.quantity not in _read_after(step.spec.step)
        and not (alone and is_about(one, STEPS_FAILED))
    )


@lru_cache(maxsize=32)
def _read_after(name: str) -> frozenset[str]:
    """The readings of all steps that wait for a step, themselves or by others."""
    waiting = {name}
    for step in bring_up_steps():  # each stands behind those that it waits for
        if not waiting.isdisjoint(step.after):
            waiting.add(step.step)
    later = (step for step in bring_up_steps() if step.step in waiting - {name})
    return frozenset(reading.entry for step in later for reading in step.readings)


def _section_of(quantity: str) -> str:
    return quantity.partition(".")[0]


def lacking_before(step: PlannedStep, judgement: Judgement) -> tuple[str, ...]:
    """The entries without which the profile is not fit for the stage at which a step's motor turns.

    Readings aside: they are taken in their own steps.
    """
    if step.spec.turns is None:
        return ()
    missing = short_of(judgement.not_checked, step.spec.turns)
    return tuple(name for name in missing if not entry_path(name).startswith(READINGS))


def open_before(step: PlannedStep, plan: Iterable[PlannedStep]) -> tuple[PlannedStep, ...]:
    """The steps that a step waits for: not begun before they are done, since they make it safe.

    A step of one motor waits for none of another motor, one of the vehicle for those of each.
    """
    waits = (one for one in plan if one.spec.step in step.spec.after)
    return tuple(
        one
        for one in waits
        if one.state in ("to do", "stop") and (not step.motor or one.motor in ("", step.motor))
    )
