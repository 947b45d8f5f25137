"""The motor with a failure in it: shorted, on two phases, without its sensors."""

from __future__ import annotations

import math

from ..quantities.operand import NotWorked
from ..quantities.worked import worked
from ..riding.heat import MotorRatings, RATED_AIR_degC, lumps_of, seconds_to_temperatures

WALKING_km_h = 6.0
HALL_STATES = 6.0  # of eight that three lines can have, so many can be


def shorted_torque(
    omega: float, flux_Vs: float, ohm: float, inductance_H: float, pole_pairs: float
) -> float:
    """Mean braking torque in Nm of a machine with all three phases shorted, at electrical `omega` in 1/s.

    T = 3/2 · p · λ² · R · ω / (R² + ω² · L²), the steady state of the equations of a permanent-magnet
    machine with one inductance and no voltage; λ is the peak flux of a phase. Its peak is
    3/4 · p · λ² / L, at ω = R/L.

    >>> round(shorted_torque(0.03 / 0.0001, 0.012, 0.03, 0.0001, 10), 4)
    10.8
    """
    square = ohm**2 + (omega * inductance_H) ** 2
    return 1.5 * pole_pairs * flux_Vs**2 * ohm * omega / square


def two_shorted_torque(
    omega: float, flux_Vs: float, ohm: float, inductance_H: float, pole_pairs: float
) -> float:
    """Mean braking torque in Nm with two phases shorted to each other: half of that of all three.

    The loop has √3 · λ · ω of voltage (peak), 2·R and 2·L; its heat is torque × speed. The torque
    pulses at twice the electrical frequency around the mean.

    >>> round(two_shorted_torque(0.03 / 0.0001, 0.012, 0.03, 0.0001, 10), 4)
    5.4
    """
    loop_V, loop_ohm, loop_H = math.sqrt(3.0) * omega * flux_Vs, 2.0 * ohm, 2.0 * inductance_H
    square_A = loop_V**2 / 2.0 / (loop_ohm**2 + (omega * loop_H) ** 2)
    return square_A * loop_ohm / (omega / pole_pairs)


STEADY_SHORT = (
    "Steady state of the shorted permanent-magnet machine; its peak at ω = R/L is a closed form."
)


@worked(
    "failure.short_peak_Nm",
    "Nm",
    title="largest braking torque of two shorted phases",
    flux_Vs="motor.flux_linkage_Vs",
    inductance_uH="motor.phase_inductance_uH",
    pole_pairs="motor.pole_pairs",
    formula="3 / 8 * pole_pairs * flux_Vs ** 2 / (inductance_uH / 1000000)",
    source=STEADY_SHORT,
)
def short_peak(flux_Vs: float, inductance_uH: float, pole_pairs: float) -> float:
    """Mean torque with which a motor brakes at most when two of its phases touch.

    Takes one inductance for both axes; saturation, left out, raises it.

    >>> round(short_peak(0.012, 100.0, 10), 4)
    5.4
    """
    return 3.0 / 8.0 * pole_pairs * flux_Vs**2 / (inductance_uH / 1e6)


@worked(
    "failure.short_peak_N",
    "N",
    title="largest braking force",
    torque_Nm="failure.short_peak_Nm",
    ratio="drivetrain.ratio",
    circumference_m="drivetrain.circumference_m",
    formula="torque_Nm * ratio * 2 * pi / circumference_m",
    source="Torque over the radius of the wheel.",
)
def short_peak_force(torque_Nm: float, ratio: float, circumference_m: float) -> float:
    """Force at the driven wheel with which a motor with two shorted phases brakes at most.

    >>> round(short_peak_force(5.4, 10.0, 2.0), 2)
    169.65
    """
    return torque_Nm * ratio * 2.0 * math.pi / circumference_m


@worked(
    "failure.stage_short_N",
    "N",
    title="largest braking force of three shorted phases",
    two_N="failure.short_peak_N",
    cold_factor="motor.cold_kv_factor",
    rises=("cold_factor",),
    formula="2 * two_N * cold_factor ** 2",
    source=STEADY_SHORT,
)
def stage_short_force(two_N: float, cold_factor: float) -> float:
    """Force at the driven wheel with which all phases shorted brake at most: twice that of two.

    With the flux of cold magnets, of which it goes with the square.

    >>> round(stage_short_force(169.65, 1.0), 2)
    339.3
    """
    return 2.0 * two_N * cold_factor**2


@worked(
    "failure.short_peak_km_h",
    "km_h",
    title="speed at which it brakes hardest",
    phase_mohm="motor.phase_to_neutral_mohm",
    inductance_uH="motor.phase_inductance_uH",
    pole_pairs="motor.pole_pairs",
    ratio="drivetrain.ratio",
    circumference_m="drivetrain.circumference_m",
    formula="3.6 * phase_mohm * 1000 / inductance_uH / pole_pairs / ratio * circumference_m / (2 * pi)",
    source=STEADY_SHORT,
)
def short_peak_speed(
    phase_mohm: float,
    inductance_uH: float,
    pole_pairs: float,
    ratio: float,
    circumference_m: float,
) -> float:
    """Road speed at which the electrical speed of the motor is R/L, winding at 20 °C.

    >>> round(short_peak_speed(30.0, 100.0, 10, 10.0, 2.0), 3)
    3.438
    """
    omega = phase_mohm * 1000.0 / inductance_uH
    return 3.6 * omega / pole_pairs / ratio * circumference_m / (2.0 * math.pi)


@worked(
    "failure.short_top_N",
    "N",
    title="braking force at top speed",
    rpm="motor.reachable_rpm",
    flux_Vs="motor.flux_linkage_Vs",
    phase_mohm="motor.phase_to_neutral_mohm",
    inductance_uH="motor.phase_inductance_uH",
    pole_pairs="motor.pole_pairs",
    ratio="drivetrain.ratio",
    circumference_m="drivetrain.circumference_m",
    words="3/4 × p × λ² × R × ω ÷ (R² + ω² × L²) at rpm, × ratio × 2π ÷ circumference_m",
    source=STEADY_SHORT,
)
def short_at_top(
    rpm: float,
    flux_Vs: float,
    phase_mohm: float,
    inductance_uH: float,
    pole_pairs: float,
    ratio: float,
    circumference_m: float,
) -> float:
    """Force at the driven wheel with which a motor with two shorted phases brakes at its top speed.

    >>> round(short_at_top(30.0 * 1000 / 100 / 10 * 30 / math.pi, 0.012, 30.0, 100.0, 10, 10.0, 2.0), 2)
    169.65
    """
    omega = rpm * 2.0 * math.pi / 60.0 * pole_pairs
    torque_Nm = two_shorted_torque(
        omega, flux_Vs, phase_mohm / 1e3, inductance_uH / 1e6, pole_pairs
    )
    return torque_Nm * ratio * 2.0 * math.pi / circumference_m


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
