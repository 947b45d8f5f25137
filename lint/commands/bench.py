"""At the bench: the steps of a bring-up one by one, each reading judged and written as it is taken."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import partial
from typing import Any, TextIO

from ..documents.atomic_write import write
from ..documents.edit import Edit, edited
from ..documents.error import DocumentErrors, UsageError
from ..documents.motors import entry_path, key_under, motor_of
from ..documents.schema import properties
from ..documents.template import TemplateValue
from ..documents.text import clean
from ..judgement.bring_up import bring_up_plan, open_before, standing_before
from ..judgement.bring_up_steps import tick_of
from ..judgement.finding import Judgement
from ..judgement.judge import judge
from ..judgement.planned_step import NOTICED, STEPS_DONE, PlannedReading, PlannedStep, is_about
from ..judgement.verdict import READINGS
from ..reports.bring_up import BENCH_CAUTIONS, waiting_words
from ..reports.check_page import finding_notice
from ..reports.layout import Page
from ..reports.section import Passage, Section, row
from .answer import keyed_value
from .bench_offers import following
from .bench_reading import answered_reading, as_expected, question_of, refuse_impossible, several
from .entry_questions import entry_question, explanation
from .formats import sections_as_text
from .interview import TAKEN
from .output import deliver
from .proposal import OpenedProfile, opened
from .questions import HELP, Ask, asked, yes_or_no

OPENING = "Enter leaves a reading for later, ? explains it, Ctrl-C ends; every reading is written at once."
TICKING = "Yes ticks the step in the profile; no, or Enter, leaves it for the next time."
TAKING_OVER = "Yes enters the value in the profile, with nothing else changed; no leaves it."
HELD = "With these dangers or faults of the profile nothing is turned; put them right first."
AGAIN = "Measure again: a new value, or Enter to stop here. "
STOPPING = (
    "Stop here. Switch off, put it right, then run the same command again: it goes on from here."
)


class Bench:
    """A vehicle on the stand: its profile as it stands in the file, and what is said of it."""

    def __init__(self, profile: OpenedProfile, page: Page, out: TextIO | None) -> None:
        self.profile, self.page, self.out = profile, page, out
        self.is_stopped = False
        self.told: set[str] = set()  # findings that were shown
        self._judgement: Judgement | None = None
        self._plan: tuple[PlannedStep, ...] | None = None  # that of the judgement

    def steps(self) -> tuple[PlannedStep, ...]:
        """The plan with what was read so far."""
        judgement = self._judged()
        if self._plan is None:
            profile = self.profile
            self._plan = bring_up_plan(profile.profile, profile.judged_on, judgement.findings)
        return self._plan

    def enter(self, given: Mapping[str, TemplateValue]) -> None:
        """Take readings that are there already, in the order of the plan, then the others."""
        order = [one.key for one in self._readings()]
        for name in sorted(given, key=lambda one: (one not in order, one)):
            try:
                self._take(name, given[name])
            except UsageError as wrong:
                raise UsageError(f"{name}: {wrong}") from wrong

    def hold(self, ask: Ask) -> None:
        """Go through the steps that are not done, and ask for each reading."""
        self._tell((Passage((BENCH_CAUTIONS,)), Passage((OPENING,))))
        waiting: set[tuple[str, str]] = set()  # one that waits for these alone has no line
        for number, step in enumerate(self.steps(), 1):
            if step.state == "done":
                continue
            if waits_for := open_before(step, self.steps()):
                if not waiting.issuperset(map(_name_of, waits_for)):
                    words = (row("wait", waiting_words(waits_for)),)
                    self._tell(words, f"{number}  {step.spec.title}")
                waiting.add(_name_of(step))
                continue
            self._begin(number, step)
            if self._is_held(step) or not self._work_at(step, ask):
                self._tell((row("stop", STOPPING, tone="danger"),))
                self.is_stopped = True
                return

    def _is_held(self, step: PlannedStep) -> bool:
        """Whether dangers or faults stand with which the motor may not turn; they are told."""
        judgement = self._judged()
        standing = standing_before(step, judgement.findings)
        if standing:
            self._tell((row("first", HELD, tone="danger"),))
            self._tell(finding_notice(one, judgement.profile) for one in standing)
        return bool(standing)

    def _work_at(self, step: PlannedStep, ask: Ask) -> bool:
        """Take what is open of a step; false where it ends the work."""
        for reading in step.readings:
            now = self._found(*_which(reading))  # None: an answer before made it needless
            if now is None or now.state == "done":
                continue
            if not (self._ask_for(*_which(now), ask) and self._is_sound(step, ask)):
                return False
        if step.spec.notices and not self._notice(ask):
            return False
        if not step.readings:
            self._tick(step, ask)
        return True

    def _is_sound(self, step: PlannedStep, ask: Ask) -> bool:
        """Ask again for a reading of the step that a later one shows to be wrong; false to end."""
        found = [self._found(*_which(one)) for one in step.readings]
        stopping = [one for one in found if one is not None and one.state == "stop"]
        return all(self._ask_for(*_which(one), ask) for one in stopping)

    def _notice(self, ask: Ask) -> bool:
        """Add what was noticed at a later step; false where it ends the work."""

        def noticed(answer: str) -> Mapping[str, TemplateValue]:
            if answer == HELP:
                raise UsageError(explanation(NOTICED).rstrip())
            return {NOTICED: self._noticed_with(answer)} if answer else {}

        asks = f"{entry_question(NOTICED).asks} (Enter: nothing new)"
        self._answered(asks, noticed, ask)
        return self._reading(NOTICED, "").state != "stop"

    def _noticed_with(self, answer: str) -> TemplateValue:
        """What was noticed before, and what an answer adds to it."""
        _, fresh = keyed_value(NOTICED, answer)
        before = self.profile.profile.value(NOTICED) or ()
        whole = dict.fromkeys([*several(before), *several(fresh)])
        symptoms = [one for one in whole if one != "none"]
        return symptoms or "none"

    def _begin(self, number: int, step: PlannedStep) -> None:
        spec = step.spec
        rows = (
            row("caution", spec.caution, tone="fault"),
            row("do", spec.do, role="act"),
            row("stop if", spec.stop_if, tone="danger"),
        )
        self._tell(rows, f"{number}  {spec.title}")

    def _tick(self, step: PlannedStep, ask: Ask) -> None:
        if yes_or_no("Done:", ask, False, TICKING):
            ticks = [*(self.profile.profile.value(STEPS_DONE) or ()), tick_of(step.spec.step)]
            self._write({STEPS_DONE: ticks})

    def _ask_for(self, quantity: str, motor: str, ask: Ask) -> bool:
        """Ask for one reading until it can be; false where it ends the work.

        One that stopped the work the last time still does, until a new one is sound.
        """
        again = ""
        if self._reading(quantity, motor).state == "stop":
            self._judge_aloud(quantity, motor)
            again = AGAIN
        while True:
            reading = self._reading(quantity, motor)
            if not self._answered(
                f"{again}{question_of(reading)}", partial(answered_reading, reading), ask
            ):
                return not again
            taken = self._found(quantity, motor)
            if taken is None or taken.state != "stop":
                self._offer(quantity, ask)
                return True
            again = AGAIN

    def _answered(self, asks: str, read: Any, ask: Ask) -> bool:
        """Whether an answer was given; one that cannot be is asked for again with the reason."""

        def taken(answer: str) -> bool:
            values = read(answer)
            for name, value in values.items():
                self._take(name, value)
            return bool(values)

        return asked(asks, taken, ask)

    def _take(self, name: str, value: TemplateValue) -> None:
        """Write one reading and say what it means; raises UsageError for one that cannot be."""
        path = entry_path(name)
        quantity, motor = properties()[path].quantity, motor_of(name)
        reading = self._found(quantity, motor)
        if reading is not None and path == reading.entry.path:
            refuse_impossible(reading, value)
        self._write({key_under(reading.motor if reading else motor, path): value})
        self._judge_aloud(quantity, motor)

    def _write(self, values: Mapping[str, Any]) -> None:
        """Put values into the file as it was read, or not at all."""
        profile = self.profile
        edits = [Edit(tuple(name.split(".")), value) for name, value in values.items()]
        if profile.profile.value(TAKEN) is None and any(
            entry_path(name).startswith(READINGS) for name in values
        ):
            edits.insert(0, Edit(tuple(TAKEN.split(".")), profile.judged_on))
        data = edited(profile.data, edits, profile.profile.file)
        try:
            profile.as_drafted(data)
        except DocumentErrors as wrong:
            raise UsageError("\n".join(str(error) for error in wrong.errors)) from wrong
        write(profile.path, profile.data, data)
        self.profile = opened(profile.path, profile.judged_on)

    def _judge_aloud(self, quantity: str, motor: str) -> None:
        """What the value just read comes to: its findings, or that it is as expected."""
        judgement = self._judged()
        reading = self._found(quantity, motor)
        found = [one for one in judgement.findings if is_about(one, quantity, motor)]
        fresh = [one for one in found if one.message not in self.told]
        self.told.update(one.message for one in fresh)
        notices = tuple(finding_notice(one, judgement.profile) for one in fresh)
        if notices:
            self._tell(notices)
        elif found:
            self._tell(row("still", one.message, tone="fault") for one in found)
        elif reading is not None:
            self._tell((as_expected(reading),))

    def _offer(self, quantity: str, ask: Ask) -> None:
        """The settings that follow from a reading, each entered at yes."""
        for setting in following(self.profile, quantity):
            value = (
                f"{setting.entered:g}"
                if isinstance(setting.entered, int | float)
                else str(setting.entered)
            )
            now = "" if setting.before is None else f" instead of {setting.before}"
            asks = f"Enter {clean(setting.entered_as)}: {value}{now}? {setting.because}"
            if yes_or_no(asks, ask, True, TAKING_OVER):
                self._write({".".join(setting.keys): setting.entered})

    def _judged(self) -> Judgement:
        """The judgement of the file as it stands, made once."""
        profile = self.profile
        if self._judgement is None or self._judgement.profile is not profile.profile:
            self._judgement = judge(profile.profile, profile.catalogue, profile.judged_on)
            self._plan = None
        return self._judgement

    def _readings(self) -> Iterator[PlannedReading]:
        return (one for step in self.steps() for one in step.readings)

    def _found(self, quantity: str, motor: str) -> PlannedReading | None:
        """A reading of the plan as it is now; None where this vehicle has none such.

        Where there is one motor, it is the same whether it stands under that or not.
        """
        alone = not self.profile.profile.motors
        named = (one for one in self._readings() if one.entry.quantity == quantity)
        return next((one for one in named if alone or one.motor == motor), None)

    def _reading(self, quantity: str, motor: str) -> PlannedReading:
        reading = self._found(quantity, motor)
        assert reading is not None, quantity
        return reading

    def _tell(self, blocks: Iterable[Any], title: str = "") -> None:
        section = Section(title, tuple(blocks))
        begins = "\n" if title else ""  # a step stands apart from the one before
        deliver(f"{begins}{sections_as_text([section], self.page)}", None, self.out)


def _which(reading: PlannedReading) -> tuple[str, str]:
    """What a reading is found by again once another was taken."""
    return reading.entry.quantity, reading.motor


def _name_of(step: PlannedStep) -> tuple[str, str]:
    return step.spec.step, step.motor
