"""Two rides side by side, before and after a change, told under the same conditions."""

from __future__ import annotations

from collections.abc import Mapping

from ..documents.profile import BASE
from .ride_figures import Ride, RoadFigures
from .rider import Rider
from .vehicle import Ridden, vehicle_of


def figures_of_both(old: Ridden, new: Ridden) -> tuple[RoadFigures, RoadFigures]:
    """What a rider notices first before and after a change; both ranges at the lower of two cruises."""
    before, after = (Rider(book, vehicle_of(book), BASE, None, None) for book in (old, new))
    _level(before, after)
    return before.first_figures(), after.first_figures()


def rides_of_both(
    old: Mapping[str, Ridden],
    new: Mapping[str, Ridden],
    grade_percent: float | None = None,
    cruise_km_h: float | None = None,
) -> tuple[tuple[Ride, ...], tuple[Ride, ...]]:
    """The rides before and after a change; in each mode at the lower of two cruises and on one cycle."""
    before, after = (
        {
            mode: Rider(
                book, vehicle_of(book, grade_percent or 0.0), mode, grade_percent, cruise_km_h
            )
            for mode, book in books.items()
        }
        for books in (old, new)
    )
    for mode in before.keys() & after.keys():
        _level(before[mode], after[mode])
        _on_one_cycle(before[mode], after[mode])
    then, now = (tuple(one.ride() for one in riders.values()) for riders in (before, after))
    return then, now


def _level(before: Rider, after: Rider) -> None:
    """Let both cruise at the lower of their speeds: at different ones their ranges say nothing."""
    cruises = [one.cruise_km_h for one in (before, after) if one.cruise_km_h is not None]
    before.cruise_km_h = after.cruise_km_h = min(cruises, default=None)


def _on_one_cycle(before: Rider, after: Rider) -> None:
    """Let both ride one cycle; where they keep up with none in common, each its own."""
    both = tuple(one for one in before.schedules_kept() if one in after.schedules_kept())
    if both:
        before.schedules = after.schedules = both
