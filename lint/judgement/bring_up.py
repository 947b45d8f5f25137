"""The bring-up of a vehicle: its steps in a safe order, and which of them may be begun."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from ..documents.motors import entry_path
from ..documents.profile import Profile
from ..quantities.registry import rests_on
from .bring_up_steps import bring_up_steps, tick_of
from .evaluation import book_of
from .finding import Finding, NotChecked
from .planned_step import (
    STEPS_DONE,
    STEPS_FAILED,
    PlannedStep,
    Whose,
    applies,
    graver_of,
    is_about,
    planned,
)
from .verdict import READINGS, short_of

BEGUN = "readings.bring_up_begun"
_TICKS = frozenset((STEPS_DONE, STEPS_FAILED, BEGUN))


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
    """The dangers and faults with which a step may not be begun; those about itself aside.

    Where the motor turns on the stand all that count there, in a ride all; where something is charged
    or the pack connected those of what it powers. None at any other step.
    """
    if step.spec.turns is None:
        return tuple(one for one in graver_of(findings) if _is_of_power(one, step.spec.powers))
    alone = step.failed == (tick_of(step.spec.step),)  # it failed, and is done again
    return tuple(
        one
        for one in graver_of(findings)
        if (one.rule.stage == "stand" or step.spec.turns == "ride")
        and not any(is_about(one, each.entry.quantity, each.motor) for each in step.readings)
        and not (alone and is_about(one, STEPS_FAILED))
    )


def _is_of_power(finding: Finding, powers: Collection[str]) -> bool:
    """Whether a finding is about what a step powers; one about a reading stops the step of that."""
    section = finding.quantity.partition(".")[0]
    return (
        finding.rule.stage == "stand"
        and not finding.quantity.startswith(READINGS)
        and not {finding.rule.topic, section}.isdisjoint(powers)
    )


def standing_at_start(
    plan: Sequence[PlannedStep], findings: Iterable[Finding]
) -> tuple[Finding, ...]:
    """The dangers and faults of the stand with which a bring-up begins, whatever is read in it.

    One that an open reading may settle is left out, if it holds nothing before that.
    """
    open_ = {one.entry.quantity for step in plan for one in step.readings if one.value is None}
    return tuple(
        one
        for one in graver_of(findings)
        if one.rule.stage == "stand"
        and (
            holds_power(one, plan)
            or all(open_.isdisjoint(rests_on(name)) for name in one.rule.reads)
        )
    )


def holds_power(finding: Finding, plan: Iterable[PlannedStep]) -> bool:
    """Whether a finding holds steps that charge or connect something, and not those alone that turn."""
    return any(_is_of_power(finding, step.spec.powers) for step in plan)


def lacking_before(
    step: PlannedStep, waiting: Iterable[NotChecked], plan: Sequence[PlannedStep]
) -> tuple[str, ...]:
    """What the profile is short of at the stage at which a step's motor turns; none where none does.

    Readings that come in this step or later are left out; before a ride all that the plan asks for:
    its steps wait for those that come before.
    """
    if step.spec.turns is None:
        return ()
    names = [(one.spec.step, one.motor) for one in plan]
    place = names.index((step.spec.step, step.motor)) if step.spec.turns == "stand" else 0
    to_come = {
        name
        for each in plan[place:]
        for one in each.readings
        for name in (one.entry.path, one.entry.quantity)
    }
    missing = short_of(waiting, step.spec.turns)
    return tuple(name for name in missing if entry_path(name) not in to_come | _TICKS)


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
