"""Ratios of polynomials in one variable: sums, products, and the places where they are zero."""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

Polynomial = tuple[float, ...]  # coefficients, of the lowest power first; () is zero
ONE: Polynomial = (1.0,)
MOST_DEGREE = 12
ZERO_HALVINGS = 80  # of a stretch: as far as floating point goes


class Ratio(NamedTuple):
    """`above` over `below`, which is not zero everywhere."""

    above: Polynomial
    below: Polynomial = ONE

    def at(self, place: float) -> float | None:
        """The value at one place; None where `below` is zero."""
        below = value(self.below, place)
        return value(self.above, place) / below if below else None

    @property
    def constant(self) -> bool:
        """True where it is the same everywhere."""
        return len(self.above) <= 1 and len(self.below) == 1

    @property
    def direction(self) -> int | None:
        """1 where it rises everywhere, −1 where it falls, 0 for a constant; None if not so plain."""
        if len(self.below) > 1 or len(self.above) > 2:
            return None
        return 0 if len(self.above) < 2 else (1 if self.above[1] * self.below[0] > 0 else -1)


def value(polynomial: Polynomial, at: float) -> float:
    """A polynomial's value at one place.

    >>> value((1.0, 0.0, 2.0), 3.0)
    19.0
    """
    total = 0.0
    for factor in reversed(polynomial):
        total = total * at + factor
    return total


def stretched(polynomial: Polynomial, factor: float) -> Polynomial:
    """A polynomial times a number."""
    return tuple(factor * one for one in polynomial) if factor else ()


def polynomial_sum(one: Polynomial, other: Polynomial) -> Polynomial:
    """The sum of two polynomials.

    >>> polynomial_sum((1.0, 2.0), (3.0, -2.0))
    (4.0,)
    """
    if len(one) < len(other):
        one, other = other, one
    total = [*(a + b for a, b in zip(one, other, strict=False)), *one[len(other) :]]
    while total and total[-1] == 0.0:
        total.pop()
    return tuple(total)


def polynomial_product(one: Polynomial, other: Polynomial) -> Polynomial:
    """The product of two polynomials.

    >>> polynomial_product((1.0, 1.0), (-1.0, 1.0))
    (-1.0, 0.0, 1.0)
    """
    if len(one) == 1:
        return stretched(other, one[0])
    if len(other) == 1:
        return stretched(one, other[0])
    if not one or not other:
        return ()
    total = [0.0] * (len(one) + len(other) - 1)
    for i, a in enumerate(one):
        for j, b in enumerate(other):
            total[i + j] += a * b
    return tuple(total)


def ratio_sum(one: Ratio, other: Ratio, sign: float = 1.0) -> Ratio:
    """one + sign × other."""
    above = stretched(other.above, sign)
    if one.below == other.below:
        return Ratio(polynomial_sum(one.above, above), one.below)
    return Ratio(
        polynomial_sum(
            polynomial_product(one.above, other.below), polynomial_product(above, one.below)
        ),
        polynomial_product(one.below, other.below),
    )


def slope(ratio: Ratio) -> Polynomial:
    """What has the sign of a ratio's derivative wherever `below` is not zero.

    >>> slope(Ratio((2.0, 0.0, 1.0)))
    (0.0, 2.0)
    """
    above, below = ratio
    return polynomial_sum(
        polynomial_product(derivative(above), below),
        stretched(polynomial_product(above, derivative(below)), -1.0),
    )


def derivative(polynomial: Polynomial) -> Polynomial:
    """The derivative of a polynomial."""
    return tuple(power * factor for power, factor in enumerate(polynomial) if power)


def ratio_product(one: Ratio, other: Ratio) -> Ratio:
    """one × other."""
    return Ratio(
        polynomial_product(one.above, other.above), polynomial_product(one.below, other.below)
    )


def zeros(polynomial: Polynomial, low: float, high: float) -> list[float]:
    """Where between two places a polynomial is zero or changes its sign, rising.

    Between two zeros of its derivative it has one at most. Zero everywhere counts as nowhere.

    >>> [round(at, 6) for at in zeros((2.0, -3.0, 1.0), 0.0, 10.0)]
    [1.0, 2.0]
    """
    if len(polynomial) < 2:
        return []
    if len(polynomial) == 2:
        at = -polynomial[0] / polynomial[1]
        return [at] if low <= at <= high else []
    turns = zeros(derivative(polynomial), low, high)
    found = [at for at in turns if _is_noise(polynomial, at)]
    for start, end in pairwise((low, *turns, high)):
        if (value(polynomial, start) > 0.0) != (value(polynomial, end) > 0.0):
            found.append(_zero(polynomial, start, end))
    return sorted(found)


def _is_noise(polynomial: Polynomial, at: float) -> bool:
    """Whether a polynomial touches zero at one place, as far as floating point can tell."""
    size = value(tuple(map(abs, polynomial)), abs(at))
    return abs(value(polynomial, at)) <= 1e-8 * size


def _zero(polynomial: Polynomial, start: float, end: float) -> float:
    """The one place between two of unlike sign where a polynomial is zero."""
    upwards = value(polynomial, end) > 0.0
    for _ in range(ZERO_HALVINGS):
        middle = (start + end) / 2
        if middle in (start, end):
            break
        if (value(polynomial, middle) > 0.0) == upwards:
            end = middle
        else:
            start = middle
    return (start + end) / 2
