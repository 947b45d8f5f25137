"""The motor with its phases shorted, by a chafed cable or a burnt controller: how hard it brakes."""

from __future__ import annotations

import math

from ..quantities.worked import worked

# A wheel that locks more slowly throws nobody; common practice, no source.
WALKING_km_h = 6.0
WARM_FACTOR = 1.0 + 0.00393 * (120.0 - 20.0)  # copper at 120 °C, IEC 60028


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
    "failure.rolling_short_N",
    "N",
    title="braking force of all phases shorted",
    flux_Vs="motor.flux_linkage_Vs",
    cold_factor="motor.cold_kv_factor",
    phase_mohm="motor.phase_to_neutral_mohm",
    inductance_uH="motor.phase_inductance_uH",
    pole_pairs="motor.pole_pairs",
    ratio="drivetrain.ratio",
    circumference_m="drivetrain.circumference_m",
    words="3/2 × p × λ² × R × ω ÷ (R² + ω² × L²) at 6 km/h and a winding of 120 °C, or 3/4 × p × λ² ÷ L "
    "where it brakes hardest at more, × ratio × 2π ÷ circumference_m",
    source=STEADY_SHORT,
)
def rolling_short_force(
    flux_Vs: float,
    cold_factor: float,
    phase_mohm: float,
    inductance_uH: float,
    pole_pairs: float,
    ratio: float,
    circumference_m: float,
) -> float:
    """Force at the driven wheel with which all phases shorted brake at 6 km/h or more, at most.

    Above the speed of R/L the motor brakes the less the faster it turns. With the flux of cold magnets;
    a warm winding, whose R/L is faster, brakes more there.

    >>> round(rolling_short_force(0.012, 1.0, 30.0, 100.0, 10, 10.0, 2.0), 2)
    330.85
    """
    henry, warm_ohm = inductance_uH / 1e6, WARM_FACTOR * phase_mohm / 1e3
    walking = WALKING_km_h / 3.6 / circumference_m * 2.0 * math.pi * ratio * pole_pairs
    omega = max(walking, phase_mohm / 1e3 / henry)
    ohm = min(warm_ohm, omega * henry)
    torque_Nm = shorted_torque(omega, flux_Vs * cold_factor, ohm, henry, pole_pairs)
    return torque_Nm * ratio * 2.0 * math.pi / circumference_m


@worked(
    "failure.stage_top_N",
    "N",
    title="braking force of three phases at top speed",
    two_N="failure.short_top_N",
    cold_factor="motor.cold_kv_factor",
    rises=("cold_factor",),
    formula="2 * two_N * cold_factor ** 2",
    source=STEADY_SHORT,
)
def stage_at_top(two_N: float, cold_factor: float) -> float:
    """Force at the driven wheel with which all phases shorted brake at top speed: twice that of two.

    >>> stage_at_top(32.0, 1.0)
    64.0
    """
    return stage_short_force(two_N, cold_factor)


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
