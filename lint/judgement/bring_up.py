"""The bring-up of a vehicle: its steps in a safe order, with what each reading should come to."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Literal, NamedTuple

from ..documents.profile import Profile
from ..documents.schema import Property, canonical, entered_under, properties
from ..expressions.expression import Expression
from ..expressions.formatting import filled, shown
from ..quantities.book import Book
from ..quantities.number import is_number
from ..quantities.registry import unit_of
from .bring_up_steps import BandEnds, BringUpStep, StepReading, bring_up_steps, tick_of
from .evaluation import book_of
from .finding import Finding
from .rule import STOPS

State = Literal["to do", "done", "look again", "stop"]
GRAVEST_FIRST: tuple[State, ...] = ("stop", "to do", "look again", "done")
STEPS_DONE = "readings.steps_done"
NOTICED = "readings.noticed"


class Band(NamedTuple):
    """A span in the unit of an entry; an end that is not known is None."""

    low: float | None
    high: float | None

    def holds(self, value: float) -> bool:
        """Whether a value lies inside, as far as the ends are known."""
        return not ((self.low is not None and value < self.low) or self._is_above(value))

    def _is_above(self, value: float) -> bool:
        return self.high is not None and value > self.high


class PlannedReading(NamedTuple):
    """A reading of this vehicle: what it should come to, and what was read so far.

    `stop` is the band outside which the work ends, `can_be` the one outside which no meter reads.
    `lacks` names the entries without which nothing can be expected. `is_grave`: a danger or fault of
    the profile's judgement is about it.
    """

    entry: Property
    expect: Band | None
    stop: Band | None
    can_be: Band | None
    value: Any
    lacks: tuple[str, ...]
    optional: bool
    is_grave: bool

    @property
    def is_outside(self) -> bool:
        """Whether the value read is not the one expected."""
        return not all(self.expect is None or self.expect.holds(one) for one in self._numbers)

    @property
    def stops(self) -> bool:
        """Whether the value read ends the work at once."""
        return not all(self.stop is None or self.stop.holds(one) for one in self._numbers)

    @property
    def state(self) -> State:
        """How far it is."""
        if self.value is None:
            return "to do"
        if self.stops or self.is_grave:
            return "stop"
        return "look again" if self.is_outside else "done"

    @property
    def _numbers(self) -> list[float]:
        several = self.value if isinstance(self.value, list | tuple) else [self.value]
        return [one for one in several if type(one) in (int, float)]


class PlannedStep(NamedTuple):
    """A step for this vehicle, its readings and how far it is."""

    spec: BringUpStep
    readings: tuple[PlannedReading, ...]
    is_ticked: bool

    @property
    def state(self) -> State:
        """How far it is: as its gravest reading; without readings, whether it was ticked."""
        if not self.readings:
            return "done" if self.is_ticked else "to do"
        states = {one.state for one in self.readings if not (one.optional and one.value is None)}
        return next(state for state in GRAVEST_FIRST if state in states)


def bring_up_plan(
    profile: Profile, judged_on: str, findings: Iterable[Finding] = ()
) -> tuple[PlannedStep, ...]:
    """The steps that apply to a vehicle, each with its bands worked out and its state.

    `findings` are those of its judgement: a danger or fault that points at a reading stops its step, and
    one that reads it where the motor turns. What is expected of a reading is worked out without it.
    """
    book = book_of(profile, judged_on)
    grave = [one for one in findings if one.severity in STOPS and not one.waived]
    pointed = {one.quantity for one in grave}
    read = pointed.union(*(map(_quantities, grave)))
    return tuple(
        _planned(step, book, profile, read if step.turns else pointed)
        for step in bring_up_steps()
        if _applies(step, book)
    )


def standing_before(step: PlannedStep, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The dangers and faults with which a step's motor may not turn; those of its own readings aside.

    On the stand those that count there, in a ride all; none where nothing turns.
    """
    if step.spec.turns is None:
        return ()
    own = {one.entry.quantity for one in step.readings}
    return tuple(
        one
        for one in findings
        if one.severity in STOPS
        and not one.waived
        and (one.rule.stage == "stand" or step.spec.turns == "ride")
        and not own & _quantities(one)
    )


def _quantities(finding: Finding) -> set[str]:
    """The entry that a finding points at, and those that its calculation reads."""
    return {finding.quantity, *(one.quantity for one in finding.related)}


def open_before(step: PlannedStep, plan: Iterable[PlannedStep]) -> tuple[PlannedStep, ...]:
    """The steps that a step waits for: not begun before they are done, since they make it safe."""
    waits = [one for one in plan if one.spec.step in step.spec.after]
    return tuple(one for one in waits if one.state in ("to do", "stop"))


def _applies(step: BringUpStep, book: Book) -> bool:
    """Whether a step is for this vehicle; what is not known keeps no step away."""
    if not _is_for(step.when, book):
        return False
    return bool(_readings_for(step, book)) or not step.readings


def _is_for(when: Expression | None, book: Book) -> bool:
    return when is None or when.evaluate(book.operand).value is not False


def _readings_for(step: BringUpStep, book: Book) -> list[StepReading]:
    """The readings of a step that can be taken on this vehicle."""
    return [
        one for one in step.readings if not book.is_absent(one.entry) and _is_for(one.when, book)
    ]


def _planned(step: BringUpStep, book: Book, profile: Profile, grave: set[str]) -> PlannedStep:
    readings = tuple(
        _planned_reading(one, book, profile, one.entry in grave)
        for one in _readings_for(step, book)
    )
    ticks = profile.value(STEPS_DONE) or ()
    told = step._replace(do=filled(step.do, lambda name: _told(name, book)))
    return PlannedStep(told, readings, tick_of(step.step) in ticks)


def _told(name: str, book: Book) -> str:
    """A quantity that a step names, with its unit; an unknown one says so."""
    value = book.operand(name).value
    return "(not known)" if value is None else shown(value, unit_of(name))


def _planned_reading(
    reading: StepReading, book: Book, profile: Profile, is_grave: bool
) -> PlannedReading:
    name = reading.entry
    given = profile.givens.get(name)
    entry = properties()[given.entered_as if given is not None else canonical()[name].path]
    before = book.changed({name: None})
    lacks = sorted(
        {
            entered_under(missing)
            for end in reading.expect or ()
            if end is not None
            for missing in end.evaluate(before.operand).missing
        }
    )
    return PlannedReading(
        entry=entry,
        expect=_band(reading.expect, before, entry),
        stop=_band(reading.stop, before, entry),
        can_be=_band(reading.can_be, before, entry),
        value=given.entered if given is not None else None,
        lacks=tuple(lacks),
        optional=reading.optional,
        is_grave=is_grave,
    )


def _band(ends: BandEnds | None, book: Book, entry: Property) -> Band | None:
    """Both ends in the unit of the entry as it is entered; None where neither is known."""
    if ends is None:
        return None
    low, high = (None if end is None else _end(end, book, entry) for end in ends)
    return None if low is None and high is None else Band(low, high)


def _end(end: Expression, book: Book, entry: Property) -> float | None:
    value = end.evaluate(book.operand).value
    return (value - entry.offset) / entry.factor if is_number(value) else None
