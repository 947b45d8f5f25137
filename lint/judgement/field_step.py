"""Steps of a field: a value rounded to what can be entered, to the careful side, inside its window."""

from __future__ import annotations

from ..documents.schema import Careful
from ..quantities.number import ceiling, floor, near, noise, tidy

_HALF = 0.5


def to_step(
    exact: float, step: float, careful: Careful, low: float | None, high: float | None
) -> float | None:
    """The value at a step of the field; None where no step is left that may be entered.

    To the `careful` side alone where there is one, else to the nearer step. A value that lies inside
    its window, from `low` to `high`, stays inside, and one that is not nought does not become it.

    >>> to_step(75.4, 1.0, "lower", 1.0, 90.0), to_step(2.9125, 0.01, "upper", 2.8, 3.0)
    (75, 2.92)
    >>> to_step(46.2, 1.0, "upper", 45.0, 46.8) is None
    True
    """
    down, up = floor(exact / step) * step, ceiling(exact / step) * step
    if near(down, up):
        return tidy(down)
    sides = {"lower": (down,), "upper": (up,)}
    nearer = (down, up) if exact - down <= up - exact else (up, down)
    choices = sides.get(careful, nearer)
    for choice in choices:
        if _inside(choice, low, high) and not (near(choice, 0.0) and exact > 0):
            return tidy(choice)
    return None if _inside(exact, low, high) else tidy(choices[0])


def _inside(value: float, low: float | None, high: float | None) -> bool:
    above = low is None or value >= low or near(value, low)
    return above and (high is None or value <= high or near(value, high))


def is_outside(value: float, low: float | None, high: float | None) -> bool:
    """Whether a value lies outside its window, noise aside."""
    return not _inside(value, low, high)


def is_held(shown: float, exact: float, typed: float | None, step: float) -> bool:
    """Whether a field holds what it should: the value typed in, to half a step, or the exact one.

    What lies between the two is held as well.

    >>> is_held(75.4, 75.0, 75.0, 1.0), is_held(75.6, 75.0, 75.0, 1.0)
    (True, False)
    >>> is_held(46.0, 46.2, 47.0, 1.0), is_held(46.2, 46.2, 47.0, 1.0)
    (False, True)
    """
    typed = exact if typed is None else typed
    half = _HALF * step
    low, high = min(exact, typed), max(exact, typed)
    dust = noise(shown, exact, typed)
    at_low = half if near(low, typed) else 0.0
    at_high = half if near(high, typed) else 0.0
    return low - at_low - dust <= shown <= high + at_high + dust
