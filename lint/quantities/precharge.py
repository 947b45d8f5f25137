"""Precharge: filling the controller's capacitors through a resistor before the contactor closes."""

from __future__ import annotations

import math

from .operand import NO_MORE, NotWorked
from .worked import worked

TIME_CONSTANTS = 3.0  # to 95 %
PULSE_s = 5.0  # longer than this a resistor is loaded continuously
OVERLOAD = (
    "Common practice: a wire-wound resistor takes five times its rating for up to 5 s (short-time "
    "overload of IEC 60115-1 and MIL-PRF-26, from memory)."
)


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
    """Power in the resistor at the start of precharge, with a full pack.

    >>> peak_power(84.0, 100.0)
    70.56
    """
    return full_V**2 / resistor_ohm


@worked(
    "wiring.precharge_load_W",
    "W",
    title="steady power in the precharge resistor",
    load_A="wiring.precharge.load_A",
    resistor_ohm="wiring.precharge.resistor_ohm",
    formula="load_A ** 2 * resistor_ohm",
    source="Joule's law.",
)
def load_power(load_A: float, resistor_ohm: float) -> float:
    """Power that stays in the precharge resistor once the capacitors are as full as the load lets them.

    For a load of constant current that the pack's voltage can drive through the resistor.

    >>> round(load_power(0.3, 100.0), 6)
    9.0
    """
    return load_A**2 * resistor_ohm


@worked(
    "wiring.precharge_allowed_J",
    "J",
    title="precharge resistor energy rating",
    pulse_J="wiring.precharge.resistor_pulse_J",
    formula="pulse_J",
    source="The resistor's own datasheet.",
)
def allowed_by_datasheet(pulse_J: float) -> float:
    """Energy that the precharge resistor withstands in one pulse (datasheet).

    >>> allowed_by_datasheet(40.0)
    40.0
    """
    return pulse_J


@worked(
    "wiring.precharge_allowed_J",
    "J",
    title="precharge resistor energy rating",
    factor="house.precharge_overload_factor",
    resistor_W="wiring.precharge.resistor_W",
    charging_s="wiring.precharge_time_s",
    time_s="wiring.precharge.time_s",
    formula="factor * resistor_W * min(time_s, charging_s, 5)",
    source=OVERLOAD,
)
def allowed_pulse(
    factor: float, resistor_W: float, charging_s: float, time_s: float = PULSE_s
) -> float:
    """Energy that the precharge resistor withstands in one pulse, by its rated power.

    The pulse lasts no longer than the capacitors take to fill. A film resistor takes less: its
    datasheet's pulse curve comes first.

    >>> allowed_pulse(5.0, 10.0, 0.6, 1.0)
    30.0
    """
    return factor * resistor_W * min(time_s, charging_s, PULSE_s)


@worked(
    "wiring.precharge_allowed_J",
    "J",
    title="precharge resistor energy rating",
    factor="house.precharge_overload_factor",
    resistor_W="wiring.precharge.resistor_W",
    time_s="wiring.precharge.time_s",
    side=NO_MORE,
    formula="factor * resistor_W * min(time_s, 5)",
    source=OVERLOAD,
)
def allowed_at_most(factor: float, resistor_W: float, time_s: float = PULSE_s) -> float:
    """The most that it can be while resistance or capacitance is missing.

    >>> allowed_at_most(5.0, 10.0)
    250.0
    """
    return factor * resistor_W * min(time_s, PULSE_s)


@worked(
    "wiring.precharge_left_J",
    "J",
    title="inrush energy after precharge",
    kind="wiring.precharge",
    energy_J="wiring.precharge_energy_J",
    formula="energy_J",
    applies_when='kind == "none"',
    source="Without precharge all of it rushes in.",
)
def left_of_none(kind: str, energy_J: float) -> float:
    """Energy that rushes into the capacitors at switch-on without precharge.

    >>> left_of_none("none", 7.1)
    7.1
    """
    if kind != "none":
        raise NotWorked("there is a precharge")
    return energy_J


@worked(
    "wiring.precharge_left_J",
    "J",
    title="inrush energy after precharge",
    capacitance_uF="controller.input_capacitance_uF",
    full_V="pack.full_V",
    resistor_ohm="wiring.precharge.resistor_ohm",
    time_s="wiring.precharge.time_s",
    load_A="wiring.precharge.load_A",
    words="½ × capacitance_uF × (full_V − max(0, full_V − load_A × resistor_ohm) "
    "× (1 − exp(−time_s / (resistor_ohm × capacitance_uF))))²",
    source="Charge of a capacitor through a resistor that also feeds a load.",
)
def left(
    capacitance_uF: float, full_V: float, resistor_ohm: float, time_s: float, load_A: float = 0.0
) -> float:
    """Energy that still rushes into the capacitors at switch-on after precharge.

    For a load of constant current, none where it is missing.

    >>> round(left(1000.0, 60.0, 100.0, 0.1), 4), round(left(1000.0, 60.0, 100.0, 5.0), 4)
    (0.2436, 0.0)
    """
    share = 1.0 - math.exp(-time_s / (resistor_ohm * capacitance_uF / 1e6))
    reached_V = max(0.0, full_V - load_A * resistor_ohm) * share
    return capacitance_uF / 1e6 * (full_V - reached_V) ** 2 / 2.0
