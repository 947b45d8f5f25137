"""The ride as plain data, and in words why a figure is not there."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..documents.motors import entry_path
from ..expressions.formatting import shown
from ..judgement.finding import Judgement
from ..judgement.verdict import ask_of, in_order
from ..quantities.operand import EXACT
from ..riding.drive import OperatingPoint
from ..riding.hill import Hill
from ..riding.ride_figures import Braking, Figure, Ride
from ..riding.vehicle import WINDING_degC
from .record import exact
from .ride_verdict import gravest_record

RIDE_EDITION = "ride/1"
# The figures in the order of the record.
RIDE_FIGURES = (
    "top_speed_km_h",
    "flat_top_speed_km_h",
    "full_top_speed_km_h",
    "peak_force_N",
    "continuous_force_N",
    "steepest_start_percent",
    "zero_to_50_s",
    "range_km",
    "stop_and_go_range_km",
    "regen_deceleration_m_per_s2",
    "minutes_to_taper",
    "minutes_to_stop",
    "controller_minutes_to_taper",
    "controller_minutes_to_stop",
)
# Those of which the record gives the most, where they are not exact; `bounds` then says so.
_FROM_ABOVE = ("range_km", "stop_and_go_range_km")


def missing_of(ride: Ride) -> frozenset[str]:
    """All that would make figures of a ride exact, or known."""
    figures: list[Figure] = [getattr(ride, name) for name in RIDE_FIGURES]
    missing = ride.points_missing.union(ride.regen.most.missing, *(one.missing for one in figures))
    return frozenset(name for name in missing if not is_no_load(name))  # the stand's turn


def is_no_load(name: str) -> bool:
    """Whether an entry is of the no-load test, of the vehicle or of one of its motors."""
    return entry_path(name).startswith("readings.no_load.")


def record(
    rides: Sequence[Ride], judgement: Judgement, against: tuple[str, Sequence[Ride]] | None
) -> dict[str, Any]:
    """The rides as plain data, with the profile's verdict; `against` is a revision with the rides of then."""
    profile = judgement.profile
    before = None
    if against is not None:
        before = {"revision": against[0], "rides": list(map(ride_record, against[1]))}
    return {
        "gonogo": RIDE_EDITION,
        "file": profile.file,
        "name": profile.name,
        "verdict": judgement.stages["ride"],
        "gravest": gravest_record(judgement),
        "rides": list(map(ride_record, rides)),
        "against": before,
    }


def ride_record(ride: Ride) -> dict[str, Any]:
    """One ride: each figure where it is exact, else null with its bounds and why; of a range the most."""
    figures: dict[str, Figure] = {name: getattr(ride, name) for name in RIDE_FIGURES}
    values = {name: _rounded(figure.value) for name, figure in figures.items()}
    values |= {name: _rounded(figures[name].high) for name in _FROM_ABOVE}
    return {
        "mode": ride.mode or None,
        "grade_percent": _rounded(ride.grade_percent),
        "top_speed_km_h": values.pop("top_speed_km_h"),
        "limited_by": ride.limited_by or None,
        **values,
        "peak_limited_by": ride.peak_limited_by or None,
        "cruise_km_h": _rounded(ride.cruise_km_h),
        "schedule": ride.schedule or None,
        "regen": _regen_record(ride.regen),
        "hill": _hill_record(ride.hill),
        "bounds": {
            name: {"low": _rounded(figure.low), "high": _rounded(figure.high)}
            for name, figure in figures.items()
            if figure.value is None and (figure.low, figure.high) != (None, None)
        },
        "why": {name: why(figure) for name, figure in figures.items() if figure.value is None},
        "peak_power_W": _rounded(ride.peak_power_W),
        "own_limits": {name: _rounded(value) for name, value in ride.own_limits.items()},
        "rests_on": {name: _rounded(value) for name, value in ride.basis.items()},
        "winding_degC": WINDING_degC,
        "points_side": ride.points_side,
        "points": [_point_record(point, ride.motors) for point in ride.points],
    }


def why(figure: Figure) -> str:
    """Why a figure is not there, or only a bound: in words, or what to enter."""
    bounded = (figure.low, figure.high) != (None, None)
    asks = "; ".join(ask_of(name) for name in in_order(figure.missing))
    if figure.reason:
        return f"{figure.reason}; {asks}" if bounded and asks else figure.reason
    return asks or "it cannot be worked out from what is entered"


def side_words(figure: Figure) -> str:
    """What stands before a figure that is only a bound: `at most`, `at least`; empty else."""
    if figure.low == figure.high:
        return ""
    if figure.low is None:
        return "at most "
    return "at least " if figure.high is None else ""


def figure_words(figure: Figure, unit: str) -> str:
    """A figure in few words: exact, a span, a bound, or a dash.

    >>> figure_words(Figure(55.26, 55.26), "km_h"), figure_words(Figure(None, 40.0), "N")
    ('55.3 km/h', 'at most 40 N')
    >>> figure_words(Figure(3.14, 12.6), "min"), figure_words(Figure(), "min")
    ('3.1 to 13 min', '–')
    """
    if figure.low is not None and figure.high is not None and figure.value is None:
        return f"{shown(figure.low, '', 2)} to {shown(figure.high, unit, 2)}"
    known = figure.low if figure.low is not None else figure.high
    return "–" if known is None else f"{side_words(figure)}{shown(known, unit, 3)}"


def by_words(was: Figure, now: Figure, unit: str) -> str:
    """By how much a figure moved; empty where it did not, or is not known alike; a span by its high end.

    >>> by_words(Figure(55.26, 55.26), Figure(50.0, 50.0), "km_h")
    '−5.26 km/h'
    """
    for before, after in ((was.high, now.high), (was.low, now.low)):
        if before is not None and after is not None and side_words(was) == side_words(now):
            by = after - before
            return f"{'+' if by > 0 else ''}{shown(by, unit, 3)}" if by else ""
    return ""


def is_exact(ride: Ride) -> bool:
    """Whether the forces over speed are those that the drive gives, not only the most."""
    return ride.points_side == EXACT


def _regen_record(regen: Braking) -> dict[str, Any]:
    return {
        "most_m_per_s2": _rounded(regen.most.high),
        "most_to_km_h": _rounded(regen.most_to_km_h),
        "none_from_V": _rounded(regen.none_from_V),
        "over_speed": [
            {"speed_km_h": _rounded(speed), "low": _rounded(at.low), "high": _rounded(at.high)}
            for speed, at in regen.curve
        ],
    }


def _hill_record(hill: Hill) -> dict[str, Any]:
    return {
        "grade_percent": _rounded(hill.grade_percent),
        "speed_km_h": _rounded(hill.speed_km_h),
        "phase_current_A_rms": _rounded(hill.phase_A_rms),
        "air_degC": _rounded(hill.air_degC),
        "tapers_first": hill.tapers_first or None,
    }


def _point_record(point: OperatingPoint, motors: Sequence[str] = ()) -> dict[str, Any]:
    parts = [
        {"motor": name, **_point_record(part)}
        for name, part in zip(motors, point.parts, strict=False)
    ]
    for part in parts:
        part.pop("pack_V")
        part.pop("speed_km_h")
    each = {"motors": parts} if parts else {}
    return {
        "speed_km_h": _rounded(point.speed_km_h),
        "force_N": _rounded(point.force_N),
        "torque_Nm": _rounded(point.torque_Nm),
        "phase_current_A_rms": _rounded(point.phase_A_rms),
        "battery_current_A": _rounded(point.battery_A),
        "pack_V": _rounded(point.loaded_V),
        "limited_by": point.limited_by,
        **each,
    }


def _rounded(value: float | None) -> Any:
    """A number as far as it says anything: six digits."""
    return None if value is None else exact(float(f"{value:.6g}"))
