"""The controller's input once the pack is gone: how its capacitors fill, empty and are switched on."""

from __future__ import annotations

import math

from ..quantities.bus_peak import CAPACITOR_CHARGE, WINDINGS_INTO_BUS, trip_peak
from ..quantities.operand import NotWorked
from ..quantities.precharge import TIME_CONSTANTS
from ..quantities.worked import worked

RECTIFIED = math.pi / math.sqrt(6.0)  # DC amperes for each ampere rms into a six-pulse rectifier


@worked(
    "failure.trip_peak_ms",
    "ms",
    title="time until the trip has acted",
    full_V="pack.full_V",
    trip_V="settings.over_voltage_trip_V",
    regen_A="controller.regen_battery_A",
    capacitance_uF="controller.input_capacitance_uF",
    assumed_ms="house.over_voltage_trip_ms",
    trip_ms="controller.over_voltage_trip_ms",
    falls=("regen_A",),
    words="capacitance_uF × (trip_V − full_V) ÷ regen_A, and trip_ms, or assumed_ms",
    source=CAPACITOR_CHARGE,
)
def trip_peak_time(
    full_V: float,
    trip_V: float,
    regen_A: float,
    capacitance_uF: float,
    assumed_ms: float,
    trip_ms: float = math.nan,
) -> float:
    """Time from the cut-off of the pack during regen until the over-voltage trip has ended it.

    >>> round(trip_peak_time(84.0, 88.0, 20.0, 2000.0, 2.0), 6)
    2.4
    """
    reaction_ms = assumed_ms if math.isnan(trip_ms) else trip_ms
    return capacitance_uF * max(0.0, trip_V - full_V) / regen_A / 1e3 + reaction_ms


@worked(
    "failure.stated_trip_peak_V",
    "V",
    title="bus voltage after a trip as stated",
    full_V="pack.full_V",
    trip_V="settings.over_voltage_trip_V",
    regen_A="controller.regen_battery_A",
    capacitance_uF="controller.input_capacitance_uF",
    trip_ms="controller.over_voltage_trip_ms",
    winding_J="controller.regen_winding_J",
    rises=("full_V", "regen_A", "winding_J"),
    words="as when the trip has acted, within trip_ms",
    source=WINDINGS_INTO_BUS,
)
def stated_trip_peak(
    full_V: float,
    trip_V: float,
    regen_A: float,
    capacitance_uF: float,
    trip_ms: float,
    winding_J: float,
) -> float:
    """The same with the reaction that the controller states alone: not known where it states none.

    >>> round(stated_trip_peak(84.0, 88.0, 20.0, 2000.0, 1.0, 0.0), 6)
    98.0
    """
    return trip_peak(full_V, trip_V, regen_A, capacitance_uF, trip_ms, winding_J)


@worked(
    "failure.bus_fall_ms",
    "ms",
    title="time until the controller switches itself off",
    full_V="pack.full_V",
    min_V="controller.min_V",
    drawn_A="settings.battery_current_A",
    capacitance_uF="controller.input_capacitance_uF",
    formula="capacitance_uF * max(0, full_V - min_V) / drawn_A / 1000",
    source=CAPACITOR_CHARGE,
)
def bus_fall(full_V: float, min_V: float, drawn_A: float, capacitance_uF: float) -> float:
    """Time from the cut-off of the pack at full battery current to the controller's minimum voltage.

    A constant current; one that holds its power draws more as the voltage falls, and is sooner there.

    >>> round(bus_fall(84.0, 24.0, 60.0, 1000.0), 6)
    1.0
    """
    return capacitance_uF * max(0.0, full_V - min_V) / drawn_A / 1000.0


@worked(
    "failure.winding_dump_V",
    "V",
    title="bus voltage with the windings' energy in it",
    off_V="controller.min_V",
    battery_A="settings.battery_current_A",
    inductance_uH="motor.phase_inductance_uH",
    capacitance_uF="controller.input_capacitance_uF",
    formula="sqrt(off_V ** 2 + 2 * inductance_uH * battery_A ** 2 / capacitance_uF)",
    source="Energy of an inductor, ½·L·I² in each phase, and of a capacitor, ½·C·U²; power balance.",
)
def winding_dump(
    off_V: float, battery_A: float, inductance_uH: float, capacitance_uF: float
) -> float:
    """Voltage at the capacitors once the current of all three windings has run into them, no pack there.

    From the voltage at which the controller switches off, and with the phase current at top speed, where
    √(3/2) A of the battery go into each ampere rms. The squares of three balanced currents add up to
    3·I² at every moment. Without losses, and without what the magnets add meanwhile.

    >>> round(winding_dump(40.0, 150.0, 100.0, 2000.0), 3)
    62.048
    """
    return math.sqrt(off_V**2 + 2.0 * inductance_uH * battery_A**2 / capacitance_uF)


@worked(
    "failure.top_back_emf_V",
    "V",
    title="cold back-EMF at top speed",
    rpm="motor.reachable_rpm",
    kv="motor.kv_rpm_per_V",
    cold_factor="motor.cold_kv_factor",
    rises=("rpm", "cold_factor"),
    formula="rpm * cold_factor / kv",
    source="Definition of kv: rpm per volt of peak line-to-line back-EMF, rectified by the transistors' diodes.",
)
def top_back_emf(rpm: float, kv: float, cold_factor: float) -> float:
    """Voltage that the motor puts on the bus at its highest driven speed when the outputs are off.

    >>> round(top_back_emf(6000.0, 60.0, 1.03), 6)
    103.0
    """
    return rpm * cold_factor / kv


@worked(
    "failure.downhill_back_emf_V",
    "V",
    title="cold back-EMF downhill",
    rpm="motor.downhill_rpm",
    kv="motor.kv_rpm_per_V",
    cold_factor="motor.cold_kv_factor",
    rises=("rpm", "cold_factor"),
    formula="rpm * cold_factor / kv",
    source="Definition of kv: rpm per volt of peak line-to-line back-EMF, rectified by the transistors' diodes.",
)
def hill_back_emf(rpm: float, kv: float, cold_factor: float) -> float:
    """Voltage that the motor puts on the bus at its highest speed downhill when the outputs are off.

    >>> round(hill_back_emf(6000.0, 60.0, 1.03), 6)
    103.0
    """
    return rpm * cold_factor / kv


@worked(
    "failure.weakening_rise_ms",
    "ms",
    title="shortest time to the controller's maximum voltage",
    full_V="pack.full_V",
    max_V="controller.max_V",
    back_emf_V="failure.top_back_emf_V",
    short_A_rms="motor.short_circuit_A_rms",
    capacitance_uF="controller.input_capacitance_uF",
    applies_when="back_emf_V > max_V",
    formula="capacitance_uF * max(0, max_V - full_V) / (pi / sqrt(6) * short_A_rms) / 1000",
    source=f"{CAPACITOR_CHARGE[:-1]}; six-pulse rectifier, I = π/√6 · I rms; Jahns and Caliskan, 1999, from memory.",
)
def weakening_rise(
    full_V: float, max_V: float, back_emf_V: float, short_A_rms: float, capacitance_uF: float
) -> float:
    """Time in which a motor that lost its field weakening fills the capacitors to the maximum voltage.

    At the most that the motor gives, its short-circuit current rectified: it takes no less time. Where
    the back-EMF stays below the maximum it never gets there.

    >>> round(weakening_rise(84.0, 100.0, 120.0, 100.0, 2000.0), 4)
    0.2495
    """
    if back_emf_V <= max_V:
        raise NotWorked("the back-EMF stays below the controller's maximum")
    return capacitance_uF * max(0.0, max_V - full_V) / (RECTIFIED * short_A_rms) / 1000.0


@worked(
    "failure.inrush_ms",
    "ms",
    title="time of the inrush",
    loop_mohm="pack.loop_mohm",
    capacitance_uF="controller.input_capacitance_uF",
    formula="3 * loop_mohm / 1000 * capacitance_uF / 1000",
    source="Charge of a capacitor through a resistor: 5 % is left after three times R·C.",
)
def inrush_time(loop_mohm: float, capacitance_uF: float) -> float:
    """Time in which the inrush current falls to a twentieth.

    >>> round(inrush_time(70.0, 1000.0), 6)
    0.21
    """
    return TIME_CONSTANTS * loop_mohm / 1e3 * capacitance_uF / 1e3
