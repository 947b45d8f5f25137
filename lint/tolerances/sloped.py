"""Numbers with their slopes: what they may be over a box, and how they move with each of its sides.

The slope along a side is an interval that holds every rate of change inside the box. One that does not
change its sign says that the number moves one way, so that its extremes lie at the ends of that side.
Source: forward differentiation over intervals, R. E. Moore, Methods and Applications of Interval
Analysis, 1979, chapter 3 (from memory); of the lesser or greater of two numbers the slopes of both.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from functools import reduce
from typing import NamedTuple

from ..quantities.number import nearest_whole
from .interval import (
    DOWNWARD,
    NOUGHT,
    UPWARD,
    WHOLE_LINE,
    Interval,
    hull,
    interval_difference,
    interval_power,
    interval_product,
    interval_quotient,
    interval_root,
    interval_size,
    interval_sum,
    outward,
    point,
    turned_over,
)

Slopes = Mapping[str, Interval]
FLAT: Slopes = {}


class Sloped(NamedTuple):
    """All that a number may be over a box, and its slope along each side that moves it."""

    value: Interval
    slopes: Slopes = FLAT


def level(number: float) -> Sloped:
    """A number that stays."""
    return Sloped(point(number))


def anything(sides: Iterable[str]) -> Sloped:
    """What may be any number, and may leap along these sides."""
    return Sloped(WHOLE_LINE, dict.fromkeys(sides, WHOLE_LINE))


def leaping(number: Sloped, sides: Iterable[str]) -> Sloped:
    """The number where it may leap along some sides besides."""
    return number._replace(slopes={**number.slopes, **dict.fromkeys(sides, WHOLE_LINE)})


def sloped_sum(a: Sloped, b: Sloped) -> Sloped:
    """a + b."""
    slopes = _joined(a.slopes, b.slopes, interval_sum, lambda slope: slope)
    return Sloped(interval_sum(a.value, b.value), slopes)


def sloped_difference(a: Sloped, b: Sloped) -> Sloped:
    """a − b."""
    slopes = _joined(a.slopes, b.slopes, interval_difference, turned_over)
    return Sloped(interval_difference(a.value, b.value), slopes)


def _joined(
    a: Slopes,
    b: Slopes,
    both: Callable[[Interval, Interval], Interval],
    other: Callable[[Interval], Interval],
) -> Slopes:
    if not b:
        return a
    joined = dict(a)
    for side, slope in b.items():
        joined[side] = both(a[side], slope) if side in a else other(slope)
    return joined


def times(slopes: Slopes, factor: Interval) -> Slopes:
    """Slopes times a factor; one of nought is left out."""
    if factor == NOUGHT:
        return FLAT
    return {side: interval_product(slope, factor) for side, slope in slopes.items()}


def sloped_product(a: Sloped, b: Sloped) -> Sloped:
    """a × b, by the product rule."""
    slopes = _joined(times(a.slopes, b.value), times(b.slopes, a.value), interval_sum, _same)
    return Sloped(interval_product(a.value, b.value), slopes)


def _same(slope: Interval) -> Interval:
    return slope


def sloped_quotient(a: Sloped, b: Sloped) -> Sloped:
    """a ÷ b, by the quotient rule; it leaps where the divisor may be nought."""
    if b.value.low <= 0.0 <= b.value.high:
        return anything({**a.slopes, **b.slopes})
    value = interval_quotient(a.value, b.value)
    inverse = interval_quotient(point(1.0), b.value)
    by_divisor = turned_over(interval_product(value, inverse))
    slopes = _joined(times(a.slopes, inverse), times(b.slopes, by_divisor), interval_sum, _same)
    return Sloped(value, slopes)


def opposite_number(a: Sloped) -> Sloped:
    """−a."""
    return Sloped(
        turned_over(a.value), {side: turned_over(slope) for side, slope in a.slopes.items()}
    )


def sloped_power(a: Sloped, exponent: int) -> Sloped:
    """A whole power of a, by the power rule."""
    below = a.value if exponent == 2 else interval_power(a.value, exponent - 1)
    rate = interval_product(point(float(exponent)), below)
    return Sloped(interval_power(a.value, exponent), times(a.slopes, rate))


def sloped_root(a: Sloped) -> Sloped:
    """The square root of a; it is steep without limit at nought."""
    value = interval_root(a.value)
    twice = interval_product(point(2.0), value)
    rate = UPWARD if twice.low <= 0.0 else interval_quotient(point(1.0), twice)
    return Sloped(value, times(a.slopes, rate))


def sloped_size(a: Sloped) -> Sloped:
    """The size of a."""
    if a.value.low >= 0.0:
        return a
    over = opposite_number(a)
    if a.value.high <= 0.0:
        return over
    return Sloped(interval_size(a.value), _either(a.slopes, over.slopes))


def _either(a: Slopes, b: Slopes) -> Slopes:
    sides = {**a, **b}
    return {side: hull((a.get(side, NOUGHT), b.get(side, NOUGHT))) for side in sides}


def rounded_number(a: Sloped) -> Sloped:
    """The nearest whole number, which leaps."""
    if not (math.isfinite(a.value.low) and math.isfinite(a.value.high)):
        return anything(a.slopes)
    low, high = nearest_whole(a.value.low), nearest_whole(a.value.high)
    whole = Interval(float(low), float(high))
    return Sloped(whole) if whole.is_point else leaping(Sloped(whole), a.slopes)


def least_number(several: Iterable[Sloped]) -> Sloped:
    """The least of several numbers."""
    return reduce(_lesser, several)


def _lesser(a: Sloped, b: Sloped) -> Sloped:
    if a.value.high <= b.value.low:
        return a
    if b.value.high <= a.value.low:
        return b
    value = Interval(min(a.value.low, b.value.low), min(a.value.high, b.value.high))
    return Sloped(value, _either(a.slopes, b.slopes))


def greatest_number(several: Iterable[Sloped]) -> Sloped:
    """The greatest of several numbers."""
    return opposite_number(least_number(map(opposite_number, several)))


def either_of(several: Iterable[Sloped], sides: Iterable[str] = ()) -> Sloped:
    """One of several numbers, now this one, now that; along `sides` it may leap from one to another."""
    parts = list(several)
    value = hull(part.value for part in parts)
    slopes = reduce(_either, (part.slopes for part in parts))
    return leaping(Sloped(value, slopes), sides)


def monotone_number(value: Interval, rising: Iterable[Slopes], falling: Iterable[Slopes]) -> Sloped:
    """What a function gives that only rises with some numbers and only falls with others."""
    slopes: Slopes = FLAT
    for parts, rate in ((rising, UPWARD), (falling, DOWNWARD)):
        for part in parts:
            slopes = _joined(slopes, times(part, rate), interval_sum, _same)
    return Sloped(value, slopes)


def noise_about(a: Sloped, share: float, least: float) -> Sloped:
    """How much of a number is noise: a share of its size, no less than `least`."""
    size = sloped_size(a)
    part = sloped_product(level(share), size)
    return greatest_number((part, level(least)))


def widened(value: Interval, share: float) -> Interval:
    """An interval wider by a share of its larger end on both sides, for what rounds as it likes."""
    more = share * max(abs(value.low), abs(value.high))
    return outward(value.low - more, value.high + more)
