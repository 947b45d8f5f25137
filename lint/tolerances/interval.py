"""Intervals: all that a number may be, from a low to a high end, each rounded outwards.

An end is moved to the next float outside, so that what a formula gives for any numbers inside lies
inside too, rounding included. Source: R. E. Moore, Interval Analysis, 1966, chapters 2 and 3 (from
memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import NamedTuple


class Interval(NamedTuple):
    """From `low` to `high`, both inside; an end may be infinite where nothing is known of it."""

    low: float
    high: float

    @property
    def width(self) -> float:
        """How far the ends lie apart."""
        return self.high - self.low

    @property
    def is_point(self) -> bool:
        """Whether it holds one number only."""
        return self.low == self.high

    def holds(self, number: float) -> bool:
        """Whether a number lies inside."""
        return self.low <= number <= self.high


WHOLE_LINE = Interval(-math.inf, math.inf)
NOUGHT = Interval(0.0, 0.0)
UPWARD = Interval(0.0, math.inf)
DOWNWARD = Interval(-math.inf, 0.0)


def point(number: float) -> Interval:
    """The interval of one number."""
    return Interval(number, number)


def outward(low: float, high: float) -> Interval:
    """The interval of two ends that were rounded to the nearest float."""
    if math.isnan(low) or math.isnan(high):
        return WHOLE_LINE
    return Interval(math.nextafter(low, -math.inf), math.nextafter(high, math.inf))


def hull(intervals: Iterable[Interval]) -> Interval:
    """The least interval around several.

    >>> hull([Interval(1.0, 2.0), Interval(5.0, 6.0)])
    Interval(low=1.0, high=6.0)
    """
    several = list(intervals)
    return Interval(min(one.low for one in several), max(one.high for one in several))


def interval_sum(a: Interval, b: Interval) -> Interval:
    """a + b."""
    return outward(a.low + b.low, a.high + b.high)


def interval_difference(a: Interval, b: Interval) -> Interval:
    """a − b."""
    return outward(a.low - b.high, a.high - b.low)


def turned_over(a: Interval) -> Interval:
    """−a, which is exact."""
    return Interval(-a.high, -a.low)


def interval_product(a: Interval, b: Interval) -> Interval:
    """a × b."""
    if a == NOUGHT or b == NOUGHT:
        return NOUGHT
    ends = [_times(one, other) for one in a for other in b]
    return outward(min(ends), max(ends))


def _times(a: float, b: float) -> float:
    """A product of ends: an end without limit stands for finite numbers, which nought makes nought."""
    return 0.0 if a == 0.0 or b == 0.0 else a * b


def interval_quotient(a: Interval, b: Interval) -> Interval:
    """a ÷ b; where the divisor may be nought it may be anything."""
    if b.low <= 0.0 <= b.high:
        return WHOLE_LINE
    if not all(map(math.isfinite, (*a, *b))):
        return interval_product(a, outward(1.0 / b.high, 1.0 / b.low))
    ends = [one / other for one in a for other in b]
    return outward(min(ends), max(ends))


def interval_power(a: Interval, exponent: int) -> Interval:
    """A whole power of a, multiplied out as the formulas do it.

    >>> interval_power(Interval(-1.0, 2.0), 2).low
    0.0
    """
    ends = [_raised(end, exponent) for end in a]
    result = outward(min(ends), max(ends))
    for _ in range(exponent - 2):  # each multiplication rounds once
        result = outward(*result)
    if exponent % 2:
        return result
    return Interval(0.0 if a.low <= 0.0 <= a.high else max(0.0, result.low), result.high)


def _raised(base: float, exponent: int) -> float:
    result = base
    for _ in range(exponent - 1):
        result *= base
    return result


def interval_root(a: Interval) -> Interval:
    """The square root of the part of a that is not negative."""
    low, high = max(a.low, 0.0), max(a.high, 0.0)
    root = outward(math.sqrt(low), math.sqrt(high))
    return Interval(max(0.0, root.low), root.high)


def interval_size(a: Interval) -> Interval:
    """The numbers of a without their sign, which is exact."""
    if a.low >= 0.0:
        return a
    return turned_over(a) if a.high <= 0.0 else Interval(0.0, max(-a.low, a.high))
