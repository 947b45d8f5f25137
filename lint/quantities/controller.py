"""The controller: the power it draws, the ratio of phase to battery current, the voltage rise at a cut-off."""

from __future__ import annotations

from .worked import worked


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
    "controller.bus_rise_ms",
    "ms",
    title="time to the controller's maximum voltage",
    capacitance_uF="controller.input_capacitance_uF",
    max_V="controller.max_V",
    full_V="pack.full_V",
    regen_A="settings.regen.battery_current_A",
    formula="capacitance_uF * (max_V - full_V) / regen_A / 1000",
    source="Charge of a capacitor at constant current: t = C · ΔV / I.",
)
def bus_rise(capacitance_uF: float, max_V: float, full_V: float, regen_A: float) -> float:
    """Time from the cut-off of the pack during regen until the controller's maximum voltage.

    For a regen current that does not react; a controller that watches its voltage stops sooner.

    >>> round(bus_rise(1000.0, 90.0, 84.0, 30.0), 6)
    0.2
    """
    return capacitance_uF * (max_V - full_V) / regen_A / 1000.0
