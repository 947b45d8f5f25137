"""Precharge: filling the controller's capacitors through a resistor before the contactor closes."""

from __future__ import annotations

from .worked import worked

TIME_CONSTANTS = 3.0  # to 95 %
PULSE_s = 5.0  # longer than this a resistor is loaded continuously


@worked(
    "wiring.precharge_time_s",
    "s",
    title="precharge time needed",
    resistor_ohm="wiring.precharge.resistor_ohm",
    capacitance_uF="controller.input_capacitance_uF",
    formula="3 * resistor_ohm * capacitance_uF / 1000000",
    source="Charge of a capacitor through a resistor: 95 % after three time constants.",
)
def time(resistor_ohm: float, capacitance_uF: float) -> float:
    """Time to 95 % of the pack's voltage, if nothing else draws current meanwhile.

    >>> round(time(100.0, 1000.0), 3)
    0.3
    """
    return TIME_CONSTANTS * resistor_ohm * capacitance_uF / 1e6


@worked(
    "wiring.precharge_energy_J",
    "J",
    title="precharge energy",
    capacitance_uF="controller.input_capacitance_uF",
    full_V="pack.full_V",
    formula="capacitance_uF / 1000000 * full_V ** 2 / 2",
    source="Energy of a capacitor; the resistor turns as much into heat, whatever its ohms.",
)
def energy(capacitance_uF: float, full_V: float) -> float:
    """Energy that goes into the capacitors, and as much into whatever fills them.

    >>> round(energy(1000.0, 84.0), 3)
    3.528
    """
    return capacitance_uF / 1e6 * full_V**2 / 2.0


@worked(
    "wiring.precharge_peak_W",
    "W",
    title="precharge peak power",
    full_V="pack.full_V",
    resistor_ohm="wiring.precharge.resistor_ohm",
    formula="full_V ** 2 / resistor_ohm",
    source="Ohm's law.",
)
def peak_power(full_V: float, resistor_ohm: float) -> float:
    """Heat in the resistor in the first moment, on a full pack.

    >>> peak_power(84.0, 100.0)
    70.56
    """
    return full_V**2 / resistor_ohm


@worked(
    "wiring.precharge_peak_A",
    "A",
    title="precharge peak current",
    full_V="pack.full_V",
    resistor_ohm="wiring.precharge.resistor_ohm",
    formula="full_V / resistor_ohm",
    source="Ohm's law.",
)
def peak_current(full_V: float, resistor_ohm: float) -> float:
    """Current in the first moment, on a full pack.

    >>> peak_current(84.0, 100.0)
    0.84
    """
    return full_V / resistor_ohm


@worked(
    "wiring.precharge_allowed_J",
    "J",
    title="precharge resistor energy rating",
    factor="house.precharge_overload_factor",
    resistor_W="wiring.precharge.resistor_W",
    time_s="wiring.precharge.time_s",
    formula="factor * resistor_W * min(time_s, 5)",
    source="Common practice: a wire-wound resistor takes five times its rating for up to 5 s.",
)
def allowed(factor: float, resistor_W: float, time_s: float) -> float:
    """Energy that the precharge resistor takes in one go.

    A film resistor takes less: its datasheet's pulse curve comes first.

    >>> allowed(5.0, 10.0, 1.0)
    50.0
    """
    return factor * resistor_W * min(time_s, PULSE_s)
