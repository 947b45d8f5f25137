"""Uncontrolled generation: what a motor turned by a hill sends into the pack once the outputs are off."""

from __future__ import annotations

import math
from typing import NamedTuple

from ..quantities.operand import NotWorked
from ..quantities.worked import worked

RECTIFIER = (
    "Fundamental of a six-pulse rectifier on a machine: terminal voltage 2·U/π in phase with its "
    "current; Jahns and Caliskan, 1999, from memory."
)


class Generation(NamedTuple):
    """What a machine gives through the diodes of switched-off outputs: peak phase A, DC A, shaft W."""

    phase_A: float
    battery_A: float
    shaft_W: float


def generation(
    omega: float, pack_V: float, flux_Vs: float, ohm: float, inductance_H: float
) -> Generation:
    """The steady generation of a machine at electrical `omega` in 1/s into a pack, through the diodes.

    E² = (V + R·I)² + (ω·L·I)² with E = ω·λ and V = 2·U/π, peak of a phase; one inductance, and a
    current that never stops; a switched circuit gives some percent less. Raises NotWorked where E is
    below V: then hardly anything flows.

    >>> generation(2000.0, 40.0, 0.02, 0.01, 0.0001).battery_A > 100.0
    True
    """
    emf_V, terminal_V, reactance = omega * flux_Vs, 2.0 * pack_V / math.pi, omega * inductance_H
    if emf_V <= terminal_V:
        raise NotWorked("the back-EMF stays below the pack's voltage")
    square = ohm**2 + reactance**2
    half = terminal_V * ohm
    phase_A = (math.sqrt(half**2 + square * (emf_V**2 - terminal_V**2)) - half) / square
    electrical_W = 1.5 * terminal_V * phase_A
    return Generation(phase_A, electrical_W / pack_V, electrical_W + 1.5 * ohm * phase_A**2)


@worked(
    "failure.generation_A",
    "A",
    title="uncontrolled current into the pack downhill",
    rpm="motor.downhill_rpm",
    pack_V="wiring.loads_at_V",
    flux_Vs="motor.flux_linkage_Vs",
    phase_mohm="motor.phase_to_neutral_mohm",
    inductance_uH="motor.phase_inductance_uH",
    pole_pairs="motor.pole_pairs",
    cold_factor="motor.cold_kv_factor",
    words="3 × V × I ÷ (2 × pack_V), with (ω × flux_Vs × cold_factor)² = (V + R × I)² + (ω × L × I)² "
    "and V = 2 × pack_V ÷ π",
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
) -> float:
    """Current that the motor sends into the pack at its speed downhill, the outputs off.

    With cold magnets, and into the pack as empty as it is ridden: there it is the most.

    >>> round(generated_current(6000.0, 84.0, 0.0184, 8.0, 60.0, 5, 1.0), 1)
    100.2
    """
    return _of(rpm, pack_V, flux_Vs * cold_factor, phase_mohm, inductance_uH, pole_pairs).battery_A


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
    words="3/2 × (V + R × I) × I ÷ road speed, with V and I as of the current into the pack",
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
) -> float:
    """Force at the wheel with which that brakes, without losses of the drivetrain.

    >>> round(generated_force(6000.0, 84.0, 0.0184, 8.0, 60.0, 5, 1.0, 7.0, 1.96), 1)
    305.3
    """
    shaft_W = _of(rpm, pack_V, flux_Vs * cold_factor, phase_mohm, inductance_uH, pole_pairs).shaft_W
    return shaft_W / (rpm / 60.0 / ratio * circumference_m)


def _of(
    rpm: float,
    pack_V: float,
    flux_Vs: float,
    phase_mohm: float,
    inductance_uH: float,
    pole_pairs: float,
) -> Generation:
    omega = rpm * 2.0 * math.pi / 60.0 * pole_pairs
    return generation(omega, pack_V, flux_Vs, phase_mohm / 1e3, inductance_uH / 1e6)
