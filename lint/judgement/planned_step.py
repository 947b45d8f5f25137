"""A step of a bring-up for one vehicle: what each of its readings should come to, and how far it is."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from typing import Any, Literal, NamedTuple

from ..documents.motors import entry_path, key_under, motor_of
from ..documents.profile import Profile
from ..documents.schema import Property, canonical, entered_under, properties
from ..expressions.expression import Expression
from ..expressions.formatting import PLACEHOLDER, filled, listed, shown
from ..expressions.names import title_of
from ..quantities.book import Book
from ..quantities.number import is_number
from ..quantities.registry import unit_of
from .band_working import band_working
from .bring_up_steps import BandEnds, BringUpStep, StepReading, tick_of
from .finding import Finding
from .rule import STOPS
from .settings_memory import SettingsMemory, remembered

State = Literal["to do", "done", "look again", "stop"]
GRAVEST_FIRST: tuple[State, ...] = ("stop", "to do", "look again", "done")
STEPS_DONE, STEPS_FAILED = "readings.steps_done", "readings.steps_failed"
NOTICED = "readings.noticed"
SENTENCES = re.compile(r"(?<=[.?!])\s+(?=[A-Z])")


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
    the profile's judgement is about it. `motor` is the one under which it is entered, if it is;
    `working` tells how the band that it should lie in is worked out.
    """

    entry: Property
    expect: Band | None
    stop: Band | None
    can_be: Band | None
    value: Any
    lacks: tuple[str, ...]
    optional: bool
    is_grave: bool
    motor: str = ""
    working: Callable[[], tuple[str, ...]] = tuple

    @property
    def key(self) -> str:
        """The key as it stands in the document."""
        return key_under(self.motor, self.entry.path)

    @property
    def counts(self) -> bool:
        """Whether it was read, or a danger or fault asks for it."""
        return self.value is not None or self.is_grave

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
    """A step for this vehicle, its readings and how far it is; `motor` is whose of several it is.

    `failed` are the steps without a reading that failed on this vehicle, by the words of their ticks;
    `memory` says whether it was done for the settings of now, where it rests on these.
    """

    spec: BringUpStep
    readings: tuple[PlannedReading, ...]
    is_ticked: bool
    motor: str = ""
    failed: tuple[str, ...] = ()
    memory: SettingsMemory = ""

    @property
    def blanks(self) -> tuple[PlannedReading, ...]:
        """What keeps it not open, but was neither read nor said to be `none`."""
        optional = (one for one in self.readings if one.optional and one.value is None)
        return tuple(one for one in optional if one.entry.can_be_none)

    @property
    def has_failed(self) -> bool:
        """Whether it failed the last time that it was done."""
        return tick_of(self.spec.step) in self.failed

    @property
    def state(self) -> State:
        """How far it is: as its gravest reading; without readings, whether it was ticked or failed."""
        if not self.readings:
            return "stop" if self.has_failed else "done" if self._holds else "to do"
        counted = (one for one in self.readings if not one.optional or one.counts)
        states = {one.state for one in counted}
        return next(state for state in GRAVEST_FIRST if state in states)

    @property
    def _holds(self) -> bool:
        """Whether its tick still counts."""
        return self.is_ticked and self.memory != "other"


class Whose(NamedTuple):
    """Whose a step is: the book that it is worked out by, and the profile that holds its readings.

    Of several motors `motor` is the one that the step is for, "" for the vehicle, and `own` are the
    readings that stand under it.
    """

    book: Book
    profile: Profile
    motor: str = ""
    own: frozenset[str] = frozenset()


def graver_of(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The dangers and faults that nobody accepted."""
    return tuple(one for one in findings if one.severity in STOPS and not one.waived)


def is_about(finding: Finding, quantity: str, motor: str = "") -> bool:
    """Whether a finding points at an entry, or its calculation reads it."""
    names = (finding.quantity, *(one.quantity for one in finding.related))
    return quantity in names and _is_of(finding, motor)


def _is_of(finding: Finding, motor: str) -> bool:
    """Whether a finding is about a motor; what is about none by name is about each."""
    return not motor or not finding.motors or motor in finding.motors


def applies(step: BringUpStep, book: Book) -> bool:
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


def planned(step: BringUpStep, whose: Whose, grave: Iterable[Finding]) -> PlannedStep:
    """A step with its bands worked out; `grave` are the dangers and faults of the judgement.

    A reading that nobody had to take, but that one of them points at, belongs to it until it is settled.
    """
    book = whose.book
    about = is_about if step.turns else _points_at

    def stops(name: str, motor: str) -> bool:
        return any(about(each, name, motor) for each in grave)

    asked = _readings_for(step, book)
    readings = tuple(
        _planned_reading(one, whose, stops)
        for one in step.readings
        if one in asked or (one.entry in whose.profile.givens and stops(one.entry, whose.motor))
    )
    ticks, failed = (words_under(name, whose.profile) for name in (STEPS_DONE, STEPS_FAILED))
    told = step._replace(do=_with_numbers(step.do, book))
    tick = tick_of(step.step)
    memory = remembered(tick, whose.profile) if tick in ticks else ""
    return PlannedStep(told, readings, tick in ticks, whose.motor, failed, memory)


def words_under(name: str, profile: Profile) -> tuple[str, ...]:
    """The words of a list that a profile gives, be it one word alone; none where it gives none."""
    value = profile.value(name) or ()
    return (value,) if isinstance(value, str) else tuple(map(str, value))


def _points_at(finding: Finding, quantity: str, motor: str) -> bool:
    return finding.quantity == quantity and _is_of(finding, motor)


def _with_numbers(text: str, book: Book) -> str:
    """A step's text with its quantities filled in; in place of a sentence that lacks one, what it lacks."""
    told = []
    for sentence in SENTENCES.split(text):
        values = {name: book.operand(name).value for name in PLACEHOLDER.findall(sentence)}
        unknown = [title_of(name) for name, value in values.items() if value is None]
        words = {name: shown(value, unit_of(name)) for name, value in values.items()}
        whole = filled(sentence, words.__getitem__)
        told.append(f"Not known: {listed(unknown, 'and')}." if unknown else whole)
    return " ".join(told)


def _planned_reading(
    reading: StepReading, whose: Whose, stops: Callable[[str, str], bool]
) -> PlannedReading:
    name = reading.entry
    given = whose.profile.givens.get(name)
    if given is not None and name in whose.own and not motor_of(given.entered_as):
        given = None  # read for the vehicle, of which another part shows it
    entry = properties()[entry_path(given.entered_as) if given else canonical()[name].path]
    motor = whose.motor if name in whose.own else motor_of(given.entered_as) if given else ""
    before = whose.book.changed({name: None})
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
        is_grave=stops(name, motor),
        motor=motor,
        working=lambda: (
            () if reading.expect is None else band_working(reading.expect, before, entry)
        ),
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
