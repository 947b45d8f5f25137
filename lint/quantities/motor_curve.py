"""The corner of the motor's curve: the speed up to which it holds its full torque."""

from __future__ import annotations

import math

from .operand import NO_MORE, NotWorked
from .worked import worked


def corner_rad_per_s(
    volts: float,
    flux_Vs: float,
    ohm: float,
    inductance_H: float,
    q_A: float,
    d_A: float = 0.0,
    d_inductance_H: float | None = None,
) -> float:
    """Electrical speed at which the phase voltage reaches `volts` (peak), currents held.

    The larger root of |R·i_d − ω·L_q·i_q|² + |R·i_q + ω·(L_d·i_d + λ)|² = V², the steady voltage of
    the permanent-magnet machine in its rotor's axes; currents are peak, V is phase to neutral. With
    `d_A` 0, as below the corner without field weakening, only the inductance across counts.

    >>> round(corner_rad_per_s(48 / math.sqrt(3), 0.012, 0.03, 0.0001, 50.0) * 60 / 2 / math.pi / 10, 2)
    1933.53
    """
    along = flux_Vs + (inductance_H if d_inductance_H is None else d_inductance_H) * d_A
    across = inductance_H * q_A
    square = along**2 + across**2
    half = ohm * (q_A * along - d_A * across)
    rest = ohm**2 * (q_A**2 + d_A**2) - volts**2
    under = half**2 - square * rest
    if volts <= 0.0 or under < 0.0 or rest >= 0.0:
        raise NotWorked("the winding's resistance drops all the voltage at this current")
    return (math.sqrt(under) - half) / square


@worked(
    "motor.voltage_corner_rpm",
    "rpm",
    title="corner speed by pack voltage",
    loaded_V="pack.loaded_V",
    modulation="house.modulation",
    flux_Vs="motor.flux_linkage_Vs",
    phase_mohm="motor.phase_to_neutral_mohm",
    inductance_uH="motor.phase_inductance_uH",
    current_A_rms="motor.driven_A_rms",
    pole_pairs="motor.pole_pairs",
    rises=("loaded_V",),
    falls=("current_A_rms",),
    words="largest n with √3 × √((λω + R × I)² + (ω × L × I)²) ≤ modulation × loaded_V",
    source="Steady voltage equation of the permanent-magnet machine, current in phase with back-EMF.",
)
def voltage_corner(
    loaded_V: float,
    modulation: float,
    flux_Vs: float,
    phase_mohm: float,
    inductance_uH: float,
    current_A_rms: float,
    pole_pairs: float,
) -> float:
    """Speed up to which the pack's voltage drives the full phase current, field weakening off.

    Takes one inductance for both axes; with buried magnets it is the one across the magnets. Nothing
    is left of it where the winding's resistance takes all the voltage.

    >>> round(voltage_corner(48.0, 1.0, 0.012, 30.0, 100.0, 50 / math.sqrt(2), 10), 1)
    1933.5
    """
    volts, amperes = modulation * loaded_V / math.sqrt(3.0), math.sqrt(2.0) * current_A_rms
    if volts <= phase_mohm / 1000.0 * amperes:
        return 0.0
    omega = corner_rad_per_s(volts, flux_Vs, phase_mohm / 1000.0, inductance_uH / 1e6, amperes)
    return omega * 60.0 / (2.0 * math.pi * pole_pairs)


@worked(
    "motor.voltage_corner_rpm",
    "rpm",
    title="corner speed by pack voltage",
    loaded_V="pack.loaded_V",
    modulation="house.modulation",
    flux_Vs="motor.flux_linkage_Vs",
    phase_mohm="motor.phase_to_neutral_mohm",
    current_A_rms="motor.driven_A_rms",
    pole_pairs="motor.pole_pairs",
    side=NO_MORE,
    rises=("loaded_V",),
    falls=("current_A_rms",),
    words="largest n with √3 × (λω + R × I) ≤ modulation × loaded_V",
    source="Steady voltage equation of the permanent-magnet machine, its inductance left out.",
)
def voltage_corner_without_inductance(
    loaded_V: float,
    modulation: float,
    flux_Vs: float,
    phase_mohm: float,
    current_A_rms: float,
    pole_pairs: float,
) -> float:
    """The same without the inductance, which only lowers the corner.

    >>> round(voltage_corner_without_inductance(48.0, 1.0, 0.012, 30.0, 50 / math.sqrt(2), 10), 1)
    2085.9
    """
    return voltage_corner(loaded_V, modulation, flux_Vs, phase_mohm, 0.0, current_A_rms, pole_pairs)


@worked(
    "motor.battery_corner_rpm",
    "rpm",
    title="corner speed by battery current",
    torque_Nm="motor.torque_Nm",
    loaded_V="pack.loaded_V",
    battery_A="settings.battery_current_A",
    current_A_rms="motor.driven_A_rms",
    phase_mohm="motor.phase_to_neutral_mohm",
    efficiency="house.efficiency_controller",
    rises=("loaded_V",),
    falls=("torque_Nm", "current_A_rms"),
    formula="60 / (2 * pi * torque_Nm)"
    " * max(0, efficiency * loaded_V * battery_A - 3 * current_A_rms ** 2 * phase_mohm / 1000)",
    source="Power balance: battery, less the controller's and the winding's loss, is torque × speed.",
)
def battery_corner(
    torque_Nm: float,
    loaded_V: float,
    battery_A: float,
    current_A_rms: float,
    phase_mohm: float,
    efficiency: float,
) -> float:
    """Speed at which the full torque takes all of the battery current limit.

    For a winding at 20 °C and without iron loss; a hot one gets there sooner. Nothing is left of it
    where the winding alone takes more than the battery current limit gives.

    >>> round(battery_corner(20.0, 50.0, 60.0, 100.0, 10.0, 0.96), 1)
    1231.9
    """
    copper_W = 3.0 * current_A_rms**2 * phase_mohm / 1000.0
    shaft_W = efficiency * loaded_V * battery_A - copper_W
    return 60.0 / (2.0 * math.pi * torque_Nm) * max(0.0, shaft_W)


@worked(
    "motor.base_rpm",
    "rpm",
    title="base speed",
    voltage_rpm="motor.voltage_corner_rpm",
    battery_rpm="motor.battery_corner_rpm",
    combine="least",
    source="Definition: the end of full torque.",
)
def base(voltage_rpm: float, battery_rpm: float) -> float:
    """Speed up to which the motor holds its full torque.

    >>> base(1900.0, 1250.0)
    1250.0
    """
    return min(voltage_rpm, battery_rpm)


@worked(
    "motor.short_circuit_A_rms",
    "A_rms",
    title="motor short-circuit current",
    flux_Vs="motor.flux_linkage_Vs",
    inductance_uH="motor.phase_inductance_uH",
    formula="flux_Vs / sqrt(2) / (inductance_uH / 1000000)",
    source="Characteristic current of the permanent-magnet machine, λ / L.",
)
def characteristic_current(flux_Vs: float, inductance_uH: float) -> float:
    """Phase current of the shorted motor at speed; as much field weakening cancels the magnets.

    Takes one inductance for both axes; resistance, left out, only lowers it.

    >>> round(characteristic_current(0.0184, 60.0), 1)
    216.8
    """
    return flux_Vs / math.sqrt(2.0) / (inductance_uH / 1e6)
