"""Numbers as a person at the bench means them: without the noise of binary, rounded one way."""

from __future__ import annotations

import math
from typing import Any, TypeGuard

NOISE = 1e-9  # of a number: so much of it may be the dust of floating point
SIGNIFICANT = 10  # digits that a number is shown with where nobody rounds it
LARGEST_WHOLE = 1e15  # past this a float no longer holds every whole number
STEP_SHARE = 1e-3  # of an entry step: nobody can enter so little
LARGEST_WORKED = 1e300  # nobody works out so much; what is more is near infinity
LEAST = 1e-12  # noise about a limit of zero that has no step


def is_number(value: Any) -> TypeGuard[float]:
    """True for what can be calculated with."""
    return isinstance(value, int | float) and not isinstance(value, bool)


def noise(*values: float) -> float:
    """How much of the largest of some numbers says nothing."""
    return NOISE * max(map(abs, values))


def near(a: float, b: float) -> bool:
    """Equal but for the noise of floating point: 0.96 − 0.83 is 0.13."""
    return abs(a - b) <= noise(a, b)


def overlooked(limit: float, step: float) -> float:
    """How far past a limit a value still lies on it: noise, or a thousandth of its entry step."""
    return max(noise(limit), step * STEP_SHARE, LEAST)


def tidy(value: float) -> float:
    """A number without the dust of binary, a whole one without a fraction.

    >>> tidy(0.1 + 0.2), tidy(120.0)
    (0.3, 120)
    """
    short = float(f"{value:.{SIGNIFICANT}g}")
    return int(short) if short.is_integer() and abs(short) < LARGEST_WHOLE else short


def nearest_whole(value: float) -> int:
    """The nearest whole number, halves away from zero as at the bench.

    >>> nearest_whole(2.5), nearest_whole(-2.5), nearest_whole(2.4999)
    (3, -3, 2)
    """
    size = abs(value)
    whole = math.floor(size)
    whole += size - whole >= 0.5
    return whole if value >= 0 else -whole


def rounded_to(value: float, places: int) -> float:
    """The number to so many decimals, halves away from zero.

    >>> rounded_to(0.03125, 4)
    0.0313
    """
    scale = 10.0**places
    return nearest_whole(tidy(value * scale)) / scale


def floor(value: float) -> int:
    """The whole number at or below, noise aside.

    >>> floor(2.3 / 0.1), floor(2.35 / 0.1)
    (23, 23)
    """
    return math.floor(value + max(noise(value), NOISE))


def ceiling(value: float) -> int:
    """The whole number at or above, noise aside.

    >>> ceiling(0.6000000000000001 / 0.1), ceiling(0.61 / 0.1)
    (6, 7)
    """
    return math.ceil(value - max(noise(value), NOISE))


def margin_inside(value: float, low: float | None, high: float | None) -> float | None:
    """How far a value is inside the nearer of its limits; negative outside, None without limits.

    >>> margin_inside(63.0, 60.0, 64.2), margin_inside(0.13, None, 0.96 - 0.83)
    (1.2, 0)
    """
    ends = [] if low is None else [_distance(value, low)]
    ends += [] if high is None else [_distance(high, value)]
    return min(ends) if ends else None


def _distance(upper: float, lower: float) -> float:
    return 0 if near(upper, lower) else tidy(upper - lower)


def share_of_limit(value: float, low: float | None, high: float | None) -> float | None:
    """The margin as a part of the limit that it is measured from; None where that is nought.

    >>> share_of_limit(90.0, None, 120.0)
    0.25
    """
    margin = margin_inside(value, low, high)
    if margin is None:
        return None
    limit = high if high is not None and _distance(high, value) == margin else low
    return rounded_to(margin / abs(limit), 4) if limit else None
