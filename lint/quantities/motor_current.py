"""The motor's current: what it is driven with, and what it withstands."""

from __future__ import annotations

import math

from .operand import NO_MORE, NotWorked
from .worked import worked


@worked(
    "motor.driven_A_rms",
    "A_rms",
    title="phase current in use",
    setting_A_rms="settings.phase_current_A_rms",
    controller_A_rms="controller.phase_current_A_rms",
    combine="least",
    source="The weakest part in series sets the current.",
)
def driven(setting_A_rms: float, controller_A_rms: float) -> float:
    """Phase current that can flow while driving.

    >>> driven(150.0, 120.0)
    120.0
    """
    return min(setting_A_rms, controller_A_rms)


@worked(
    "motor.driven_A_rms",
    "A_rms",
    title="phase current in use",
    factor="house.phase_to_battery_fixed",
    battery_A="controller.battery_current_A",
    setting_A_rms="settings.phase_current_A_rms",
    without="setting_A_rms",
    side=NO_MORE,
    formula="factor * battery_A",
    source="Common practice.",
)
def driven_fixed(factor: float, battery_A: float, setting_A_rms: None = None) -> float:
    """The same for a controller without a phase current setting: a multiple of its battery current.

    Small ready-made controllers hold their phase current by themselves, near twice the battery's; one
    that has the setting gives whatever is entered there.

    >>> driven_fixed(2.5, 20.0)
    50.0
    """
    return factor * battery_A


@worked(
    "motor.weakened_A_rms",
    "A_rms",
    title="phase current with field weakening",
    weakening_A_rms="settings.field_weakening_A_rms",
    covers="controller.phase_limit_covers_field_weakening",
    formula="weakening_A_rms",
    applies_when="covers",
    source="The controller's manual: its phase limit bounds the whole current.",
)
def weakened_within(weakening_A_rms: float, covers: bool) -> float:
    """Phase current with field weakening where the phase limit bounds the whole of it.

    >>> weakened_within(60.0, True)
    60.0
    """
    if not covers:
        raise NotWorked("the phase limit does not bound field weakening")
    return weakening_A_rms


@worked(
    "motor.weakened_A_rms",
    "A_rms",
    title="phase current with field weakening",
    driven_A_rms="motor.driven_A_rms",
    weakening_A_rms="settings.field_weakening_A_rms",
    rises=("driven_A_rms",),
    formula="sqrt(driven_A_rms ** 2 + weakening_A_rms ** 2)",
    source="Field current is part of the phase current: i² = i_d² + i_q² in the rotor's axes.",
)
def weakened(driven_A_rms: float, weakening_A_rms: float) -> float:
    """Phase current of torque and field weakening together.

    For a controller that holds the two apart, as most do.

    >>> weakened(300.0, 400.0)
    500.0
    """
    return math.hypot(driven_A_rms, weakening_A_rms)


@worked(
    "motor.label_current_A_rms",
    "A_rms",
    title="phase current at rated power",
    rated_W="motor.rated_power_W",
    constant="motor.torque_constant_Nm_per_A_rms",
    rated_rpm="motor.rated_rpm",
    formula="rated_W / (constant * 2 * pi * rated_rpm / 60)",
    source="Rated power is torque × speed in continuous duty S1 of IEC 60034-1.",
)
def label_current(rated_W: float, constant: float, rated_rpm: float) -> float:
    """Phase current at the motor's rated power.

    Labels are written for a market or a law; such a motor withstands more, so this is no rating.

    >>> round(label_current(1000.0, 0.2, 3000.0), 2)
    15.92
    """
    return rated_W / (constant * 2.0 * math.pi * rated_rpm / 60.0)


@worked(
    "motor.label_current_A_rms",
    "A_rms",
    title="phase current at rated power",
    rated_W="motor.rated_power_W",
    constant="motor.torque_constant_Nm_per_A_rms",
    share="house.rated_speed_share",
    modulation="house.modulation",
    kv="motor.kv_rpm_per_V",
    nominal_V="pack.nominal_V",
    formula="rated_W / (constant * 2 * pi * share * modulation * kv * nominal_V / 60)",
    source="The same at a usual rated speed, which is common practice.",
)
def label_current_usual(
    rated_W: float, constant: float, share: float, modulation: float, kv: float, nominal_V: float
) -> float:
    """The same while the rated speed is not given: at a share of the no-load speed.

    >>> round(label_current_usual(1000.0, 0.2, 0.8, 0.95, 60.0, 50.0), 2)
    20.94
    """
    return label_current(rated_W, constant, share * modulation * kv * nominal_V)


@worked(
    "motor.overload_ratio",
    "",
    title="motor overload",
    driven_A_rms="motor.driven_A_rms",
    continuous_A_rms="motor.phase_current_A_rms",
    rises=("driven_A_rms",),
    formula="driven_A_rms / continuous_A_rms",
    source="Definition.",
)
def overload(driven_A_rms: float, continuous_A_rms: float) -> float:
    """Phase current as a multiple of the motor's continuous rating.

    >>> overload(250.0, 125.0)
    2.0
    """
    return driven_A_rms / continuous_A_rms


@worked(
    "motor.overload_ratio",
    "",
    title="motor overload",
    driven_A_rms="motor.driven_A_rms",
    factor="house.label_overload_factor",
    label_A_rms="motor.label_current_A_rms",
    throttle="throttle.kind",
    rises=("driven_A_rms",),
    formula="driven_A_rms / (factor * label_A_rms)",
    applies_when="throttle != 'pedal_sensor'",
    source="Definition; how much more than its label a motor withstands is common practice.",
)
def overload_of_label(
    driven_A_rms: float, factor: float, label_A_rms: float, throttle: str
) -> float:
    """The same of a motor whose label has its power: what a hand on the throttle can ask for.

    On a slow climb the battery gives little and the winding still takes the whole phase current.

    >>> round(overload_of_label(55.0, 1.5, 13.4, "hall"), 2)
    2.74
    """
    if throttle == "pedal_sensor":
        raise NotWorked("a pedalled drive pulls no longer than somebody pedals")
    return driven_A_rms / (factor * label_A_rms)


@worked(
    "motor.overload_ratio",
    "",
    title="motor overload",
    battery_A="settings.battery_current_A",
    nominal_V="pack.nominal_V",
    controller_share="house.efficiency_controller",
    motor_share="house.efficiency_motor",
    factor="house.label_overload_factor",
    rated_W="motor.rated_power_W",
    formula="battery_A * nominal_V * controller_share * motor_share / (factor * rated_W)",
    source="Power balance; how much more than its label a motor withstands is common practice.",
)
def overload_by_power(
    battery_A: float,
    nominal_V: float,
    controller_share: float,
    motor_share: float,
    factor: float,
    rated_W: float,
) -> float:
    """Shaft power as a multiple of the motor's rated power.

    For a motor that turns: at standstill the current counts, which no label tells.

    >>> round(overload_by_power(15.0, 36.0, 0.96, 0.85, 1.5, 250.0), 3)
    1.175
    """
    return battery_A * nominal_V * controller_share * motor_share / (factor * rated_W)


@worked(
    "motor.sustained_A_rms",
    "A_rms",
    title="sustained phase current",
    driven_A_rms="motor.driven_A_rms",
    continuous_A_rms="motor.phase_current_A_rms",
    rises=("driven_A_rms",),
    formula="min(driven_A_rms, continuous_A_rms)",
    source="More than the motor's continuous current flows for a burst only.",
)
def sustained(driven_A_rms: float, continuous_A_rms: float) -> float:
    """Phase current that flows long enough to heat a cable.

    >>> sustained(250.0, 120.0), sustained(100.0, 120.0)
    (120.0, 100.0)
    """
    return min(driven_A_rms, continuous_A_rms)


@worked(
    "motor.sustained_A_rms",
    "A_rms",
    title="sustained phase current",
    driven_A_rms="motor.driven_A_rms",
    rises=("driven_A_rms",),
    formula="driven_A_rms / 2",
    source="Common practice: half of the limit flows for long.",
)
def sustained_half(driven_A_rms: float) -> float:
    """The same while the motor's continuous current is not given.

    >>> sustained_half(250.0)
    125.0
    """
    return driven_A_rms / 2.0
