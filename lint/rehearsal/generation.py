"""Uncontrolled generation: what a motor turned by a hill sends into the pack once the outputs are off."""

from __future__ import annotations

import math
from typing import NamedTuple

from ..quantities.operand import NotWorked
from ..quantities.worked import worked

RECTIFIER = (
    "Six-pulse rectifier on a machine into a constant voltage, by its half-wave symmetry and power "
    "balance; Mohan, Undeland, Robbins, Power Electronics, from memory."
)
# Peak of a phase's terminal voltage for each volt of the pack: where the winding's reactance holds the
# current it ends half of its wave at 0, ∫e = ∫v; where its resistance does it is the fundamental.
BY_REACTANCE, BY_RESISTANCE = 2.0 * math.pi / 9.0, 2.0 / math.pi
# Below this back-EMF, line to line over pack, the current comes in pulses, no more than so much of E/(X + R)
# for each such share above the pack: a line above the switched circuit, integrated in time.
UNBROKEN, PULSES = 1.3, 0.66
# A rider who rolls on does not feel a charge as an emergency: until the dead throttle and the drag are
# noticed; common practice, no source. Tests of cells have charge pulses as long (IEC 62660-1, from memory).
NOTICE_s = 10.0
SLIP = 0.1


class Generation(NamedTuple):
    """What a machine gives through the diodes of switched-off outputs: peak phase A, DC A, shaft W."""

    phase_A: float
    battery_A: float
    shaft_W: float


def generation(
    omega: float,
    pack_V: float,
    flux_Vs: float,
    ohm: float,
    inductance_H: float,
    loop_ohm: float = 0.0,
) -> Generation:
    """The steady generation of a machine at electrical `omega` in 1/s into a pack, through the diodes.

    E² = (V + R·I)² + (ω·L·I)² with E = ω·λ, peak of a phase, one inductance; the resistance of pack and
    cable acts as 6/π² of it in a phase. Within some percent of a switched circuit where the current
    never stops; nearer to the pack's voltage, where it comes in pulses, no less than that. Diodes that
    drop 1 V take some more. Raises NotWorked where nothing flows.

    >>> generation(2000.0, 40.0, 0.02, 0.01, 0.0001).battery_A > 90.0
    True
    """
    emf_V, reactance = omega * flux_Vs, omega * inductance_H
    path_ohm = ohm + 6.0 / math.pi**2 * loop_ohm
    over = math.sqrt(3.0) * emf_V / pack_V
    if over <= 1.0:
        raise NotWorked("the back-EMF stays below the pack's voltage")
    shares = BY_REACTANCE * reactance + BY_RESISTANCE * path_ohm
    terminal_V = pack_V * shares / (reactance + path_ohm)
    square, half = path_ohm**2 + reactance**2, terminal_V * path_ohm
    lead_V2 = max(0.0, emf_V**2 - terminal_V**2)
    smooth_A = (math.sqrt(half**2 + square * lead_V2) - half) / square
    pulsed_A = _pulsed(min(over, UNBROKEN), pack_V, path_ohm, reactance)
    battery_A = max(3.0 / math.pi * smooth_A, pulsed_A)
    phase_A = math.pi / 3.0 * battery_A
    return Generation(phase_A, battery_A, battery_A * pack_V + 1.5 * path_ohm * phase_A**2)


def _pulsed(over: float, pack_V: float, ohm: float, reactance: float) -> float:
    """DC A at most while the current comes in pulses, through two windings at a time."""
    held_A = PULSES * (over - 1.0) * over * pack_V / (reactance + ohm)
    return min(held_A, (over - 1.0) * pack_V / (2.0 * ohm))


@worked(
    "failure.generation_A",
    "A",
    title="current into the pack",
    rpm="motor.downhill_rpm",
    pack_V="wiring.loads_at_V",
    flux_Vs="motor.flux_linkage_Vs",
    phase_mohm="motor.phase_to_neutral_mohm",
    inductance_uH="motor.phase_inductance_uH",
    pole_pairs="motor.pole_pairs",
    cold_factor="motor.cold_kv_factor",
    loop_mohm="pack.loop_mohm",
    words="3 ÷ π × I, with (ω × flux_Vs × cold_factor)² = (V + R × I)² + (ω × L × I)², "
    "R = phase_mohm + 6 ÷ π² × loop_mohm and V from 2 ÷ π to 2 × π ÷ 9 × pack_V; pulses near pack_V",
    source=RECTIFIER,
)
def generated_current(
    rpm: float,
    pack_V: float,
    flux_Vs: float,
    phase_mohm: float,
    inductance_uH: float,
    pole_pairs: float,
    cold_factor: float,
    loop_mohm: float = 0.0,
) -> float:
    """Current that the motor sends into the pack at its speed downhill, the outputs off.

    With cold magnets, and into the pack as empty as it is ridden: there it is the most. Without what the
    diodes drop, and without the resistance of a pack that is not known.

    >>> round(generated_current(6000.0, 84.0, 0.0184, 8.0, 60.0, 5, 1.0), 1)
    64.5
    """
    motor = flux_Vs * cold_factor, phase_mohm, inductance_uH, pole_pairs
    return _of(rpm, pack_V, *motor, loop_mohm).battery_A


@worked(
    "failure.generation_N",
    "N",
    title="braking force of uncontrolled generation",
    rpm="motor.downhill_rpm",
    pack_V="wiring.loads_at_V",
    flux_Vs="motor.flux_linkage_Vs",
    phase_mohm="motor.phase_to_neutral_mohm",
    inductance_uH="motor.phase_inductance_uH",
    pole_pairs="motor.pole_pairs",
    cold_factor="motor.cold_kv_factor",
    ratio="drivetrain.ratio",
    circumference_m="drivetrain.circumference_m",
    loop_mohm="pack.loop_mohm",
    words="(pack_V × current into the pack + 3/2 × R × I²) ÷ road speed, with R and I as of that current",
    source=RECTIFIER,
)
def generated_force(
    rpm: float,
    pack_V: float,
    flux_Vs: float,
    phase_mohm: float,
    inductance_uH: float,
    pole_pairs: float,
    cold_factor: float,
    ratio: float,
    circumference_m: float,
    loop_mohm: float = 0.0,
) -> float:
    """Force at the wheel with which that brakes, without losses of the drivetrain.

    >>> round(generated_force(6000.0, 84.0, 0.0184, 8.0, 60.0, 5, 1.0, 7.0, 1.96), 1)
    195.6
    """
    motor = flux_Vs * cold_factor, phase_mohm, inductance_uH, pole_pairs
    shaft_W = _of(rpm, pack_V, *motor, loop_mohm).shaft_W
    return shaft_W / (rpm / 60.0 / ratio * circumference_m)


@worked(
    "failure.slipping_N",
    "N",
    title="braking force of a wheel that slips by a tenth",
    rpm="motor.downhill_rpm",
    pack_V="wiring.loads_at_V",
    flux_Vs="motor.flux_linkage_Vs",
    phase_mohm="motor.phase_to_neutral_mohm",
    inductance_uH="motor.phase_inductance_uH",
    pole_pairs="motor.pole_pairs",
    cold_factor="motor.cold_kv_factor",
    ratio="drivetrain.ratio",
    circumference_m="drivetrain.circumference_m",
    loop_mohm="pack.loop_mohm",
    words="braking force of uncontrolled generation at 9/10 of rpm",
    source=f"{RECTIFIER} A tyre grips most near a tenth of slip, Pacejka, from memory.",
)
def slipping_force(
    rpm: float,
    pack_V: float,
    flux_Vs: float,
    phase_mohm: float,
    inductance_uH: float,
    pole_pairs: float,
    cold_factor: float,
    ratio: float,
    circumference_m: float,
    loop_mohm: float = 0.0,
) -> float:
    """Braking force at the wheel once it turns a tenth slower than the road.

    A wheel that slips turns the motor less, which then brakes less; where that is below the grip it slips
    no further.

    >>> round(slipping_force(6000.0, 84.0, 0.0184, 8.0, 60.0, 5, 1.0, 7.0, 1.96), 1)
    81.5
    """
    motor = flux_Vs, phase_mohm, inductance_uH, pole_pairs, cold_factor, ratio, circumference_m
    try:
        return generated_force((1.0 - SLIP) * rpm, pack_V, *motor, loop_mohm)
    except NotWorked:
        return 0.0


@worked(
    "failure.charging_s",
    "s",
    title="time until the rider has braked it off",
    downhill_km_h="ride.downhill_km_h",
    back_emf_V="failure.downhill_back_emf_V",
    pack_V="wiring.loads_at_V",
    brakes_N="failure.brakes_N",
    total_kg="ride.combined_kg",
    rises=("downhill_km_h", "back_emf_V", "total_kg"),
    falls=("pack_V", "brakes_N"),
    formula="10 + downhill_km_h / 3.6 * max(0, 1 - pack_V / back_emf_V) / (brakes_N / total_kg / 2)",
    applies_when="brakes_N > 0",
    source="Newton's second law; 10 s until a rider who rolls on notices, common practice, no source.",
)
def charging_time(
    downhill_km_h: float, back_emf_V: float, pack_V: float, brakes_N: float, total_kg: float
) -> float:
    """Time from the outputs' failure to the speed at which the motor no longer charges the pack.

    10 s until the rider notices that the drive is gone and the motor drags, then half of what the brakes
    hold, the other half for the hill. What the motor brakes besides is left out.

    >>> round(charging_time(36.0, 60.0, 45.0, 400.0, 100.0), 6)
    11.25
    """
    if brakes_N <= 0.0:
        raise NotWorked("no brake holds the vehicle on its hill")
    lost_m_per_s = downhill_km_h / 3.6 * max(0.0, 1.0 - pack_V / back_emf_V)
    return NOTICE_s + lost_m_per_s / (brakes_N / total_kg / 2.0)


@worked(
    "failure.charged_percent",
    "percent",
    title="charge until somebody brakes, of the capacity",
    generation_A="failure.generation_A",
    charging_s="failure.charging_s",
    capacity_Ah="pack.capacity_Ah",
    rises=("generation_A", "charging_s"),
    formula="100 * generation_A * charging_s / 3600 / capacity_Ah",
    source="Charge is current × time, I·t = Q.",
)
def charged_share(generation_A: float, charging_s: float, capacity_Ah: float) -> float:
    """Share of the capacity that the hill puts into the pack until the rider has braked; at most.

    At the current of the highest speed all the time, which falls as the vehicle slows.

    >>> round(charged_share(72.0, 10.0, 20.0), 6)
    1.0
    """
    return 100.0 * generation_A * charging_s / 3600.0 / capacity_Ah


def _of(
    rpm: float,
    pack_V: float,
    flux_Vs: float,
    phase_mohm: float,
    inductance_uH: float,
    pole_pairs: float,
    loop_mohm: float,
) -> Generation:
    omega = rpm * 2.0 * math.pi / 60.0 * pole_pairs
    motor = flux_Vs, phase_mohm / 1e3, inductance_uH / 1e6
    return generation(omega, pack_V, *motor, loop_mohm / 1e3)
