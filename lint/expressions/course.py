"""The course of a value while one setting is swept: what it may be, and where it may jump.

A course is written in steps of the setting. Its branches are what the value is, now the one, now
the other: a least of two is one of the two at every step, and passes from one to the other without
a jump. Between two of its cuts nothing else happens to it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from ..quantities.number import NOISE, is_number, near, nearest_whole
from ..quantities.operand import EXACT, Operand
from .bisection import Couple, Holds, ValueAt, jumps, passes
from .ratio import MOST_DEGREE, Polynomial, Ratio, ratio_product, ratio_sum, slope, value, zeros

NEAR_A_STEP = 1e-6  # a zero this near to a step may lie on either side of it
Levels = Callable[[Ratio, Ratio], Iterable[Ratio]]


@dataclass(frozen=True, slots=True)
class Branch:
    """A value at every step: a ratio where that is known, else what asking gives.

    `direction` is 1 where it never falls, −1 where it never rises, 0 where it stays, and None where
    it may do anything.
    """

    value: ValueAt
    direction: int | None
    ratio: Ratio | None = None

    @property
    def constant(self) -> float | None:
        """The number that it is throughout, if it is one and known."""
        return self.ratio.at(0.0) if self.ratio is not None and self.ratio.constant else None


def of_ratio(ratio: Ratio) -> Branch:
    """The branch of a ratio; one too long to be searched for zeros is known by asking alone."""
    if max(len(ratio.above), len(ratio.below)) > MOST_DEGREE:
        return Branch(ratio.at, None)
    return Branch(ratio.at, ratio.direction, ratio)


def fixed(number: float) -> Branch:
    """A number that stays."""
    return of_ratio(Ratio((float(number),) if number else ()))


def turned(branch: Branch, factor: float) -> Branch:
    """A branch times a number."""
    if branch.ratio is not None:
        return of_ratio(ratio_product(branch.ratio, Ratio((factor,) if factor else ())))
    sign = 1 if factor > 0 else -1
    direction = None if branch.direction is None else sign * branch.direction
    return applied(branch, lambda value: factor * value, direction)


def applied(branch: Branch, act: Callable[[float], float | None], direction: int | None) -> Branch:
    """What a function makes of a branch; known by asking, unless the branch stays."""
    if branch.constant is not None:
        number = act(branch.constant)
        return Branch(lambda step: None, 0) if number is None else fixed(number)

    def ask(step: int) -> float | None:
        value = branch.value(step)
        return None if value is None else act(value)

    return Branch(ask, 0 if branch.direction == 0 else direction)


def branch_sum(one: Branch, other: Branch, sign: float) -> Branch:
    """one + sign × other."""
    if one.ratio is not None and other.ratio is not None:
        return of_ratio(ratio_sum(one.ratio, other.ratio, sign))
    second = turned(other, sign)

    def ask(step: int) -> float | None:
        a, b = one.value(step), second.value(step)
        return None if a is None or b is None else a + b

    return Branch(ask, together((one.direction, second.direction)))


def branch_product(one: Branch, other: Branch) -> Branch:
    """one × other."""
    if one.ratio is not None and other.ratio is not None:
        return of_ratio(ratio_product(one.ratio, other.ratio))
    for branch, factor in ((one, other.constant), (other, one.constant)):
        if factor is not None:
            return turned(branch, factor)
    return _by_asking(one, other, lambda a, b: a * b)


def branch_quotient(one: Branch, other: Branch) -> Branch:
    """one / other, which is cut where `other` is zero."""
    below = other.ratio
    if below is not None and below.above:
        return branch_product(one, of_ratio(Ratio(below.below, below.above)))
    if other.constant == 0.0:
        return Branch(lambda step: None, 0)
    return _by_asking(one, other, lambda a, b: a / b if b else None)


def _by_asking(one: Branch, other: Branch, act: Callable[[float, float], float | None]) -> Branch:
    def ask(step: int) -> float | None:
        a, b = one.value(step), other.value(step)
        return None if a is None or b is None else act(a, b)

    return Branch(ask, 0 if one.direction == 0 == other.direction else None)


def raised(branch: Branch, exponent: int) -> Branch:
    """A branch to a whole power."""
    if branch.ratio is None:
        return applied(branch, lambda value: value**exponent, None)
    power = branch.ratio
    for _ in range(exponent - 1):
        power = ratio_product(power, branch.ratio)
    return of_ratio(power)


def rooted(branch: Branch, direction: int | None) -> Branch:
    """The square root of a branch that moves in a direction, where it is not negative."""
    return applied(branch, lambda value: math.sqrt(value) if value >= 0 else None, direction)


def rounded_branch(branch: Branch) -> Branch:
    """A branch rounded to whole numbers."""
    return applied(branch, nearest_whole, branch.direction)


def together(directions: Iterable[int | None]) -> int | None:
    """The direction of what follows several that do not pull against each other."""
    found = set(directions) - {0}
    return 0 if not found else found.pop() if len(found) == 1 else None


@dataclass(frozen=True, slots=True)
class Course:
    """The branches of a value, and its cuts: the steps after which it may jump.

    `still` is the value that does not depend on the setting at all. What is no number, or never
    known, has no branches. `exact` is False where the value may be a bound or unknown. `every` gives
    up: the value may change after any step.
    """

    branches: tuple[Branch, ...] = ()
    cuts: frozenset[int] = frozenset()
    exact: bool = True
    every: bool = False
    still: Operand | None = None

    @property
    def never(self) -> bool:
        """True where the value is never known."""
        return self.still is not None and self.still.value is None


def still(operand: Operand) -> Course:
    """The course of what does not depend on the setting."""
    value = operand.value
    branches = (fixed(value),) if is_number(value) else ()
    exact = value is not None and operand.side == EXACT
    return Course(branches, exact=exact, still=operand)


def joined(courses: Iterable[Course], branches: Iterable[Branch] = ()) -> Course:
    """The course of what is made of others: all that may happen to one of them may happen to it."""
    parts = tuple(courses)
    return Course(
        tuple(branches),
        frozenset[int]().union(*(part.cuts for part in parts)),
        all(part.exact for part in parts),
        any(part.every for part in parts),
    )


def inexact(course: Course) -> Course:
    """The course of a value that may be a bound."""
    return replace(course, exact=False)


@dataclass(frozen=True, slots=True)
class Range:
    """The steps over which the setting is swept."""

    first: int
    last: int

    def stretches(self, cuts: Iterable[int]) -> list[tuple[int, int]]:
        """The runs of steps between cuts."""
        inner = sorted({cut for cut in cuts if self.first <= cut < self.last})
        return [(low + 1, high) for low, high in pairwise((self.first - 1, *inner, self.last))]

    def cuts(self, polynomial: Polynomial) -> Iterator[int]:
        """The steps after which a polynomial may have changed its sign."""
        for at in zeros(polynomial, self.first - 1.0, self.last + 1.0):
            step = nearest_whole(at)
            if abs(at - step) <= NEAR_A_STEP * max(1.0, abs(at) / 1000):
                yield step - 1
                yield step
            else:
                yield math.floor(at)

    def signs(self, course: Course) -> Course:
        """Where a course may have another sign."""
        return self.crossings(course, Course((fixed(0.0),)), lambda a, _: (a,), ordering)

    def direction(self, branch: Branch) -> int | None:
        """The direction of a branch within these steps; that of a ratio changes where it turns."""
        ratio = branch.ratio
        if branch.direction is not None or ratio is None:
            return branch.direction
        places = (
            *zeros(slope(ratio), self.first, self.last),
            *zeros(ratio.below, self.first, self.last),
        )
        if any(self.first < at < self.last for at in places):
            return None
        return 1 if value(slope(ratio), (self.first + self.last) / 2) > 0 else -1

    def turns(self, branch: Branch) -> Iterator[int]:
        """The steps beside which a ratio turns from rising to falling, or back, or leaps."""
        if branch.direction is None and branch.ratio is not None:
            yield from self.cuts(slope(branch.ratio))
            yield from self.cuts(branch.ratio.below)

    def known(self, ask: ValueAt, cuts: Iterable[int]) -> frozenset[int]:
        """Where what moves one way between cuts passes the end of what is known of it."""
        found: set[int] = set()
        for low, high in self.stretches(cuts):
            found.update(jumps(lambda step: ask(step) is not None, low, high))
        return frozenset(found)

    def crossings(self, one: Course, other: Course, levels: Levels, holds: Holds) -> Course:
        """Where one course may pass another.

        Of two ratios, where one of the `levels` made of them is zero. Otherwise by asking: `holds`
        is a whole number that never falls as the first value rises, nor rises with the second.
        """
        cuts: set[int] = set()
        for a in one.branches:
            for b in other.branches:
                if a.ratio is not None and b.ratio is not None:
                    for level in levels(a.ratio, b.ratio):
                        cuts.update(self.cuts(level.above))
                    continue
                found = self._searched(a, b, one.cuts | other.cuts, holds)
                if found is None:
                    return Course(every=True)
                cuts |= found
        return Course((), frozenset(cuts))

    def _searched(
        self, a: Branch, b: Branch, cuts: frozenset[int], holds: Holds
    ) -> set[int] | None:
        """Where branches known by asking pass each other; None if one may move to and fro."""
        found: set[int] = set()
        for low, high in self.stretches(cuts.union(self.turns(a), self.turns(b))):
            part = Range(low, high)
            away, back = part.direction(a), part.direction(b)
            if away is None or back is None:
                return None
            unknown = [one for one in (a, b) if None in (one.value(low), one.value(high))]
            if any(branch.direction == 0 for branch in unknown):
                continue  # what stays unknown passes nothing
            if unknown:
                found.update(range(low, high))
            else:
                found.update(passes(Couple(a.value, b.value, away, back, holds), low, high))
        return found


def ordering(a: float, b: float) -> int:
    """Below 0, 0, or above 0, as `a` is less than `b`, equal or greater."""
    return (a > b) - (a < b)


def noise_levels(one: Ratio, other: Ratio) -> Iterator[Ratio]:
    """What is zero at either edge of the noise within which two numbers count as equal."""
    for factor in (1.0 - NOISE, 1.0 + NOISE):
        yield ratio_sum(one, other, -factor)
        yield ratio_sum(other, one, -factor)


def beside_noise(a: float, b: float) -> int:
    """As `ordering`, with what is equal but for noise equal."""
    return 0 if near(a, b) else ordering(a, b)
