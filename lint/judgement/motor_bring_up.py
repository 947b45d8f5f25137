"""The bring-up of a vehicle with several motors: what is of the vehicle once, what is of a motor for each."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from itertools import groupby

from ..documents.profile import BASE, Profile
from .bring_up_steps import BringUpStep, bring_up_steps, one_alone
from .finding import Finding
from .motor_books import CONTROLLER, books_of_motors
from .motor_keys import OWN_READINGS, keys_lacking
from .planned_step import NOTICED, PlannedStep, Whose, applies, graver_of, planned

_CONTROLLER_READ = "readings.temperature.controller_degC"


def motor_plan(
    profile: Profile, judged_on: str, findings: Iterable[Finding]
) -> tuple[PlannedStep, ...]:
    """The steps of a vehicle with several motors; those of one motor stand together."""
    _, books = books_of_motors(replace(profile, modes={}), judged_on)
    each = {
        name: Whose(books[name][BASE].own, view, name, _own(view, profile))
        for name, view in profile.motors.items()
    }
    shared = [Whose(known[BASE].pack, profile) for known in books.values()]
    grave = graver_of(findings)
    found: list[PlannedStep | None] = []
    for is_of_motor, block in groupby(bring_up_steps(), _is_of_motor):
        steps = list(block)
        once = [_of_vehicle(step, each.values()) for step in steps] if is_of_motor else steps
        found += [_of_all(step, shared, grave) for step in once if step is not None]
        for whose in each.values() if is_of_motor else ():
            found += [_of_motor(step, whose, profile, grave) for step in steps]
    return tuple(step for step in found if step is not None)


def _of_all(
    step: BringUpStep, shared: Iterable[Whose], grave: Iterable[Finding]
) -> PlannedStep | None:
    """A step of the vehicle, worked out by the first motor that it is for; None where it is for none."""
    whose = next((one for one in shared if applies(step, one.book)), None)
    return None if whose is None else planned(step, whose, grave)


def _is_of_motor(step: BringUpStep) -> bool:
    return any(one.entry.startswith(OWN_READINGS) for one in step.readings)


def _own(view: Profile, profile: Profile) -> frozenset[str]:
    """The readings that stand under a motor: its own, and that of a controller of its own."""
    has_box = view.sections.get(CONTROLLER) != profile.sections.get(CONTROLLER)
    names = (one.entry for step in bring_up_steps() for one in step.readings)
    return frozenset(
        name
        for name in names
        if name.startswith(OWN_READINGS) or (name == _CONTROLLER_READ and has_box)
    )


def _of_vehicle(step: BringUpStep, each: Iterable[Whose]) -> BringUpStep | None:
    """What is read once of a step that motors have; what was noticed is asked with each motor."""
    shared = frozenset.intersection(*(one.own for one in each)) | {NOTICED}
    readings = tuple(one for one in step.readings if one.entry not in shared)
    return step._replace(readings=readings) if readings else None


def _of_motor(
    step: BringUpStep, whose: Whose, profile: Profile, grave: Iterable[Finding]
) -> PlannedStep | None:
    """A step of one motor; None where nothing of it is read on this motor."""
    is_first = whose.motor == next(iter(profile.motors))
    asks = whose.own | {NOTICED} if is_first else whose.own
    readings = tuple(one for one in step.readings if one.entry in asks)
    asks_noticed = any(one.entry == NOTICED for one in step.readings)
    spec = step._replace(
        title=f"{step.title}, motor {whose.motor}",
        do=f"{one_alone()} {step.do}" if step.turns else step.do,
        readings=readings,
        notices=step.notices or (asks_noticed and not is_first),
    )
    if not readings or not applies(spec, whose.book):
        return None
    step_of_motor = planned(spec, whose, grave)
    return step_of_motor._replace(
        readings=tuple(
            one._replace(lacks=tuple(_keys(one.lacks, whose.motor, profile)))
            for one in step_of_motor.readings
        )
    )


def _keys(names: Iterable[str], motor: str, profile: Profile) -> list[str]:
    return sorted({key for name in names for key in keys_lacking(name, motor, profile)})
