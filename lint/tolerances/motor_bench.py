"""Several motors over a box: each motor's rules, with all motors' entries anywhere within their tolerances.

The sides are named from one motor: its own entries and what all share by their quantity, those of another
motor by that motor besides. What the motors have together is enclosed in the steps in which
`judgement.motor_books` works it out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from ..documents.given import Given
from ..documents.motors import entry_path
from ..documents.profile import BASE, Profile
from ..judgement.catalogue import Catalogue
from ..judgement.motor_books import (
    ADDED,
    AT_ONE_BUS,
    BATTERY,
    CAPACITANCE,
    CIRCUMFERENCE,
    CLIMB,
    CONTROLLER,
    MOTOR_TORQUE,
    OF_CONTROLLER,
    OF_MOTOR,
    OF_PACK,
    OF_SHOP,
    REDUCTION,
    REGEN,
    REGEN_SETTING,
    ROAD_SPEED,
    SAG,
    Books,
    OfMotor,
    Stages,
    stages_of,
)
from ..quantities.book import Book
from ..quantities.registry import affected
from .clauses import CornerBench, entry_at
from .enclosure import Box, Enclosure
from .extent import Extent
from .interval import Interval
from .motor_spans import span_at_wheel, span_of_greatest, span_of_share, span_of_sum
from .motor_tolerance import MotorTolerated, own_entries, side_of_motor
from .search import BoxPoint
from .tolerance import Tolerated

_Told = Mapping[str, Extent]
BoxKey = tuple[str, frozenset[tuple[str, Interval]]]
_NUMBERS = (OF_MOTOR, OF_PACK, OF_CONTROLLER, OF_SHOP)
_BOXES = 24
_KEPT = 300  # boxes and points that are kept: several rules ask of the same


@dataclass(slots=True)
class MotorsInBox:
    """All motors over boxes and at points whose sides are named from one of them."""

    motor: str
    profile: Profile
    heard: Mapping[str, OfMotor]
    stages: Mapping[str, Stages]  # by the mode
    own: Mapping[str, frozenset[str]]
    _told: dict[BoxKey, tuple[_Told, _Told, _Told, _Told]] = field(default_factory=dict)
    _books: dict[frozenset[tuple[str, float]], dict[str, Books]] = field(default_factory=dict)

    def named(self, motor: str, quantity: str) -> str:
        """The side of an entry of one of the motors."""
        if motor == self.motor or quantity not in self.own[motor]:
            return quantity
        return side_of_motor(motor, quantity)

    def box_of(self, motor: str, mode: str, box: Box) -> Box:
        """The box by the quantities of one motor, without what a mode puts at values of its own."""
        view = self.profile.motors[motor]
        changed = view.modes.get(mode, {}).keys()
        return {
            name: box[side]
            for name in view.givens
            if name not in changed and (side := self.named(motor, name)) in box
        }

    def sides(self, motor: str) -> Mapping[str, str]:
        """The names of the sides of another motor's own entries."""
        return {name: self.named(motor, name) for name in self.own[motor]}

    def told(self, mode: str, box: Box) -> tuple[_Told, _Told, _Told, _Told]:
        """What the motors have together over a box, for each of the motor's books."""
        key = (mode, frozenset(box.items()))
        if key not in self._told:
            if len(self._told) >= _KEPT:
                self._told.clear()
            self._told[key] = self._together(mode, box)
        return self._told[key]

    def _together(self, mode: str, box: Box) -> tuple[_Told, _Told, _Told, _Told]:
        stages = self.stages[mode]
        plain = {
            name: self._enclosure(stages.plain[name], name, mode, box, {}) for name in self.own
        }
        speed = {ROAD_SPEED: span_of_greatest(one.span(ROAD_SPEED) for one in plain.values())}
        turned = {
            name: self._enclosure(stages.turned[name], name, mode, box, speed) for name in self.own
        }
        currents, of_box, setting = self._currents(turned)
        sagging = {}
        for name in self.own:
            under = {**speed, BATTERY: currents[BATTERY]}
            loaded = self._enclosure(stages.loaded[name], name, mode, box, under)
            under = {**speed, SAG: loaded.span(SAG)}
            sagging[name] = self._enclosure(stages.sagging[name], name, mode, box, under)
        felt = {
            **speed,
            **{name: span_of_sum(one.span(name) for one in sagging.values()) for name in ADDED},
            SAG: sagging[self.motor].span(SAG),
            CLIMB: self._climb(sagging),
        }
        every = (
            felt,
            {**felt, **currents},
            {**felt, **of_box},
            {**felt, **currents, **setting},
        )
        first, second, third, fourth = (self._moving(told, mode, box) for told in every)
        return first, second, third, fourth

    def _currents(self, turned: Mapping[str, Enclosure]) -> tuple[_Told, _Told, _Told]:
        """The currents at the battery: of all motors, of those on the same controller, and as set."""
        sections = {
            name: view.sections.get(CONTROLLER) for name, view in self.profile.motors.items()
        }
        one_each = {sections[name]: one.span(CAPACITANCE) for name, one in turned.items()}
        currents = {
            **{name: span_of_sum(o.span(name) for o in turned.values()) for name in AT_ONE_BUS},
            CAPACITANCE: span_of_sum(one_each.values()),
        }
        mates = [one for name, one in turned.items() if sections[name] == sections[self.motor]]
        of_box = {name: span_of_sum(o.span(name) for o in mates) for name in (BATTERY, REGEN)}
        setting = {REGEN_SETTING: span_of_sum(o.span(REGEN_SETTING) for o in turned.values())}
        return currents, of_box, setting

    def _moving(self, told: _Told, mode: str, box: Box) -> _Told:
        """What may move with the box; all else stands in the books, as the judge has it."""
        names = frozenset(name for one in self.own for name in self.box_of(one, mode, box))
        moved = affected(names)
        return {name: span for name, span in told.items() if name in moved}

    def _enclosure(self, book: Book, motor: str, mode: str, box: Box, told: _Told) -> Enclosure:
        sides = self.sides(motor)
        base = None
        if mode != BASE:
            plain = self.stages[BASE].plain[motor]
            base = Enclosure(plain, self.box_of(motor, BASE, box), sides=sides)
        own = self.box_of(motor, mode, box)
        return Enclosure(book, own, base, told=self._moving(told, mode, box), sides=sides)

    def _climb(self, sagging: Mapping[str, Enclosure]) -> Extent:
        weights = {
            name: span_at_wheel(*map(one.span, (MOTOR_TORQUE, REDUCTION, CIRCUMFERENCE)))
            for name, one in sagging.items()
        }
        force = sagging[self.motor].span(CLIMB)
        return span_of_share(force, weights[self.motor], list(weights.values()))

    def at(self, point: BoxPoint) -> dict[str, Books]:
        """The motor's books by the mode, with the entries of all motors at a point."""
        key = frozenset(point.items())
        if key not in self._books:
            if len(self._books) >= _KEPT:
                self._books.clear()
            self._books[key] = self._books_at(point)
        return self._books[key]

    def _books_at(self, point: BoxPoint) -> dict[str, Books]:
        plain: dict[str, dict[str, Book]] = {}
        for name, view in self.profile.motors.items():
            moved = {
                quantity: entry_at(given, point[side])
                for quantity, given in view.givens.items()
                if (side := self.named(name, quantity)) in point
            }
            base = self.heard[name].plain[BASE].changed(moved)
            plain[name] = {BASE: base}
            for mode, changes in view.modes.items():
                plain[name][mode] = base.overlaid(changes)
        found: dict[str, Books] = {}
        bases: dict[str, Books] = {}
        for mode in (BASE, *self.profile.modes):
            at_mode = {name: known[mode] for name, known in plain.items()}
            books = stages_of(self.profile.motors, at_mode, bases).books
            bases = books if mode == BASE else bases
            found[mode] = books[self.motor]
        return found


@dataclass(slots=True)
class MotorBench(CornerBench):
    """One motor with the books of one kind, as `which_book` has them, over boxes of all motors' entries."""

    motors: MotorsInBox = field(kw_only=True)
    number: int = field(kw_only=True)

    @property
    def budget(self) -> int:
        """How many boxes are looked at for one answer: each of them is that of every motor."""
        return _BOXES

    @property
    def about(self) -> tuple[str, ...]:
        """The motor that it is about."""
        return (self.motors.motor,)

    def enclosure(self, seat: str, box: Box, swept: str = "") -> Enclosure:
        """The enclosure of the motor's book in a mode."""
        key = (seat, frozenset(box.items()))
        made = self._enclosures.get(key)
        if made is None:
            told = self.motors.told(seat, box)[self.number]
            base = self.enclosure(BASE, box) if seat != BASE else None
            own = self.motors.box_of(self.motors.motor, seat, box)
            made = Enclosure(self.books[seat], own, base, told=told)
            if len(self._enclosures) >= _KEPT:
                self._enclosures.clear()
            self._enclosures[key] = made
        return made

    def at(self, point: BoxPoint) -> Mapping[str, Book]:
        """The motor's books with the entries at a point."""
        entered = self.tolerated.entered
        moved = {name: value for name, value in point.items() if value != entered.get(name)}
        return {mode: one.books[self.number] for mode, one in self.motors.at(moved).items()}

    def given(self, name: str, value: float) -> Given:
        """An entry as it would be given at another value, another motor's too."""
        for motor, view in self.motors.profile.motors.items():
            if name.startswith(side_of_motor(motor, "")):
                return entry_at(view.givens[entry_path(name)], value)
        return entry_at(self.profile.givens[name], value)


def motor_benches(
    profile: Profile,
    catalogue: Catalogue,
    heard: Mapping[str, OfMotor],
    each: Mapping[str, Tolerated],
) -> Iterator[tuple[str, list[MotorBench]]]:
    """For each motor a bench for each of its books, in the order of `which_book`."""
    own = {name: own_entries(view, name) for name, view in profile.motors.items()}
    stages: dict[str, Stages] = {}
    for mode in (BASE, *profile.modes):
        plain = {name: one.plain[mode] for name, one in heard.items()}
        bases = {} if mode == BASE else stages[BASE].books
        stages[mode] = stages_of(profile.motors, plain, bases)
    for motor, view in profile.motors.items():
        motors = MotorsInBox(motor, profile, heard, stages, own)
        tolerated = MotorTolerated(motor, each, own)
        yield (
            motor,
            [
                MotorBench(
                    view,
                    catalogue,
                    {mode: one.books[motor].books[number] for mode, one in stages.items()},
                    tolerated,
                    motors=motors,
                    number=number,
                )
                for number in _NUMBERS
            ],
        )
