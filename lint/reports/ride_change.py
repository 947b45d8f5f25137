"""What a change makes of the ride, in words: a line of the summary, and a table."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from ..comparison.ride_change import RideChange
from ..documents.profile import BASE
from ..expressions.formatting import shown
from ..expressions.names import title_of
from ..riding.ride_figures import Figure
from .comparison_words import ARROW, movement, percentage
from .ride import figure_words, side_words
from .section import Line, Section, Table

RIDE_LABELS = {
    "top_speed_km_h": "top speed",
    "peak_force_N": "push at the start",
    "steepest_start_percent": "steepest start",
    "range_km": "range",
    "regen_deceleration_m_per_s2": "regen deceleration",
    "minutes_to_taper": "minutes to the motor's taper",
    "controller_minutes_to_taper": "minutes to the controller's taper",
}


def ride_in_short(ride: Iterable[RideChange]) -> str:
    """What moved in the base settings, for the summary; empty where nothing did."""
    words = []
    for one in ride:
        if one.mode == BASE and _moved(one):
            share = f" ({percentage(one.share)})" if one.share else ""
            words.append(f"{RIDE_LABELS[one.figure]} {_movement(one)}{share}")
    return " · ".join(words)


def is_top_speed(one: RideChange) -> bool:
    """Whether it tells the top speed in the base settings."""
    return (one.figure, one.mode) == ("top_speed_km_h", BASE)


def ride_section(ride: Iterable[RideChange], least: str) -> Section:
    """Each figure that moved, and what limits it."""
    rows = tuple(cells for one in ride for cells in _rows(one))
    table = Table(("mode", "figure", "old → new", "by"), rows, right=(3,))
    return Section(f"The ride: figures that changed by more than {least}", (table,) if rows else ())


def _rows(one: RideChange) -> Iterator[tuple[Line, ...]]:
    mode = f"in {one.mode}" if one.mode else ""
    yield (mode,), (_label(one),), (_movement(one),), (percentage(one.share),)
    limits = _limits(one)
    if limits:
        yield (mode,), ("limited by",), (limits,), ("",)


def _label(one: RideChange) -> str:
    """The figure's name with its condition: `range at a steady 40 km/h`."""
    known = {at for at in (one.old_at, one.new_at) if at is not None}
    if not known:
        return RIDE_LABELS[one.figure]
    unit, where = (
        ("percent", " on a grade of") if "minutes" in one.figure else ("km_h", " at a steady")
    )
    if one.figure == "regen_deceleration_m_per_s2":
        where = " at"
    told = f" {ARROW} ".join(shown(at, unit) for at in sorted(known))
    if len(known) > 1:
        told = f"{shown(one.old_at, unit)} {ARROW} {shown(one.new_at, unit)}"
    return f"{RIDE_LABELS[one.figure]}{where} {told}"


def _movement(one: RideChange) -> str:
    """Both sides; a side without a figure says why, where there is a reason."""
    for bound in ("", "at most ", "at least "):
        if _is_one(one.old, bound) and _is_one(one.new, bound):
            return bound + movement(_end(one.old), _end(one.new), one.unit)
    return f"{_side(one.old, one.unit)} {ARROW} {_side(one.new, one.unit)}"


def _is_one(figure: Figure, bound: str) -> bool:
    """Whether a figure is one number, exact or a bound of a kind."""
    if _end(figure) is None or side_words(figure) != bound:
        return False
    return bound != "" or figure.value is not None


def _end(figure: Figure) -> float | None:
    """The number as it is shown, three digits."""
    end = figure.low if figure.low is not None else figure.high
    return None if end is None else float(f"{end:.3g}")


def _side(figure: Figure, unit: str) -> str:
    if figure.low is None and figure.high is None:
        return figure.reason or "not known"
    return figure_words(figure, unit)


def _moved(one: RideChange) -> bool:
    return (one.old.low, one.old.high, one.old.reason) != (
        one.new.low,
        one.new.high,
        one.new.reason,
    )


def _limits(one: RideChange) -> str:
    """What limits the figure, before and now."""
    was, now = (title_of(name) if name else "not known" for name in (one.old_limit, one.new_limit))
    if one.old_limit == one.new_limit:
        return now if one.new_limit else ""
    return f"{was} {ARROW} {now}"
