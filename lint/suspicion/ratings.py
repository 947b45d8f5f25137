"""Ratings in doubt: a part may be no better than its label says, and nobody talks a limit up for a GO.

A rating or protective limit is loosened by a value that promises more, or lets more happen. That is no
answer where it makes the value an unlikely one; and where nothing contradicts the value of today, the
part may just be too small.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Mapping

from ..documents.profile import BASE
from ..quantities.book import Book
from ..quantities.number import is_number
from .evidence import RaisedRule, Weighed
from .sites import Change
from .slip_rows import Belief

_SAME_COST = 1e-9
_FAR_TOO_SMALL = math.log(
    2.0
)  # nobody fits a part for less than half of what it meets; common practice
# Fuses that break little and such that break much are sold in one size; common practice.
_FAR_BREAKING = math.log(12.0)
# Parts of which the label says a size and no rating, with the current that they carry: more of it carries
# more. A thin one is fitted to a large fuse more often than a weak part, so it may be what is there up to
# so many amperes each mm²; common practice.
_SECTIONS = {
    "wiring.battery_cable_mm2": "settings.battery_current_A",
    "wiring.phase_cable_mm2": "settings.phase_current_A_rms",
    "pack.charger.cable_mm2": "pack.charger.current_A",
}
_MOST_A_PER_MM2 = 60.0
# Cells beside each other: a pack may be smaller than what is set for it.
_STRINGS = "pack.parallel"
# What nobody fits: a cable for less than an ampere each mm², what passes the pack's current for five times
# as much; common practice.
_LEAST_A_PER_MM2 = 1.0
_MOST_TIMES = 5.0
_LEAST_STOP_DEGC = 55.0  # nothing is tapered or stopped below what a warm day and a ride make of it
_STOPS = "settings.temperature."
_PASSING = frozenset(
    (
        "pack.connector_A",
        "pack.bms.continuous_A",
        "wiring.fuse.rated_A",
        "wiring.contactor.rated_A",
    )
)
# Parts that are simply another one, whichever way: a fuse too large for its cable is no slip either.
_FITTED = frozenset(
    (
        "wiring.fuse.rated_A",
        "drivetrain.tyre_speed_symbol",
        "motor.magnet_grade",
        "motor.insulation_class",
    )
)
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

    So is what the vehicle is asked to withstand, where less is asked then, and any other part in place of
    one that is only called by its size.
    """
    if change.site.quantity in _FITTED:
        return True
    entry, now, then = change.site.entry, change.site.given.value, change.given.value
    side = entry.rating or _LOOSER.get(entry.careful) or _ASKED.get(change.site.quantity)
    side = "upper" if change.site.quantity in (*_SECTIONS, _STRINGS) else side
    if side is None or not is_number(now) or not is_number(then):
        return False
    return bool(then > now) if side == "upper" else bool(then < now)


def loosens_a_setting(change: Change) -> bool:
    """Whether a protective limit in the controller would let more happen."""
    return bool(change.site.entry.careful) and is_loosened(change)


def is_absurd(change: Change, books: Collection[Book]) -> bool:
    """Whether a part would be far larger than anybody fits for its current; `books` are of all motors.

    Or a taper or stop by temperature lower than anybody sets it.
    """
    quantity, value = change.site.quantity, change.given.value
    if quantity.startswith(_STOPS) and quantity.endswith("_degC") and is_number(value):
        return bool(value < _LEAST_STOP_DEGC)
    if not is_loosened(change) or not is_number(value):
        return False
    section = quantity in _SECTIONS
    if not section and quantity not in _PASSING:
        return False
    ampere = _current(quantity, books)
    least = _LEAST_A_PER_MM2 if section else 1.0 / _MOST_TIMES
    return ampere is not None and bool(value * least > ampere)


def _current(quantity: str, books: Collection[Book]) -> float | None:
    """The current that a part carries, by its settings; of several motors that of all together."""
    name = _SECTIONS.get(quantity, "settings.battery_current_A")
    told = [book.operand(name).value for book in books]
    amperes = [float(one) for one in told if is_number(one)]
    return sum(amperes) if amperes and len(amperes) == len(told) else None


def is_asked(change: Change) -> bool:
    """Whether an entry is what the vehicle is asked to do, or the limit that its use has."""
    return change.site.quantity in _ASKED


def is_of_a_part(change: Change) -> bool:
    """Whether an entry is what a part can do, by its rating or by its size."""
    quantity = change.site.quantity
    sized = quantity in _SECTIONS or quantity in _FITTED or quantity == _STRINGS
    return change.site.entry.rating is not None or sized


def _is_far(change: Change, explains: Collection[str], today: Weighed) -> bool:
    """Whether a part is too small by more than anybody fits."""
    quantity = change.site.quantity
    if quantity in _SECTIONS:
        ampere = _current(quantity, [hearing.books[BASE] for hearing in today.hearings])
        section = change.site.given.value
        if ampere is None or not is_number(section):
            return False
        return bool(ampere > _MOST_A_PER_MM2 * section)
    if not is_number(change.site.given.value):
        return False
    most = _FAR_BREAKING if quantity == "wiring.fuse.breaking_A" else _FAR_TOO_SMALL
    return any(today.flags[rule].times_e > most for rule in explains)


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
    explains: Collection[str],
    today: Weighed,
    belief: Belief,
    points_at: Callable[[str], frozenset[str]],
) -> bool:
    """Whether a rating of a part, or what is asked of the vehicle, is loosened, and nothing doubts it today.

    What a part `explains` is past its limit by no more than a factor of two, a cable by more. Of words none is far. A contradiction that points at
    another entry says nothing: of a part that was replaced the other lines are often left.
    """
    ratings = {
        change.site.quantity: change
        for change in changes
        if (is_of_a_part(change) or change.site.quantity in _ASKED) and is_loosened(change)
    }
    if not ratings:
        return False
    if any(
        quantity not in _ASKED and _is_far(change, explains, today)
        for quantity, change in ratings.items()
    ):
        return False
    doubted = _contradictions(today.flags, belief)
    return all(points_at(name).isdisjoint(ratings) for name in doubted)


def _contradictions(flags: Mapping[str, RaisedRule], belief: Belief) -> list[str]:
    return [name for name in flags if belief.is_contradiction(name.partition(":")[0])]


def weight_as_fitted(weight: float, prior: float, as_fitted: float) -> float:
    """The weight that the part is as entered, where a slip of that prior has a weight.

    >>> round(math.exp(weight_as_fitted(math.log(0.1), 0.005, 0.03)), 3)
    0.6
    """
    return weight - math.log(prior) + math.log(as_fitted)
