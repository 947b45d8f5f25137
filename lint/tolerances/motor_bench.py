"""Several motors over a box: each motor's rules, with all motors' entries anywhere within their tolerances.

The sides are named from one motor: its own entries and what all share by their quantity, those of another
motor by that motor besides. What the motors have together is enclosed in the steps in which
`judgement.motor_books` works it out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from ..documents.given import Given
from ..documents.motors import MOTOR, MOTORS, entry_path
from ..documents.profile import BASE, Profile
from ..judgement.catalogue import Catalogue
from ..judgement.motor_books import (
    ADDED,
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
    SUMS,
    Books,
    OfMotor,
    Stages,
    stages_of,
)
from ..judgement.rule import Rule
from ..quantities.book import Book
from ..quantities.registry import affected
from .clauses import CornerBench, given_at
from .enclosure import Box, Enclosure
from .extent import Extent
from .interval import Interval
from .motor_spans import span_at_wheel, span_of_greatest, span_of_share, span_of_sum
from .search import BoxPoint
from .tolerance import Reach, Tolerated, reads_of

Told = Mapping[str, Extent]
BoxKey = tuple[str, frozenset[tuple[str, Interval]]]
_NUMBERS = (OF_MOTOR, OF_PACK, OF_CONTROLLER, OF_SHOP)
_KEPT = 300  # boxes and points that are kept: several rules ask of the same


def side_of_motor(motor: str, quantity: str) -> str:
    """The side of another motor's own entry."""
    return f"{MOTORS}.{motor}.{quantity.removeprefix(f'{MOTOR}.')}"


def own_entries(view: Profile, motor: str) -> frozenset[str]:
    """The entries that one motor has for itself."""
    below = f"{MOTORS}.{motor}."
    return frozenset(
        name for name, given in view.givens.items() if given.entered_as.startswith(below)
    )


class MotorTolerated(Tolerated):
    """The entries with a tolerance as one motor names them."""

    def __init__(
        self, motor: str, each: Mapping[str, Tolerated], own: Mapping[str, frozenset[str]]
    ) -> None:
        self._boxes, self._counting = {}, {}
        self.entered, self.reaches = dict(each[motor].entered), dict(each[motor].reaches)
        for other, tolerated in each.items():
            for name in tolerated.reaches.keys() & own[other] if other != motor else ():
                side = side_of_motor(other, name)
                self.entered[side] = tolerated.entered[name]
                self.reaches[side] = tolerated.reaches[name]

    def counting(self, rule: Rule) -> Mapping[str, tuple[Reach, ...]]:
        """The rows that count for a rule; another motor's do where it reads what they have together."""
        known = self._counting.get(rule.id)
        if known is None:
            below = reads_of(rule)
            near = not SUMS.isdisjoint(below)
            asked = {
                name: rows
                for name, rows in self.reaches.items()
                if entry_path(name) in below and (near or not name.startswith(f"{MOTORS}."))
            }
            known = self._counting[rule.id] = self.counted(asked, below)
        return known


@dataclass(slots=True)
class MotorsInBox:
    """All motors over boxes and at points whose sides are named from one of them."""

    motor: str
    profile: Profile
    heard: Mapping[str, OfMotor]
    stages: Mapping[str, Stages]  # by the mode
    own: Mapping[str, frozenset[str]]
    _told: dict[BoxKey, tuple[Told, Told, Told, Told]] = field(default_factory=dict)
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

    def told(self, mode: str, box: Box) -> tuple[Told, Told, Told, Told]:
        """What the motors have together over a box, for each of the motor's books."""
        key = (mode, frozenset(box.items()))
        if key not in self._told:
            if len(self._told) >= _KEPT:
                self._told.clear()
            self._told[key] = self._together(mode, box)
        return self._told[key]

    def _together(self, mode: str, box: Box) -> tuple[Told, Told, Told, Told]:
        stages = self.stages[mode]
        plain = {
            name: self._enclosure(stages.plain[name], name, mode, box, {}) for name in self.own
        }
        speed = {ROAD_SPEED: span_of_greatest(one.span(ROAD_SPEED) for one in plain.values())}
        turned = {
            name: self._enclosure(stages.turned[name], name, mode, box, speed) for name in self.own
        }
        sections = {
            name: view.sections.get(CONTROLLER) for name, view in self.profile.motors.items()
        }
        one_each = {sections[name]: one.span(CAPACITANCE) for name, one in turned.items()}
        currents = {
            **{
                name: span_of_sum(o.span(name) for o in turned.values())
                for name in (BATTERY, REGEN)
            },
            CAPACITANCE: span_of_sum(one_each.values()),
        }
        mates = [one for name, one in turned.items() if sections[name] == sections[self.motor]]
        of_box = {name: span_of_sum(o.span(name) for o in mates) for name in (BATTERY, REGEN)}
        setting = {REGEN_SETTING: span_of_sum(o.span(REGEN_SETTING) for o in turned.values())}
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

    def _moving(self, told: Told, mode: str, box: Box) -> Told:
        """What may move with the box; all else stands in the books, as the judge has it."""
        names = frozenset(name for one in self.own for name in self.box_of(one, mode, box))
        moved = affected(names)
        return {name: span for name, span in told.items() if name in moved}

    def _enclosure(self, book: Book, motor: str, mode: str, box: Box, told: Told) -> Enclosure:
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
                quantity: given_at(given, point[side])
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
                return given_at(view.givens[entry_path(name)], value)
        return given_at(self.profile.givens[name], value)


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
