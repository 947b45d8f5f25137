"""What several motors have together while a setting of one or some of them is swept.

It follows `motor_books` step by step, with a course in the place of each value.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import cached_property
from itertools import combinations, permutations, product

from ..documents.profile import Profile
from ..expressions.course import (
    Branch,
    Course,
    Range,
    branch_product,
    branch_quotient,
    branch_sum,
    fixed,
    joined,
    noise_levels,
    ordering,
    still,
    together,
    turned,
)
from ..expressions.ratio import ratio_sum
from ..quantities.book import Book
from ..quantities.number import is_number
from ..quantities.operand import ABSENT, NOT_THERE
from ..quantities.registry import rests_on
from .motor_books import (
    ADDED,
    BATTERY,
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
    Stages,
)
from .motor_differences import BEHIND
from .motor_sums import summed
from .thresholds import Thresholds

MOST_SUMS = 64  # of the branches of several addends, each with each
NEAR_A_CROSSING = range(-2, 3)  # steps beside one at which motors come to differ too much
Courses = Mapping[str, Course]
Of = Callable[[Stages], Mapping[str, Book]]


class MotorCourses:
    """The courses of one mode, in which the setting is moved in the motors `whose`.

    `line` is the setting's canonical value at no step and what one step adds, `moved` the quantities
    that depend on it, `at` has the books with the setting at a step.
    """

    def __init__(
        self,
        name: str,
        line: tuple[float, float],
        steps: Range,
        moved: frozenset[str],
        whose: frozenset[str],
        views: Mapping[str, Profile],
        stages: Stages,
        at: Callable[[int], Stages],
    ) -> None:
        self.name, self.line, self.steps, self.moved = name, line, steps, moved
        self.whose, self.views, self.stages, self.at = whose, views, stages, at

    def _about(self, motor: str, of: Of, told: Courses) -> Thresholds:
        book = of(self.stages)[motor]
        stays = {} if motor in self.whose else {self.name: still(book.operand(self.name))}
        told = {**stays, **told}
        at = self.at
        return Thresholds(
            self.name,
            self.line,
            self.steps,
            self.moved,
            book,
            lambda step: of(at(step))[motor],
            told,
        )

    @cached_property
    def _plain(self) -> dict[str, Thresholds]:
        return {motor: self._about(motor, lambda stages: stages.plain, {}) for motor in self.views}

    @cached_property
    def _speed(self) -> Course:
        return self._greatest([one.quantity(ROAD_SPEED) for one in self._plain.values()])

    @cached_property
    def _turned(self) -> dict[str, Thresholds]:
        told = {ROAD_SPEED: self._speed}
        return {
            motor: self._about(motor, lambda stages: stages.turned, told) for motor in self.views
        }

    @cached_property
    def _sag(self) -> dict[str, Course]:
        told = {ROAD_SPEED: self._speed, BATTERY: self._sum(BATTERY, self._turned)}
        return {
            motor: self._about(motor, lambda stages: stages.loaded, told).quantity(SAG)
            for motor in self.views
        }

    @cached_property
    def _sagging(self) -> dict[str, Thresholds]:
        return {
            motor: self._about(
                motor,
                lambda stages: stages.sagging,
                {ROAD_SPEED: self._speed, SAG: self._sag[motor]},
            )
            for motor in self.views
        }

    @cached_property
    def _together(self) -> dict[str, Course]:
        return {ROAD_SPEED: self._speed, **{name: self._sum(name, self._sagging) for name in ADDED}}

    def of_book(self, motor: str, number: int) -> Thresholds:
        """What the quantities of one of a motor's books do, by the number of the book."""
        felt = {**self._together, SAG: self._sag[motor], CLIMB: self._climb(motor)}
        if number in (OF_PACK, OF_SHOP):
            felt |= {name: self._sum(name, self._turned) for name in (BATTERY, REGEN)}
        if number == OF_SHOP:
            felt[REGEN_SETTING] = self._sum(REGEN_SETTING, self._turned)
        if number == OF_CONTROLLER:
            box = self.views[motor].sections.get(CONTROLLER)
            mates = {
                one: about
                for one, about in self._turned.items()
                if self.views[one].sections.get(CONTROLLER) == box
            }
            felt |= {name: self._sum(name, mates) for name in (BATTERY, REGEN)}
        assert number >= OF_MOTOR
        return self._about(motor, lambda stages: {motor: stages.books[motor].books[number]}, felt)

    def _greatest(self, courses: Sequence[Course]) -> Course:
        if all(course.still for course in courses):
            return still(self.stages.books[next(iter(self.views))].own.operand(ROAD_SPEED))
        there = [one for one in courses if not (one.still and one.still.side == ABSENT)]
        meet = [self._meeting(one, other) for one, other in combinations(there, 2)]
        return joined((*there, *meet), (branch for one in there for branch in one.branches))

    def _meeting(self, one: Course, other: Course) -> Course:
        return self.steps.crossings(one, other, lambda a, b: (ratio_sum(a, b, -1.0),), ordering)

    def _sum(self, name: str, about: Mapping[str, Thresholds]) -> Course:
        """The sum of what motors have of a quantity; what is alike for several is taken so often."""
        courses = {motor: one.quantity(name) for motor, one in about.items()}
        operands = [one.still for one in courses.values() if one.still]
        if len(operands) == len(courses):
            return still(summed(operands))
        resting = summed(operands) if operands else NOT_THERE
        sums = [fixed(resting.number)] if is_number(resting.value) else [fixed(0.0)]
        moving = [one for one in courses if courses[one].still is None]
        for motors in self._alike((name,), moving):
            course = courses[motors[0]]
            addends = [turned(branch, float(len(motors))) for branch in course.branches]
            addends += [] if course.exact else [fixed(0.0)]
            sums = [branch_sum(one, other, 1.0) for one, other in product(sums, addends)]
            if len(sums) > MOST_SUMS:
                return self._asked(name, about, courses.values())
        return joined(courses.values(), sums)

    def _asked(
        self, name: str, about: Mapping[str, Thresholds], courses: Iterable[Course]
    ) -> Course:
        """A sum of more than can be listed, known by asking."""
        courses = list(courses)
        ways = together(one.direction for course in courses for one in course.branches)

        def ask(step: int) -> float | None:
            value = summed(one.at(step).operand(name) for one in about.values()).value
            return value if is_number(value) else None

        whole = joined(courses, [Branch(ask, ways)])
        if ways is None:
            return replace(whole, every=True)
        return replace(whole, cuts=whole.cuts | self.steps.known(ask, whole.cuts))

    def _alike(self, names: Iterable[str], motors: Iterable[str]) -> list[list[str]]:
        """Motors that have the same of all that quantities rest on, moved together or not at all."""
        groups: dict[tuple[bool, str], list[str]] = {}
        below = frozenset[str]().union(*map(rests_on, names))
        for motor in motors:
            same = motor in self.whose, likeness(self.views[motor], below)
            groups.setdefault(same, []).append(motor)
        return list(groups.values())

    def _climb(self, motor: str) -> Course:
        """A motor's share of the force on the grade, and the whole force where no share is known."""
        parts = {
            one: [about.quantity(name) for name in (MOTOR_TORQUE, REDUCTION, CIRCUMFERENCE)]
            for one, about in self._sagging.items()
        }
        force = self._sagging[motor].quantity(CLIMB)
        every = [force, *(course for courses in parts.values() for course in courses)]
        if all(course.still for course in every):
            return still(self.stages.books[motor].own.operand(CLIMB))
        alike = self._alike((MOTOR_TORQUE, REDUCTION, CIRCUMFERENCE), parts)
        if len(alike) == 1:  # an equal share each, or the whole force where none is known
            equal = [turned(one, 1.0 / len(parts)) for one in force.branches]
            known = all(course.exact for course in every)
            return joined(every, equal if known else (*equal, *force.branches))
        weights = {one: _weights(*courses) for one, courses in parts.items()}
        wholes = [fixed(0.0)]
        for motors in alike:
            addends = [turned(one, float(len(motors))) for one in weights[motors[0]]]
            wholes = [branch_sum(one, other, 1.0) for one, other in product(wholes, addends)]
        if len(wholes) > MOST_SUMS:
            return replace(joined(every), every=True)
        shares = [
            branch_quotient(branch_product(one, weight), whole)
            for one, weight, whole in product(force.branches, weights[motor], wholes)
        ]
        exact = all(course.exact for course in every)
        return joined(every, shares if exact else (*shares, *force.branches))

    def apart(self, thing: str, percent: float | None) -> list[tuple[int, int]]:
        """The runs of steps over which motors stay nearer than a share in a thing, or further apart."""
        whole = Course(every=True)
        if thing in BEHIND and len(BEHIND[thing]) != 2 and percent is not None:
            about = self._plain if thing == "speed" else self._sagging
            courses = [self._compared(one, BEHIND[thing]) for one in about.values()]
            least = 1.0 - percent / 100.0
            passing = [
                self.steps.crossings(
                    one,
                    replace(other, branches=tuple(turned(each, least) for each in other.branches)),
                    noise_levels,
                    ordering,
                )
                for one, other in permutations(courses, 2)
            ]
            whole = joined((*courses, *passing))
        if whole.every:
            return self.steps.stretches(range(self.steps.first, self.steps.last))
        return self.steps.stretches(
            cut + beside for cut in whole.cuts for beside in NEAR_A_CROSSING
        )

    def _compared(self, about: Thresholds, names: Sequence[str]) -> Course:
        first, *others = (about.quantity(name) for name in names)
        if first.still and first.still.side == ABSENT:
            return Course((fixed(0.0),))
        if not others:
            return first
        ratio, circumference = others
        return joined((first, *others), _weights(first, circumference, ratio))


def _weights(one: Course, other: Course, below: Course) -> list[Branch]:
    """one × other / below."""
    return [
        branch_quotient(branch_product(a, b), c)
        for a, b, c in product(one.branches, other.branches, below.branches)
    ]


def likeness(view: Profile, names: Iterable[str]) -> str:
    """What a motor's profile gives of some quantities: the same text for motors that are alike."""
    given = ((name, view.givens[name].value) for name in sorted(names) if name in view.givens)
    return repr([*given, *sorted(view.absent)])
