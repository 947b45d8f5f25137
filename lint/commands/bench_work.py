"""The steps of a bring-up one by one: which may be begun, what is taken anew, and how the work ends."""

from __future__ import annotations

from ..documents.text import clean
from ..expressions.formatting import shown
from ..judgement.bring_up import lacking_before, standing_at_start, standing_before
from ..judgement.finding import Finding
from ..judgement.planned_step import PlannedReading, PlannedStep, is_about
from ..judgement.verdict import ask_of, fitness, short_of
from ..reports.bring_up import BENCH_CAUTIONS, no_go_words, waiting_words
from ..reports.check_page import finding_notice
from ..reports.check_totals import VERDICT_WORDS
from ..reports.section import Passage, row
from .bench import Bench
from .bench_profile import StepName, name_of, which
from .bench_reading import answered_reading, question_of
from .bench_words import (
    FIT_FOR,
    GOES_ON,
    HELD,
    HELD_POWER,
    NOT_READY,
    NOT_THROUGH,
    OPENING,
    PUT_RIGHT,
    PUTTING_RIGHT,
    REPEATED,
    SHORT_OF,
    STAYS,
    STOPPING,
    THROUGH,
)
from .questions import Ask, asked, yes_or_no


class BenchWork(Bench):
    """The work on a vehicle: its steps in their order, as far as they may be done."""

    def hold(self, ask: Ask) -> None:
        """Go through the steps that are not done, and ask for each reading."""
        self.stand.begins = True
        steps = self.stand.steps()
        start = standing_at_start(steps, self.stand.judged().findings)
        first = (row("no-go", no_go_words(start, steps), tone="danger"),) if start else ()
        self._tell((Passage((BENCH_CAUTIONS,)), *first, Passage((OPENING,))))
        names = list(map(name_of, steps))
        if not (all(self._come_to(name, ask) for name in names) and self._fill_blanks(ask)):
            self._tell((row("stop", STOPPING, tone="danger"), *self._give_rows()))
            self.is_stopped = True
        elif not self.stand.count_open():
            if not self.tell_standing():
                self._tell((row("end", THROUGH, tone="go"),))
        else:
            titles = (step.spec.title for step in self.stand.steps() if step.state != "done")
            judgement = self.stand.judged()
            self._tell(
                (
                    row("open", "; ".join(titles)),
                    row("verdict", f"{VERDICT_WORDS[judgement.verdict]}: {fitness(judgement)}."),
                    row("next", GOES_ON, role="act"),
                )
            )

    def tell_standing(self) -> bool:
        """Say what keeps the whole from a go though no step is open; whether anything does."""
        judgement, standing = self.stand.judged(), self.stand.standing()
        if standing:
            fresh = [one for one in standing if one.message not in self.told]
            self._tell((row("end", NOT_THROUGH, tone="danger"),))
            self._tell(finding_notice(one, judgement.profile) for one in fresh)
            return True
        if judgement.verdict != "incomplete":
            return False
        lacking = short_of(judgement.not_checked, judgement.stage)
        words = f"{NOT_READY} {VERDICT_WORDS[judgement.verdict]}: {fitness(judgement)}."
        enter = row("enter", *((ask_of(name),) for name in lacking), role="act")
        self._tell((row("end", words, tone="advice"), enter))
        return True

    def _give_rows(self) -> tuple[object, ...]:
        """How a reading that the work ended at is entered anew, where there is one."""
        keys = [one.key for one in self.stand.readings() if one.state == "stop"]
        words = f"--give KEY=VALUE enters a reading anew as well, KEY such as {', '.join(keys)}."
        return (row("or", clean(words)),) if keys else ()

    def _fill_blanks(self, ask: Ask) -> bool:
        """Ask once more for what a step is done without; false where an answer ends the work."""
        for number, step in enumerate(self.stand.steps(), 1):
            blanks = [which(one) for one in step.blanks if which(one) not in self._asked]
            if not blanks or step.state != "done":
                continue
            self._begin(number, step)
            if self._is_held(step, ask):
                continue
            for quantity, motor in blanks:
                if not (self._ask_for(quantity, motor, ask) and self._is_sound(step, ask)):
                    return False
        return True

    def _come_to(self, name: StepName, ask: Ask) -> bool:
        """Do a step, what it waits for and was left open before; false where it ends the work."""
        for waited in self.stand.waits_for(name):
            left_at = self._left.get(waited)
            is_ripe = left_at not in (None, self.stand.count_open())
            if is_ripe and not self.stand.waits_for(waited) and not self._done(waited, ask):
                return False
        waits_for = self.stand.waits_for(name)
        if not waits_for:
            return self._done(name, ask)
        if not self._waiting.issuperset(waits_for):  # one that waits for these alone has no line
            words = waiting_words(self.stand.step(one)[1] for one in waits_for)
            number, step = self.stand.step(name)
            self._tell((row("wait", words),), f"{number}  {step.spec.title}")
        self._waiting.add(name)
        return True

    def _done(self, name: StepName, ask: Ask) -> bool:
        """Take what is open of a step whose turn it is; false where it ends the work."""
        number, step = self.stand.step(name)
        if step.state == "done" and name not in self._void:
            return True
        self._begin(number, step)
        if self._is_held(step, ask):
            sound = False
        else:
            sound = self._is_short(step) or self._work_at(step, ask)
        self._left[name] = self.stand.count_open()
        return sound

    def _is_held(self, step: PlannedStep, ask: Ask) -> bool:
        """Whether dangers or faults stand with which a step may not be begun; they are told.

        What they rest on can be read anew; what a later step shows is read there, once it is put right.
        """
        judgement, standing = self.stand.judged(), self._holding(step)
        if not standing:
            return False
        self._tell((row("first", HELD if step.spec.turns else HELD_POWER, tone="danger"),))
        self._tell(finding_notice(one, judgement.profile) for one in standing)
        before, _ = self._around(step)
        for reading in before:
            if self._is_behind(reading, standing) and self._take_anew(reading, ask):
                self._judge_aloud(*which(reading))
                standing = self._holding(step)
        if not standing:
            return False
        _, after = self._around(step)
        later = [one for one in standing if any(self._is_behind(each, [one]) for each in after)]
        if len(later) < len(standing) or not yes_or_no(PUT_RIGHT, ask, False, PUTTING_RIGHT):
            return True
        self._put_right.update(one.message for one in later)
        return False

    def _holding(self, step: PlannedStep) -> list[Finding]:
        """What holds a step, without what was put right and is read anew in a later step."""
        _, after = self._around(step)
        return [
            one
            for one in standing_before(step, self.stand.judged().findings)
            if one.message not in self._put_right
            or not any(self._is_behind(each, [one]) for each in after)
        ]

    def _around(self, step: PlannedStep) -> tuple[list[PlannedReading], list[PlannedReading]]:
        """What was read in the steps before one in which nothing turns, and in all those after it."""
        steps = self.stand.steps()
        place = [name_of(one) for one in steps].index(name_of(step))
        before = (each for one in steps[:place] if not one.spec.turns for each in one.readings)
        after = (each for one in steps[place + 1 :] for each in one.readings)
        return [one for one in before if one.value is not None], [
            one for one in after if one.value is not None
        ]

    def _is_behind(self, reading: PlannedReading, findings: list[Finding]) -> bool:
        """Whether a finding rests on a reading."""
        return any(is_about(one, *which(reading)) for one in findings)

    def _is_short(self, step: PlannedStep) -> bool:
        """Whether the profile lacks what the stage of a turning step asks for; it is told."""
        judgement = self.stand.judged()
        lacking = lacking_before(step, judgement.not_checked, self.stand.steps())
        if lacking:
            words = SHORT_OF.format(stage=FIT_FOR[step.spec.turns or ""])
            enter = row("enter", *((ask_of(name),) for name in lacking), role="act")
            self._tell((row("wait", words, tone="advice"), enter))
        return bool(lacking)

    def _work_at(self, step: PlannedStep, ask: Ask) -> bool:
        """Take what is open of a step; false where it ends the work."""
        if not self._is_repeated(step, ask):
            return False
        for reading in step.readings:
            now = self.stand.found(*which(reading))  # None: an answer before made it needless
            if now is None or now.state == "done":
                continue
            if not (self._ask_for(*which(now), ask) and self._is_sound(step, ask)):
                return False
        if step.spec.notices and not self._notice(ask):
            return False
        return bool(step.readings) or self._tick(step, ask)

    def _is_repeated(self, step: PlannedStep, ask: Ask) -> bool:
        """Take all of a turning step anew that stopped it before; false where that still stands.

        Its readings are those of one run: half of them from another show nothing.
        """
        stopping, is_void = self._stopping(step), name_of(step) in self._void
        self._void.discard(name_of(step))
        if not (step.spec.turns and (stopping or is_void)):
            return True
        for reading in stopping:
            self._judge_aloud(*which(reading))
        self._tell((row("again", REPEATED, role="act"),))
        taken = [one for one in step.readings if one.value is not None]
        fresh = [which(one) for one in taken if self._take_anew(one, ask)]
        if fresh:  # what turned after the run before says nothing of this one
            self._void.update(self._turned_after(step))
        for quantity, motor in fresh:
            self._judge_aloud(quantity, motor)
        return not self._stopping(step)

    def _turned_after(self, step: PlannedStep) -> list[StepName]:
        """The later steps in which the same motor turned on the stand and was read."""
        steps = self.stand.steps()
        place = [name_of(one) for one in steps].index(name_of(step))
        return [
            name_of(one)
            for one in steps[place + 1 :]
            if one.spec.turns == "stand"
            and (not step.motor or one.motor in ("", step.motor))
            and any(each.value is not None for each in one.readings)
        ]

    def _stopping(self, step: PlannedStep) -> list[PlannedReading]:
        """The readings of a step that stop the work as it is now."""
        found = [self.stand.found(*which(one)) for one in step.readings]
        return [one for one in found if one is not None and one.state == "stop"]

    def _is_sound(self, step: PlannedStep, ask: Ask) -> bool:
        """Ask again for a reading of the step that a later one shows to be wrong; false to end."""
        return all(self._ask_for(*which(one), ask) for one in self._stopping(step))

    def _take_anew(self, reading: PlannedReading, ask: Ask) -> bool:
        """Ask for a reading that was taken before, and write it; whether there is a new one."""

        def taken(answer: str) -> bool:
            values = answered_reading(reading, answer)
            for name, value in values.items():
                self._write(name, value)
            return bool(values)

        before = clean(shown(reading.value, reading.entry.unit))
        self._asked.add(which(reading))
        return asked(f"{STAYS.format(value=before)}{question_of(reading)}", taken, ask)
