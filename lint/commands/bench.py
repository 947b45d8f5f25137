"""At the bench: the steps of a bring-up one by one, each reading judged and written as it is taken."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import partial
from typing import Any, TextIO

from ..documents.error import UsageError
from ..documents.motors import entry_path, key_under, motor_of
from ..documents.schema import properties
from ..documents.template import TemplateValue
from ..judgement.bring_up_steps import tick_of
from ..judgement.planned_step import (
    NOTICED,
    PlannedStep,
    is_about,
)
from ..reports.check_page import finding_notice
from ..reports.layout import Page
from ..reports.section import Section, row
from .bench_offers import following, offer_of
from .bench_profile import OnStand, StepName
from .bench_reading import (
    alarm,
    answered_reading,
    as_expected,
    noticed_with,
    question_of,
    refuse_impossible,
)
from .bench_words import (
    AGAIN,
    MISFIT,
    TAKING_OVER,
    TICKING,
    TYPE_IN,
)
from .entry_questions import entry_question, explanation
from .formats import sections_as_text
from .output import deliver
from .proposal import OpenedProfile
from .questions import HELP, Ask, asked, done_or_failed, yes_or_no

THROTTLE_ENDS = ("rest_V", "full_V", "reverse_full_V")


class Bench:
    """The conversation of a bring-up: what is asked of a vehicle on its stand, and said of it."""

    def __init__(self, profile: OpenedProfile, page: Page, out: TextIO | None) -> None:
        self.stand, self.page, self.out = OnStand(profile), page, out
        self.is_stopped = False
        self.told: set[str] = set()  # findings that were shown
        self._waiting: set[StepName] = set()  # steps that were said to wait
        self._left: dict[StepName, int] = {}  # how many were open when a step was left
        self._asked: set[tuple[str, str]] = set()  # readings asked for, answered or not
        self._void: set[StepName] = set()  # steps whose readings are of a run before
        self._put_right: set[str] = set()  # findings of later steps that were said to be put right

    def enter(self, given: Mapping[str, TemplateValue]) -> None:
        """Take readings that are there already, in the order of the plan, then the others.

        They are judged when all are written: half of a pair shows nothing.
        """
        order = [one.key for one in self.stand.readings()]
        written: list[tuple[str, str]] = []
        try:
            for name in sorted(given, key=lambda one: (one not in order, one)):
                try:
                    written.append(self._write(name, given[name]))
                except UsageError as wrong:
                    raise UsageError(f"{name}: {wrong}") from wrong
        finally:
            for quantity, motor in written:
                self._judge_aloud(quantity, motor)

    def _notice(self, ask: Ask) -> bool:
        """Add what was noticed at a later step; false where it ends the work."""

        def noticed(answer: str) -> Mapping[str, TemplateValue]:
            if answer == HELP:
                raise UsageError(explanation(NOTICED).rstrip())
            return (
                {NOTICED: noticed_with(self.stand.profile.profile.value(NOTICED), answer)}
                if answer
                else {}
            )

        asks = f"{entry_question(NOTICED).asks} (Enter: nothing new)"
        self._answered(asks, noticed, ask)
        return self.stand.reading(NOTICED, "").state != "stop"

    def _begin(self, number: int, step: PlannedStep) -> None:
        spec = step.spec
        rows = (
            row("caution", spec.caution, tone="fault"),
            row("do", spec.do, role="act"),
            row("stop if", spec.stop_if, tone="danger"),
        )
        self._tell(rows, f"{number}  {spec.title}")

    def _tick(self, step: PlannedStep, ask: Ask) -> bool:
        """Tick a step that is looked at; false where it failed, which ends the work."""
        is_done = done_or_failed("Done:", ask, TICKING)
        if is_done is not None:
            self.stand.tick(tick_of(step.spec.step), is_done)
        return is_done is not False

    def _ask_for(self, quantity: str, motor: str, ask: Ask) -> bool:
        """Ask for one reading until it can be; false where it ends the work.

        One that stopped the work the last time still does, until a new one is sound.
        """
        again = ""
        self._asked.add((quantity, motor))
        if self.stand.reading(quantity, motor).state == "stop":
            self._judge_aloud(quantity, motor)
            again = AGAIN
        while True:
            reading = self.stand.reading(quantity, motor)
            if not self._answered(
                f"{again}{question_of(reading)}", partial(answered_reading, reading), ask
            ):
                return not again
            taken = self.stand.found(quantity, motor)
            if taken is None or taken.state != "stop":
                self._offer(quantity, motor, ask)
                return not self._misfits(quantity, motor)
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
        self._judge_aloud(*self._write(name, value))

    def _write(self, name: str, value: TemplateValue) -> tuple[str, str]:
        """Write one reading; its quantity and motor."""
        path = entry_path(name)
        quantity, motor = properties()[path].quantity, motor_of(name)
        reading = self.stand.found(quantity, motor)
        if reading is not None and path == reading.entry.path:
            refuse_impossible(reading, value)
        self.stand.put({key_under(reading.motor if reading else motor, path): value})
        return quantity, motor

    def _judge_aloud(self, quantity: str, motor: str) -> None:
        """What the value just read comes to: its findings, or that it is as expected."""
        judgement = self.stand.judged()
        reading = self.stand.found(quantity, motor)
        found = [one for one in judgement.findings if is_about(one, quantity, motor)]
        fresh = [one for one in found if one.message not in self.told]
        self.told.update(one.message for one in fresh)
        notices = tuple(finding_notice(one, judgement.profile) for one in fresh)
        if notices:
            self._tell((*alarm(reading, self.stand.steps()), *notices))
        elif found:
            self._tell(row("still", one.message, tone="fault") for one in found)
        elif reading is not None:
            self._tell((as_expected(reading),))

    def _offer(self, quantity: str, motor: str, ask: Ask) -> None:
        """The settings that follow from a reading, each entered at yes.

        While a danger or fault stands about the reading, none but one that it points at: what is to be
        repaired is read anew.
        """
        standing = {one.quantity for one in self.stand.standing_about(quantity, motor)}
        for setting in following(self.stand.profile, quantity):
            if standing and setting.quantity not in standing:
                continue
            if yes_or_no(offer_of(setting), ask, False, TAKING_OVER):
                self.stand.enter_setting({".".join(setting.keys): setting.entered})
                self._tell((row("then", TYPE_IN),))

    def _misfits(self, quantity: str, motor: str) -> bool:
        """Whether a throttle's reading and the settings are a danger together; it is said."""
        standing = quantity.endswith(THROTTLE_ENDS) and self.stand.standing_about(quantity, motor)
        if standing:
            self._tell((row("first", MISFIT, tone="danger"),))
        return bool(standing)

    def _tell(self, blocks: Iterable[Any], title: str = "") -> None:
        section = Section(title, tuple(blocks))
        begins = "\n" if title else ""  # a step stands apart from the one before
        deliver(f"{begins}{sections_as_text([section], self.page)}", None, self.out)
