"""The controller's input voltage when the pack is lost: the capacitors take charge and windings."""

from __future__ import annotations

import math

from .operand import NO_LESS
from .worked import worked

CAPACITOR_CHARGE = "Charge of a capacitor at constant current, I·t = C·U."
WINDINGS_INTO_BUS = f"{CAPACITOR_CHARGE[:-1]}; energy of the windings, ½·L·I² each, and ½·C·U²."


@worked(
    "controller.regen_winding_J",
    "J",
    title="energy of the windings in regen",
    phase_A_rms="controller.regen_phase_A_rms",
    inductance_uH="motor.phase_inductance_uH",
    rises=("phase_A_rms",),
    formula="3 / 2 * inductance_uH / 1000000 * phase_A_rms ** 2",
    source="Energy of an inductor, ½·L·I² in each of three phases.",
)
def regen_winding_energy(phase_A_rms: float, inductance_uH: float) -> float:
    """Energy that the windings hold at the phase current limit of regen.

    The squares of three balanced sine currents add up to 3·I² at every moment, with I rms, or to
    3/2·Î² with the peak Î: ½·L·3·I² = ¾·L·Î². With the inductance of a phase as its current sees it,
    one for both axes.

    >>> round(regen_winding_energy(50.0 / math.sqrt(2.0), 500.0), 4)
    0.9375
    """
    return 3.0 / 2.0 * inductance_uH / 1e6 * phase_A_rms**2


@worked(
    "controller.regen_winding_J",
    "J",
    title="energy of the windings in regen",
    phase_A_rms="settings.regen.phase_current_A_rms",
    side=NO_LESS,
    formula="0 * phase_A_rms",
    source="Energy of an inductor, whose inductance is not given.",
)
def winding_energy_without_inductance(phase_A_rms: float) -> float:
    """The same while the inductance is not given: left out, so that it is no less than this.

    >>> winding_energy_without_inductance(80.0)
    0.0
    """
    return 0.0 * phase_A_rms


@worked(
    "controller.regen_winding_J",
    "J",
    title="energy of the windings in regen",
    battery_A="settings.regen.battery_current_A",
    side=NO_LESS,
    formula="0 * battery_A",
    source="Energy of an inductor, whose current is not given.",
)
def winding_energy_without_current(battery_A: float) -> float:
    """The same while the phase current of regen is not given.

    >>> winding_energy_without_current(20.0)
    0.0
    """
    return 0.0 * battery_A


def charged_peak(ended_V: float, winding_J: float, capacitance_uF: float) -> float:
    """Voltage once the current of the windings has run into the capacitors too: ½·C·U² added up.

    Volts, of the voltage at the end of regen in V, the windings' energy in J and the capacitance in µF.

    >>> round(charged_peak(58.0 + 4.0 * 2.0 / 1.5, 0.9375, 1500.0), 1)
    72.5
    """
    return math.sqrt(ended_V**2 + 2e6 * winding_J / capacitance_uF)


@worked(
    "controller.trip_peak_V",
    "V",
    title="bus voltage when the trip has acted",
    full_V="pack.full_V",
    trip_V="settings.over_voltage_trip_V",
    regen_A="controller.regen_battery_A",
    capacitance_uF="controller.input_capacitance_uF",
    assumed_ms="house.over_voltage_trip_ms",
    winding_J="controller.regen_winding_J",
    trip_ms="controller.over_voltage_trip_ms",
    rises=("full_V", "trip_V", "regen_A", "winding_J"),
    words="√(U² + 2 × winding_J ÷ capacitance_uF), with U the higher of full_V and trip_V, "
    "and regen_A × trip_ms ÷ capacitance_uF, or assumed_ms",
    source=WINDINGS_INTO_BUS,
)
def trip_peak(
    full_V: float,
    trip_V: float,
    regen_A: float,
    capacitance_uF: float,
    assumed_ms: float,
    winding_J: float,
    trip_ms: float = math.nan,
) -> float:
    """Voltage at the capacitors when the over-voltage trip has ended regen, the pack cut off.

    For a regen current that holds until then, after which the current of all three windings runs into
    the capacitors too; without losses, and nothing else on the bus.

    >>> round(trip_peak(84.0, 88.0, 20.0, 2000.0, 2.0, 0.0), 6)
    108.0
    """
    reaction_ms = assumed_ms if math.isnan(trip_ms) else trip_ms
    ended_V = max(full_V, trip_V) + 1000.0 * regen_A * reaction_ms / capacitance_uF
    return charged_peak(ended_V, winding_J, capacitance_uF)


@worked(
    "controller.quick_trip_peak_V",
    "V",
    title="bus voltage after a quick trip",
    full_V="pack.full_V",
    trip_V="settings.over_voltage_trip_V",
    regen_A="controller.regen_battery_A",
    capacitance_uF="controller.input_capacitance_uF",
    quick_ms="house.quick_trip_ms",
    winding_J="controller.regen_winding_J",
    trip_ms="controller.over_voltage_trip_ms",
    rises=("full_V", "trip_V", "regen_A", "winding_J"),
    words="as when the trip has acted, within trip_ms, or quick_ms if none is given",
    source=WINDINGS_INTO_BUS,
)
def quick_trip_peak(
    full_V: float,
    trip_V: float,
    regen_A: float,
    capacitance_uF: float,
    quick_ms: float,
    winding_J: float,
    trip_ms: float = math.nan,
) -> float:
    """The least that it comes to, however quick the controller is whose reaction is not given.

    >>> round(quick_trip_peak(84.0, 88.0, 20.0, 2000.0, 0.25, 0.0), 6)
    90.5
    """
    return trip_peak(full_V, trip_V, regen_A, capacitance_uF, quick_ms, winding_J, trip_ms)


@worked(
    "controller.contactor_peak_V",
    "V",
    title="bus voltage once the contactor is open",
    full_V="pack.full_V",
    regen_A="controller.regen_battery_A",
    capacitance_uF="controller.input_capacitance_uF",
    answered_ms="house.bus_rise_ms",
    assumed_ms="house.over_voltage_trip_ms",
    winding_J="controller.regen_winding_J",
    trip_V="settings.over_voltage_trip_V",
    trip_ms="controller.over_voltage_trip_ms",
    rises=("full_V", "trip_V", "regen_A", "winding_J"),
    words="√(U² + 2 × winding_J ÷ capacitance_uF), with U the lower of full_V and regen_A × "
    "answered_ms ÷ capacitance_uF, and of what the trip leaves: the higher of full_V and trip_V, "
    "and regen_A × trip_ms ÷ capacitance_uF, or assumed_ms",
    source=WINDINGS_INTO_BUS,
)
def contactor_peak(
    full_V: float,
    regen_A: float,
    capacitance_uF: float,
    answered_ms: float,
    assumed_ms: float,
    winding_J: float,
    trip_V: float = math.inf,
    trip_ms: float = math.nan,
) -> float:
    """Voltage at the capacitors when regen has ended, by the enable wire or the trip, the contactor open.

    >>> round(contactor_peak(60.0, 4.0, 1000.0, 5.0, 2.0, 0.0), 6)
    80.0
    >>> round(contactor_peak(60.0, 10.0, 2000.0, 5.0, 2.0, 0.0, 70.0), 6)
    80.0
    """
    answered_V = full_V + 1000.0 * regen_A * answered_ms / capacitance_uF
    reaction_ms = assumed_ms if math.isnan(trip_ms) else trip_ms
    tripped_V = max(full_V, trip_V) + 1000.0 * regen_A * reaction_ms / capacitance_uF
    return charged_peak(min(answered_V, tripped_V), winding_J, capacitance_uF)


@worked(
    "controller.drive_winding_J",
    "J",
    title="energy of the windings at full drive",
    phase_A_rms="settings.phase_current_A_rms",
    inductance_uH="motor.phase_inductance_uH",
    formula="3 / 2 * inductance_uH / 1000000 * phase_A_rms ** 2",
    source="Energy of an inductor, ½·L·I² in each of three phases.",
)
def drive_winding_energy(phase_A_rms: float, inductance_uH: float) -> float:
    """Energy that the windings hold at the phase current limit, with the inductance at small currents.

    Iron that saturates holds less.

    >>> round(drive_winding_energy(200.0, 100.0), 6)
    6.0
    """
    return regen_winding_energy(phase_A_rms, inductance_uH)


@worked(
    "controller.drive_peak_V",
    "V",
    title="bus voltage when the pack is lost at full drive",
    off_V="controller.min_V",
    winding_J="controller.drive_winding_J",
    capacitance_uF="controller.input_capacitance_uF",
    rises=("winding_J",),
    formula="sqrt(off_V ** 2 + 2000000 * winding_J / capacitance_uF)",
    source="Energy of the windings, ½·L·I² each, and ½·C·U².",
)
def drive_peak(off_V: float, winding_J: float, capacitance_uF: float) -> float:
    """Voltage at the capacitors once the current of full drive has run into them, no pack there.

    The drive first empties them to the voltage at which the controller switches off; one that does so
    sooner ends higher. Without losses, and without saturation.

    >>> round(drive_peak(40.0, 6.0, 2000.0), 3)
    87.178
    """
    return charged_peak(off_V, winding_J, capacitance_uF)


@worked(
    "controller.saturated_drive_peak_V",
    "V",
    title="bus voltage so, with saturated windings",
    off_V="controller.min_V",
    winding_J="controller.drive_winding_J",
    capacitance_uF="controller.input_capacitance_uF",
    left="house.saturated_share",
    rises=("winding_J",),
    formula="sqrt(off_V ** 2 + left * 2000000 * winding_J / capacitance_uF)",
    source="Energy of the windings, ½·L·I² each, and ½·C·U²; what saturation leaves is common practice.",
)
def saturated_drive_peak(
    off_V: float, winding_J: float, capacitance_uF: float, left: float
) -> float:
    """The least that it comes to, where saturation leaves the windings but a share of that energy.

    >>> round(saturated_drive_peak(40.0, 6.0, 2000.0, 0.5), 3)
    67.823
    """
    return charged_peak(off_V, left * winding_J, capacitance_uF)
