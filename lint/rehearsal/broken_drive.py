"""The motor with a failure in it: on two phases, or without its sensors."""

from __future__ import annotations

import math

from ..quantities.operand import NotWorked
from ..quantities.worked import worked
from ..riding.heat import MotorRatings, RATED_AIR_degC, lumps_of, seconds_to_temperatures
from .short_circuit import WALKING_km_h

HALL_STATES = 6.0  # of eight that three lines can have, so many can be


@worked(
    "failure.two_phase_Nm",
    "Nm",
    title="mean torque on two phases",
    torque_Nm="motor.torque_Nm",
    formula="4 / (pi * sqrt(3)) * torque_Nm",
    source="Two windings in series carry one current: torque √3 · p · λ · I · |sin θ|, its mean 2/π of that.",
)
def two_phase_torque(torque_Nm: float) -> float:
    """Mean torque with one phase open, the other two holding the current limit.

    It falls to nothing twice in each electrical turn: from some positions the motor does not start.

    >>> round(two_phase_torque(100.0), 2)
    73.51
    """
    return 4.0 / (math.pi * math.sqrt(3.0)) * torque_Nm


@worked(
    "failure.hall_turn_ms",
    "ms",
    title="one electrical turn at walking pace",
    pole_pairs="motor.pole_pairs",
    ratio="drivetrain.ratio",
    circumference_m="drivetrain.circumference_m",
    formula="3.6 * 1000 * circumference_m / (6 * ratio * pole_pairs)",
    source="Of three hall lines with one stuck, each electrical turn has a state that cannot be.",
)
def hall_turn(pole_pairs: float, ratio: float, circumference_m: float) -> float:
    """Time in which a controller has seen a state of the hall lines that cannot be, at 6 km/h.

    >>> round(hall_turn(10, 1.0, 2.0), 3)
    120.0
    """
    return 3.6 * 1000.0 * circumference_m / (WALKING_km_h * ratio * pole_pairs)


@worked(
    "failure.winding_s",
    "s",
    title="shortest time to the winding's limit",
    driven_A_rms="motor.driven_A_rms",
    continuous_A_rms="motor.phase_current_A_rms",
    phase_mohm="motor.phase_to_neutral_mohm",
    insulation_degC="motor.insulation_degC",
    magnet_degC="motor.magnet_limit_degC",
    burst_A_rms="motor.phase_current_burst_A_rms",
    burst_s="motor.phase_current_burst_s",
    mass_kg="motor.mass_kg",
    winding_s="motor.winding_time_s",
    applies_when="driven_A_rms > continuous_A_rms",
    words="least time of two lumps of heat, winding and case, fitted to the motor's ratings",
    source="Two lumps of heat fitted to continuous and burst rating; IEC 60034-1 for the air of 40 °C.",
)
def winding_time(
    driven_A_rms: float,
    continuous_A_rms: float,
    phase_mohm: float,
    insulation_degC: float = math.nan,
    magnet_degC: float = math.nan,
    burst_A_rms: float = math.nan,
    burst_s: float = math.nan,
    mass_kg: float = math.nan,
    winding_s: float = math.nan,
) -> float:
    """The shortest time in which the full phase current brings the winding to its limit from 40 °C.

    Of all motors that the ratings leave open; what a climb or a stand against a kerb asks for.

    >>> 10.0 < winding_time(200.0, 100.0, 10.0, 130.0, mass_kg=8.0) < 200.0
    True
    """
    if driven_A_rms <= continuous_A_rms:
        raise NotWorked("the winding holds this current")
    limits = [one for one in (insulation_degC, magnet_degC) if not math.isnan(one)]
    told = (None if math.isnan(one) else one for one in (burst_A_rms, burst_s, mass_kg, winding_s))
    ratings = MotorRatings(phase_mohm / 1e3, continuous_A_rms, min(limits, default=None), *told)
    currents = [(driven_A_rms, 0.0)]
    targets = [_limit_of(ratings)]
    known = [
        time
        for lumps in lumps_of(ratings)
        for time in seconds_to_temperatures(
            lumps, ratings.phase_ohm, currents, RATED_AIR_degC, targets
        )
        if time is not None
    ]
    if not known:
        raise NotWorked("the winding does not get there within an hour")
    return min(known)


def _limit_of(ratings: MotorRatings) -> float:
    """The limit of the winding; the lower of the usual ones where none is known."""
    return ratings.limit_degC if ratings.limit_degC is not None else 130.0
