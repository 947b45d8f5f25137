"""The controller: its power, battery and phase current, and its voltage at a cut-off."""

from __future__ import annotations

import math

from .operand import NO_MORE
from .worked import worked

FULL_MODULATION = math.sqrt(3.0 / 2.0)  # DC amperes for each ampere rms of a phase


@worked(
    "controller.power_W",
    "W",
    title="battery power at the current limit",
    battery_A="settings.battery_current_A",
    loaded_V="pack.loaded_V",
    rises=("loaded_V",),
    formula="battery_A * loaded_V",
    source="Definition of power.",
)
def power(battery_A: float, loaded_V: float) -> float:
    """Power that the controller draws from a half-full pack at the battery current limit.

    >>> power(100.0, 44.0)
    4400.0
    """
    return battery_A * loaded_V


@worked(
    "controller.phase_to_battery_ratio",
    "",
    title="ratio of phase to battery current limit",
    phase_A_rms="settings.phase_current_A_rms",
    battery_A="settings.battery_current_A",
    formula="phase_A_rms / battery_A",
    source="Definition.",
)
def phase_to_battery(phase_A_rms: float, battery_A: float) -> float:
    """Phase current limit, rms, for each ampere of the battery current limit.

    A controller steps the voltage down and the current up. Below about 0.86 the battery limit is
    never reached: at full modulation the phases carry less than the battery.

    >>> phase_to_battery(200.0, 100.0)
    2.0
    """
    return phase_A_rms / battery_A


@worked(
    "controller.rated_phase_to_battery_ratio",
    "",
    title="rated phase current per rated battery current",
    phase_A_rms="controller.phase_current_A_rms",
    battery_A="controller.battery_current_A",
    formula="phase_A_rms / battery_A",
    source="Definition.",
)
def rated_phase_to_battery(phase_A_rms: float, battery_A: float) -> float:
    """Rated phase current, rms, for each rated ampere from the battery.

    >>> rated_phase_to_battery(350.0, 150.0) > 2.0
    True
    """
    return phase_A_rms / battery_A


@worked(
    "controller.bus_rise_ms",
    "ms",
    title="time to the controller's maximum voltage",
    capacitance_uF="controller.input_capacitance_uF",
    max_V="controller.max_V",
    full_V="pack.full_V",
    regen_A="controller.regen_battery_A",
    falls=("regen_A",),
    formula="capacitance_uF * max(0, max_V - full_V) / regen_A / 1000",
    source="Charge of a capacitor at constant current: t = C · ΔV / I.",
)
def bus_rise(capacitance_uF: float, max_V: float, full_V: float, regen_A: float) -> float:
    """Time from the cut-off of the pack during regen until the controller's maximum voltage.

    For a regen current that does not react; a controller that watches its voltage stops sooner.

    >>> round(bus_rise(1000.0, 90.0, 84.0, 30.0), 6)
    0.2
    """
    return capacitance_uF * max(0.0, max_V - full_V) / regen_A / 1000.0


@worked(
    "controller.regen_on",
    "",
    title="regen in use",
    battery_A="settings.regen.battery_current_A",
    phase_A_rms="settings.regen.phase_current_A_rms",
    returns="boolean",
    formula="battery_A > 0 and phase_A_rms > 0",
    words="battery_A > 0 and phase_A_rms > 0",
    source="The entries: where either limit is 0 nothing flows.",
)
def regen_on(battery_A: float, phase_A_rms: float) -> bool:
    """Whether the controller brakes with the motor.

    >>> regen_on(20.0, 80.0), regen_on(20.0, 0.0)
    (True, False)
    """
    return battery_A > 0.0 and phase_A_rms > 0.0


@worked(
    "controller.regen_on",
    "",
    title="regen in use",
    battery_A="settings.regen.battery_current_A",
    returns="boolean",
    formula="battery_A > 0",
    source="The entry.",
)
def regen_on_by_battery(battery_A: float) -> bool:
    """The same while only the battery current of regen is given.

    >>> regen_on_by_battery(0.0)
    False
    """
    return battery_A > 0.0


@worked(
    "controller.regen_on",
    "",
    title="regen in use",
    phase_A_rms="settings.regen.phase_current_A_rms",
    returns="boolean",
    formula="phase_A_rms > 0",
    source="The entry.",
)
def regen_on_by_phase(phase_A_rms: float) -> bool:
    """The same while only the phase current of regen is given.

    >>> regen_on_by_phase(80.0)
    True
    """
    return phase_A_rms > 0.0


@worked(
    "controller.regen_battery_A",
    "A",
    title="regen battery current in use",
    battery_A="settings.regen.battery_current_A",
    phase_A_rms="settings.regen.phase_current_A_rms",
    formula="battery_A if phase_A_rms > 0 else 0",
    source="The entries: where either limit is 0 nothing flows.",
)
def regen_battery(battery_A: float, phase_A_rms: float = math.inf) -> float:
    """Battery current of regen, by its limit.

    >>> regen_battery(20.0), regen_battery(20.0, 0.0)
    (20.0, 0.0)
    """
    return battery_A if phase_A_rms > 0.0 else 0.0


@worked(
    "controller.regen_battery_A",
    "A",
    title="regen battery current in use",
    phase_A_rms="settings.regen.phase_current_A_rms",
    constant="motor.torque_constant_Nm_per_A_rms",
    rpm="motor.max_turned_rpm",
    phase_mohm="motor.phase_to_neutral_mohm",
    nominal_V="pack.nominal_V",
    rises=("rpm",),
    formula="max(0, min(sqrt(3 / 2) * phase_A_rms * nominal_V, constant * phase_A_rms"
    " * 2 * pi * rpm / 60 - 3 * phase_A_rms ** 2 * phase_mohm / 1000)) / nominal_V",
    source="Power balance of a sine drive: √(3/2) DC amperes per ampere rms at full modulation.",
)
def regen_battery_by_phase(
    phase_A_rms: float, constant: float, rpm: float, phase_mohm: float, nominal_V: float
) -> float:
    """The most that the phase current of regen sends into the pack, over all speeds.

    For a cold winding and without the controller's loss; at low speed it is less.

    >>> round(regen_battery_by_phase(150.0, 0.195, 5520.0, 8.0, 72.0), 1)
    183.7
    """
    shaft_W = constant * phase_A_rms * 2.0 * math.pi * rpm / 60.0
    copper_W = 3.0 * phase_A_rms**2 * phase_mohm / 1000.0
    electrical_W = min(FULL_MODULATION * phase_A_rms * nominal_V, shaft_W - copper_W)
    return max(0.0, electrical_W) / nominal_V


@worked(
    "controller.regen_battery_A",
    "A",
    title="regen battery current in use",
    phase_A_rms="settings.regen.phase_current_A_rms",
    side=NO_MORE,
    formula="sqrt(3 / 2) * phase_A_rms",
    source="Power balance of a sine drive: √(3/2) DC amperes per ampere rms at full modulation.",
)
def regen_battery_at_most(phase_A_rms: float) -> float:
    """The same while the motor is not given: no more than at full modulation.

    >>> round(regen_battery_at_most(150.0), 1)
    183.7
    """
    return FULL_MODULATION * phase_A_rms


@worked(
    "controller.regen_phase_A_rms",
    "A_rms",
    title="regen phase current in use",
    phase_A_rms="settings.regen.phase_current_A_rms",
    formula="phase_A_rms",
    source="The entry.",
)
def regen_phase(phase_A_rms: float) -> float:
    """Phase current of regen, by its limit.

    >>> regen_phase(80.0)
    80.0
    """
    return phase_A_rms


@worked(
    "controller.regen_phase_A_rms",
    "A_rms",
    title="regen phase current in use",
    rated_A_rms="controller.phase_current_A_rms",
    side=NO_MORE,
    formula="rated_A_rms",
    source="The same transistors carry it; a controller limits itself to its rating.",
)
def regen_phase_at_most(rated_A_rms: float) -> float:
    """The same while it is not given: no more than the controller's rating.

    >>> regen_phase_at_most(350.0)
    350.0
    """
    return rated_A_rms
