"""The vehicle on its stand: its profile as it stands in the file, its plan, and what is written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from ..documents.atomic_write import write
from ..documents.edit import Edit, edited
from ..documents.error import DocumentErrors, UsageError
from ..documents.motors import entry_path
from ..judgement.bring_up import BEGUN, bring_up_plan, open_before
from ..judgement.finding import Finding, Judgement
from ..judgement.judge import judge
from ..judgement.planned_step import (
    STEPS_DONE,
    STEPS_FAILED,
    PlannedReading,
    PlannedStep,
    graver_of,
    is_about,
    words_under,
)
from ..judgement.settings_memory import DONE_FOR, OF_SETTINGS, remembered, settings_digest
from ..judgement.verdict import READINGS
from .interview import TAKEN
from .proposal import OpenedProfile, opened

_NONE = "none"
StepName = tuple[str, str]  # of a step and the motor that it is for


class OnStand:
    """A vehicle on the stand: its profile as it stands in the file, and how far its plan is."""

    def __init__(self, profile: OpenedProfile) -> None:
        self.profile = profile
        self.begins = False  # whether the first reading says that a bring-up was begun
        self._judgement: Judgement | None = None
        self._plan: tuple[PlannedStep, ...] | None = None  # that of the judgement

    def steps(self) -> tuple[PlannedStep, ...]:
        """The plan with what was read so far."""
        judgement = self.judged()
        if self._plan is None:
            profile = self.profile
            self._plan = bring_up_plan(profile.profile, profile.judged_on, judgement.findings)
        return self._plan

    def step(self, name: StepName) -> tuple[int, PlannedStep]:
        """A step of the plan as it is now, with its number."""
        return next(each for each in enumerate(self.steps(), 1) if name_of(each[1]) == name)

    def waits_for(self, name: StepName) -> list[StepName]:
        """The steps that a step which is not done waits for."""
        _, step = self.step(name)
        if step.state == "done":
            return []
        return [name_of(one) for one in open_before(step, self.steps())]

    def count_open(self) -> int:
        """How many steps are not done."""
        return sum(step.state != "done" for step in self.steps())

    def put(self, values: Mapping[str, Any]) -> None:
        """Put values into the file as it was read, or not at all."""
        profile = self.profile
        edits = [Edit(tuple(name.split(".")), value) for name, value in values.items()]
        if profile.profile.value(TAKEN) is None and any(
            entry_path(name).startswith(READINGS) for name in values
        ):
            edits.insert(0, Edit(tuple(TAKEN.split(".")), profile.judged_on))
        if self.begins and not any(profile.profile.value(one) for one in (BEGUN, STEPS_DONE)):
            edits.append(Edit(tuple(BEGUN.split(".")), profile.judged_on))
        data = edited(profile.data, edits, profile.profile.file)
        try:
            profile.as_drafted(data)
        except DocumentErrors as wrong:
            raise UsageError("\n".join(str(error) for error in wrong.errors)) from wrong
        write(profile.path, profile.data, data)
        self.profile = opened(profile.path, profile.judged_on)

    def enter_setting(self, values: Mapping[str, Any]) -> None:
        """Enter settings that somebody was told to type in as well: steps done for the others stay so."""
        profile = self.profile.profile
        same = [one for one in OF_SETTINGS if remembered(one, profile) == "same"]
        self.put(values)
        if same:
            self.put(self._done_for(same))

    def _done_for(self, ticks: Iterable[str]) -> dict[str, str]:
        """For which settings steps are done, by their keys, as it is noted beside their ticks."""
        mark = settings_digest(self.profile.profile)
        return {f"{DONE_FOR}.{one}": mark for one in ticks if one in OF_SETTINGS}

    def tick(self, step: str, is_done: bool) -> None:
        """Note that a step without readings is done, or that it failed; either takes the other back."""
        done, failed = (
            [one for one in words_under(name, self.profile.profile) if one != step]
            for name in (STEPS_DONE, STEPS_FAILED)
        )
        before = bool(words_under(STEPS_FAILED, self.profile.profile))
        if is_done:
            self.put(
                {
                    STEPS_DONE: [*done, step],
                    **({STEPS_FAILED: failed or _NONE} if before else {}),
                    **self._done_for([step]),
                }
            )
        else:
            self.put({STEPS_FAILED: [*failed, step]})

    def judged(self) -> Judgement:
        """The judgement of the file as it stands, made once."""
        profile = self.profile
        if self._judgement is None or self._judgement.profile is not profile.profile:
            self._judgement = judge(profile.profile, profile.catalogue, profile.judged_on)
            self._plan = None
        return self._judgement

    def standing(self) -> tuple[Finding, ...]:
        """The dangers and faults of the judgement that nobody accepted."""
        return graver_of(self.judged().findings)

    def standing_about(self, quantity: str, motor: str) -> list[Finding]:
        """Those of the stand about a reading, that no later reading may settle."""
        later = {one.entry.quantity for one in self.readings() if one.value is None}
        return [
            one
            for one in self.standing()
            if is_about(one, quantity, motor)
            and one.rule.stage == "stand"
            and later.isdisjoint(one.rule.reads)
        ]

    def readings(self) -> Iterator[PlannedReading]:
        """Every reading of the plan, in its order."""
        return (one for step in self.steps() for one in step.readings)

    def found(self, quantity: str, motor: str) -> PlannedReading | None:
        """A reading of the plan as it is now; None where this vehicle has none such.

        Where there is one motor, it is the same whether it stands under that or not.
        """
        alone = not self.profile.profile.motors
        named = (one for one in self.readings() if one.entry.quantity == quantity)
        return next((one for one in named if alone or one.motor == motor), None)

    def reading(self, quantity: str, motor: str) -> PlannedReading:
        """The same of one that this vehicle has."""
        reading = self.found(quantity, motor)
        assert reading is not None, quantity
        return reading


def which(reading: PlannedReading) -> tuple[str, str]:
    """What a reading is found by again once another was taken."""
    return reading.entry.quantity, reading.motor


def name_of(step: PlannedStep) -> StepName:
    """What a step is found by again once a reading was taken."""
    return step.spec.step, step.motor
