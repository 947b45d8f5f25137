"""Ratings in doubt: a part may be no better than its label says, and nobody talks a limit up for a GO.

A rating or protective limit is loosened by a value that promises more, or lets more happen. That is no
answer where it makes the value an unlikely one; and where nothing contradicts the value of today, the
part may just be too small.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping

from ..quantities.number import is_number
from .evidence import RaisedRule, Weighed
from .sites import Change
from .slip_rows import Belief

_SAME_COST = 1e-9
_FAR_TOO_SMALL = math.log(
    2.0
)  # nobody fits a part for less than half of what it meets; common practice
_LOOSER = {"lower": "upper", "upper": "lower"}
# What is asked of the vehicle, and the side on which less is asked of it or more let happen; the weather
# is not asked for.
_ASKED = {
    "vehicle.speed_limit_km_h": "upper",
    "vehicle.power_limit_W": "upper",
    "vehicle.max_downhill_km_h": "lower",
    "vehicle.steepest_grade_percent": "lower",
}


def is_loosened(change: Change) -> bool:
    """Whether a changed entry is a rating that promises more, or a limit that lets more happen.

    So is what the vehicle is asked to withstand, where less is asked then.
    """
    entry, now, then = change.site.entry, change.site.given.value, change.given.value
    side = entry.rating or _LOOSER.get(entry.careful) or _ASKED.get(change.site.quantity)
    if side is None or not is_number(now) or not is_number(then):
        return False
    return bool(then > now) if side == "upper" else bool(then < now)


def makes_unlikely(
    changes: Iterable[Change],
    today: Weighed,
    then: Weighed,
    belief: Belief,
    rests_on: Callable[[str], frozenset[str]],
) -> bool:
    """Whether a loosened limit brings a contradiction about itself, or makes one of today worse."""
    loosened = {change.site.quantity for change in changes if is_loosened(change)}
    if not loosened:
        return False
    for name in _contradictions(then.flags, belief):
        known = today.flags.get(name)
        worse = known is None or then.flags[name].cost > known.cost + _SAME_COST
        graver = known is not None and then.flags[name].severity != known.severity
        if (worse or graver) and not loosened.isdisjoint(rests_on(name)):
            return True
    return False


def may_be_meant(
    changes: Iterable[Change],
    explains: Iterable[str],
    today: Weighed,
    belief: Belief,
    points_at: Callable[[str], frozenset[str]],
) -> bool:
    """Whether a rating of a part, or what is asked of the vehicle, is loosened, and nothing doubts it today.

    What a part `explains` is past its limit by no more than a factor of two. A contradiction that points at
    another entry says nothing: of a part that was replaced the other lines are often left.
    """
    ratings = {
        change.site.quantity
        for change in changes
        if (change.site.entry.rating is not None or change.site.quantity in _ASKED)
        and is_loosened(change)
    }
    far = any(today.flags[rule].times_e > _FAR_TOO_SMALL for rule in explains)
    if not ratings or (far and not ratings <= _ASKED.keys()):
        return False
    doubted = _contradictions(today.flags, belief)
    return all(ratings.isdisjoint(points_at(name)) for name in doubted)


def _contradictions(flags: Mapping[str, RaisedRule], belief: Belief) -> list[str]:
    return [name for name in flags if belief.is_contradiction(name.partition(":")[0])]


def weight_as_fitted(weight: float, prior: float, as_fitted: float) -> float:
    """The weight that the part is as entered, where a slip of that prior has a weight.

    >>> round(math.exp(weight_as_fitted(math.log(0.1), 0.005, 0.03)), 3)
    0.6
    """
    return weight - math.log(prior) + math.log(as_fitted)
