"""What a change makes of the ride: speed, push, climb, range and heat before and after, mode by mode."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ..documents.profile import BASE
from ..quantities.number import tidy
from ..riding.ride_figures import Figure, RoadFigures
from ..riding.vehicle import Ridden
from .change import relative_change
from .consequence import THRESHOLD

# The figures in the order in which a rider notices them, each with its unit and the field that says
# what limits it, or under what condition it is told.
FIRST_FIGURES = (
    ("top_speed_km_h", "km_h", "limited_by", ""),
    ("peak_force_N", "N", "peak_limited_by", ""),
    ("steepest_start_percent", "percent", "", ""),
    ("range_km", "km", "", "cruise_km_h"),
    ("regen_deceleration_m_per_s2", "m_per_s2", "", "cruise_km_h"),
    ("minutes_to_taper", "min", "", "grade_percent"),
    ("controller_minutes_to_taper", "min", "", "grade_percent"),
)


@dataclass(frozen=True, slots=True)
class RideChange:
    """A figure of the ride that moved, or that something else limits now.

    `old_limit` and `new_limit` name the quantity that allows no more; `old_at` and `new_at` are the
    cruise in km/h of a range or of regen, or the grade in percent of the minutes. A side that is not exact is a bound.
    """

    figure: str
    mode: str
    unit: str
    old: Figure
    new: Figure
    share: float | None
    old_limit: str = ""
    new_limit: str = ""
    old_at: float | None = None
    new_at: float | None = None


def ride_changes(old: Mapping[str, Ridden], new: Mapping[str, Ridden]) -> tuple[RideChange, ...]:
    """The figures that moved in the base settings, and in each mode that moved otherwise.

    `old` and `new` are the books of the modes; a mode that only one side has is left out.
    """
    from ..riding.ride_pair import figures_of_both  # late: only what changed is ridden

    told: list[RideChange] = []
    known: tuple[RoadFigures, RoadFigures] | None = None
    for mode in (BASE, *sorted((old.keys() & new.keys()) - {BASE})):
        both = figures_of_both(old[mode], new[mode])
        if both != known:
            told += _moved(mode, *both)
        known = known or both
    return tuple(told)


def _moved(mode: str, before: RoadFigures, after: RoadFigures) -> Iterator[RideChange]:
    for name, unit, limit, condition in FIRST_FIGURES:
        was, now = getattr(before, name), getattr(after, name)
        limits = (getattr(before, limit), getattr(after, limit)) if limit else ("", "")
        at = (getattr(before, condition), getattr(after, condition)) if condition else (None, None)
        known = not (_is_open(was) and _is_open(now))
        if (known and (_differ(was, now) or limits[0] != limits[1])) or was.reason != now.reason:
            share = _share(was, now, unit)
            yield RideChange(name, mode, unit, _tidied(was), _tidied(now), share, *limits, *at)


def _is_open(figure: Figure) -> bool:
    return figure.low is None and figure.high is None


def _differ(was: Figure, now: Figure) -> bool:
    """Whether an end of a figure moved by more than the threshold, or is known on one side only."""
    return any(_apart(*ends) for ends in ((was.low, now.low), (was.high, now.high)))


def _share(was: Figure, now: Figure, unit: str) -> float | None:
    """By what share a figure moved, or a bound where both sides are bounds alike."""
    if was.value is not None and now.value is not None:
        return relative_change(was.value, now.value, unit)
    if was.low is None and now.low is None:
        return relative_change(was.high, now.high, unit)
    return relative_change(was.low, now.low, unit) if was.high is now.high is None else None


def _apart(was: float | None, now: float | None) -> bool:
    if was is None or now is None:
        return was is not now
    return not math.isclose(was, now, rel_tol=THRESHOLD)


def _tidied(figure: Figure) -> Figure:
    return Figure(_six(figure.low), _six(figure.high), figure.missing, figure.reason)


def _six(end: float | None) -> float | None:
    """Six digits: more say nothing."""
    return None if end is None else tidy(float(f"{end:.6g}"))
