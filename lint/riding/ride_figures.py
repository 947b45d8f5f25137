"""A ride in figures: what the settings of one mode come to on the road, and what limits each of them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple

from ..quantities.operand import NOTHING, Side
from .course import Road
from .drive import OperatingPoint
from .hill import Hill

NO_START = "the drive does not start the vehicle"


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of the ride: exact where both ends are the same, else what is known of it.

    `low` and `high` are None where that end is not known. `missing` names what would make it exact,
    `reason` says in words why there is none.
    """

    low: float | None = None
    high: float | None = None
    missing: frozenset[str] = NOTHING
    reason: str = ""

    @property
    def value(self) -> float | None:
        """The figure where it is exact; else None."""
        return self.low if self.low == self.high else None


@dataclass(frozen=True, slots=True)
class Braking:
    """Deceleration by regen in m/s² on the flat: at the cruise, at most, and over speed.

    It is hardest up to `most_to_km_h`, or to the top speed where that is None. `curve` has some speeds
    in km/h with the deceleration at each; from `none_from_V` of the pack on regen gives nothing.
    """

    at_cruise: Figure
    most: Figure = Figure()
    most_to_km_h: float | None = None
    curve: tuple[tuple[float, Figure], ...] = ()
    none_from_V: float | None = None


class RoadFigures(NamedTuple):
    """What a rider notices first, on the flat at the pack's nominal voltage.

    The minutes are those at full throttle on the vehicle's steepest grade, `grade_percent`.
    """

    top_speed_km_h: Figure
    limited_by: str
    peak_force_N: Figure
    peak_limited_by: str
    steepest_start_percent: Figure
    range_km: Figure
    cruise_km_h: float | None
    regen_deceleration_m_per_s2: Figure
    minutes_to_taper: Figure
    controller_minutes_to_taper: Figure
    grade_percent: float | None


@dataclass(frozen=True, slots=True)
class Ride:
    """The ride of one mode, "" for the base settings; what a figure means stands at its name in
    `schemas/ride.schema.json`.

    `points` is the drive at full throttle over road speed, the last where it ends; with `points_side`
    "no more than" something is missing (`points_missing`), and less force may be there. `own_limits` are
    the vehicle's limits of speed and power, which are set by law or owner and which no drive knows of.
    `motors` names several, in the order of the parts of each point.
    """

    mode: str
    grade_percent: float
    top_speed_km_h: Figure
    limited_by: str
    flat_top_speed_km_h: Figure
    full_top_speed_km_h: Figure
    peak_force_N: Figure
    peak_limited_by: str
    continuous_force_N: Figure
    steepest_start_percent: Figure
    zero_to_50_s: Figure
    cruise_km_h: float | None
    range_km: Figure
    schedule: str
    stop_and_go_range_km: Figure
    regen: Braking
    hill: Hill
    road: Road | None
    points: tuple[OperatingPoint, ...]
    points_side: Side
    points_missing: frozenset[str]
    basis: Mapping[str, float]
    own_limits: Mapping[str, float]
    motors: tuple[str, ...] = ()

    @property
    def peak_power_W(self) -> float | None:
        """The largest shaft power of the points; None without any."""
        powers = (
            sum(part.torque_Nm * part.rpm * math.tau / 60.0 for part in point.parts or (point,))
            for point in self.points
        )
        return max(powers, default=None)

    @property
    def regen_deceleration_m_per_s2(self) -> Figure:
        """Deceleration by regen at the cruise."""
        return self.regen.at_cruise

    @property
    def minutes_to_taper(self) -> Figure:
        """Minutes on the hill until the motor temperature taper begins."""
        return Figure(*self.hill.to_taper_min, self.hill.missing, self.hill.reason)

    @property
    def minutes_to_stop(self) -> Figure:
        """Minutes on the hill until the motor temperature stop."""
        return Figure(*self.hill.to_stop_min, self.hill.missing, self.hill.reason)

    @property
    def controller_minutes_to_taper(self) -> Figure:
        """Minutes on the hill until the controller's own temperature taper begins."""
        return controller_figure(self.hill, "taper")

    @property
    def controller_minutes_to_stop(self) -> Figure:
        """Minutes on the hill until the controller's own temperature stop."""
        return controller_figure(self.hill, "stop")


def controller_figure(hill: Hill, end: Literal["taper", "stop"]) -> Figure:
    """The controller's minutes to its taper or stop; why there is no hill, where there is none."""
    told = hill.controller
    if told is None:
        return Figure(missing=hill.missing, reason=hill.reason)
    low, high = told.to_taper_min if end == "taper" else told.to_stop_min
    return Figure(low, high, told.missing, told.reason)
