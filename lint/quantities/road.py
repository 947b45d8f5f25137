"""The road: weight, the climb that has to be held, the push at the wheel, and power at the shaft."""

from __future__ import annotations

import math

from .operand import NO_LESS, NO_MORE, NotWorked
from .ride import GRAVITY_m_per_s2
from .worked import worked


@worked(
    "ride.total_kg",
    "kg",
    title="total mass",
    mass_kg="vehicle.mass_kg",
    rider_kg="vehicle.rider_kg",
    formula="mass_kg + rider_kg",
    source="Masses add.",
)
def total_mass(mass_kg: float, rider_kg: float) -> float:
    """Mass on the road: the vehicle, its rider and the load.

    >>> total_mass(90.0, 85.0)
    175.0
    """
    return mass_kg + rider_kg


@worked(
    "ride.total_kg",
    "kg",
    title="total mass",
    mass_kg="vehicle.mass_kg",
    rider_kg="vehicle.rider_kg",
    without="rider_kg",
    formula="mass_kg",
    source="Masses add; nobody and nothing is carried.",
)
def total_of_the_vehicle(mass_kg: float, rider_kg: None = None) -> float:
    """The same of a vehicle that is said to carry nobody and nothing, such as a mowing robot.

    >>> total_of_the_vehicle(90.0)
    90.0
    """
    return mass_kg


@worked(
    "ride.total_kg",
    "kg",
    title="total mass",
    mass_kg="vehicle.mass_kg",
    side=NO_LESS,
    formula="mass_kg",
    source="Masses add; the rider is not given.",
)
def total_without_rider(mass_kg: float) -> float:
    """The vehicle alone; a rider only adds to it.

    >>> total_without_rider(90.0)
    90.0
    """
    return mass_kg


@worked(
    "ride.weight_N",
    "N",
    title="total weight",
    total_kg="ride.total_kg",
    rises=("total_kg",),
    formula="total_kg * 9.80665",
    source="Standard acceleration of free fall, 3rd CGPM 1901.",
)
def weight(total_kg: float) -> float:
    """Weight of vehicle and rider.

    >>> weight(100.0)
    980.665
    """
    return total_kg * GRAVITY_m_per_s2


@worked(
    "ride.pedal_N",
    "N",
    title="pedalling force",
    power_W="vehicle.pedal_power_W",
    climb_km_h="house.climb_km_h",
    formula="power_W / (climb_km_h / 3.6)",
    source="Definition of power; the speed of a steep climb is common practice.",
)
def pedal(power_W: float, climb_km_h: float) -> float:
    """Force at the wheel that a pedalling rider adds on a steep climb.

    At a walking pace in the lowest gear; on a hub drive the pedals keep their own gears.

    >>> round(pedal(100.0, 6.0), 6)
    60.0
    """
    return power_W / (climb_km_h / 3.6)


@worked(
    "ride.hold_N",
    "N",
    title="force to hold the grade",
    weight_N="ride.combined_N",
    grade_percent="vehicle.steepest_grade_percent",
    rolling="ride.rolling_resistance",
    pedal_N="ride.pedal_N",
    rises=("weight_N",),
    formula="max(0, weight_N * (grade_percent / 100 + rolling) / sqrt(1 + (grade_percent / 100) ** 2)"
    " - pedal_N)",
    source="Road-load equation: Gillespie, Fundamentals of Vehicle Dynamics, 1992, chapter 4,"
    " from memory.",
)
def hold(weight_N: float, grade_percent: float, rolling: float, pedal_N: float = 0.0) -> float:
    """Force at the wheel that holds the vehicle on its steepest climb, what is pedalled taken off.

    At a creep, without wind; to gather speed takes more.

    >>> round(hold(1716.2, 25.0, 0.02), 1)
    449.5
    """
    slope = math.atan(grade_percent / 100.0)
    return max(0.0, weight_N * (math.sin(slope) + rolling * math.cos(slope)) - pedal_N)


@worked(
    "ride.hold_current_A_rms",
    "A_rms",
    title="phase current to hold the grade",
    hold_N="ride.hold_N",
    circumference_m="drivetrain.circumference_m",
    ratio="drivetrain.ratio",
    efficiency="drivetrain.efficiency_to_wheel",
    constant="motor.torque_constant_Nm_per_A_rms",
    rises=("hold_N",),
    falls=("efficiency",),
    formula="hold_N * circumference_m / (2 * pi) / (ratio * efficiency * constant)",
    source="Torque is force × radius; definition of the torque constant.",
)
def hold_current(
    hold_N: float, circumference_m: float, ratio: float, efficiency: float, constant: float
) -> float:
    """Phase current that holds the vehicle on its steepest climb.

    Field weakening off and short of saturation; a motor that saturates takes more.

    >>> round(hold_current(450.0, 1.96, 7.0, 0.92, 0.19493), 1)
    111.8
    """
    return hold_N * circumference_m / (2.0 * math.pi) / (ratio * efficiency * constant)


@worked(
    "ride.push_N",
    "N",
    title="push at the driven wheel",
    torque_Nm="motor.torque_Nm",
    ratio="drivetrain.ratio",
    efficiency="drivetrain.efficiency_to_wheel",
    circumference_m="drivetrain.circumference_m",
    rises=("torque_Nm", "efficiency"),
    formula="torque_Nm * ratio * efficiency * 2 * pi / circumference_m",
    source="Torque is force × radius.",
)
def push(torque_Nm: float, ratio: float, efficiency: float, circumference_m: float) -> float:
    """Force at the driven wheel with the throttle fully open, at a standstill.

    >>> round(push(48.7, 7.0, 0.92, 1.96), 1)
    1005.4
    """
    return torque_Nm * ratio * efficiency * 2.0 * math.pi / circumference_m


@worked(
    "ride.push_percent",
    "percent",
    title="push share of the weight",
    push_N="ride.push_N",
    weight_N="ride.weight_N",
    rises=("push_N",),
    falls=("weight_N",),
    formula="100 * push_N / weight_N",
    source="Definition.",
)
def push_share(push_N: float, weight_N: float) -> float:
    """Push at the wheel at full throttle, as a share of the weight: 100 percent is 1 g.

    >>> push_share(858.1, 1716.2)
    50.0
    """
    return 100.0 * push_N / weight_N


@worked(
    "ride.shaft_power_W",
    "W",
    title="shaft power limit",
    battery_A="settings.battery_current_A",
    full_V="pack.full_V",
    sag_V="pack.sag_V",
    efficiency_controller="house.efficiency_controller",
    efficiency_motor="house.efficiency_motor",
    rated_W="motor.rated_power_W",
    use="vehicle.use",
    falls=("sag_V",),
    formula="battery_A * (full_V - sag_V) * efficiency_controller * efficiency_motor",
    applies_when="not (use == 'street' and rated_W > 0)",
    source="Definition of power and efficiency.",
)
def shaft_power(
    battery_A: float,
    full_V: float,
    sag_V: float,
    efficiency_controller: float,
    efficiency_motor: float,
    rated_W: float = 0.0,
    use: str = "",
) -> float:
    """Power at the motor's shaft at the battery current limit, from the full pack.

    On the street the rated power counts instead, where it is entered.

    >>> round(shaft_power(110.0, 84.0, 5.5, 0.96, 0.85), 1)
    7046.2
    """
    if use == "street" and rated_W > 0.0:
        raise NotWorked("on the street the rated power counts")
    return battery_A * (full_V - sag_V) * efficiency_controller * efficiency_motor


@worked(
    "ride.shaft_power_W",
    "W",
    title="shaft power limit",
    rated_W="motor.rated_power_W",
    use="vehicle.use",
    formula="rated_W",
    applies_when="use == 'street'",
    source="Regulation (EU) 168/2013 article 3(35) and EN 15194: the law counts the continuous rated"
    " power at the shaft; from memory.",
)
def rated_power(rated_W: float, use: str) -> float:
    """Power that the law counts on the street: the motor's continuous rated shaft power.

    >>> rated_power(250.0, "street")
    250.0
    """
    if use != "street":
        raise NotWorked("rated power counts on the street alone")
    return rated_W


@worked(
    "ride.shaft_power_W",
    "W",
    title="shaft power limit",
    battery_A="settings.battery_current_A",
    full_V="pack.full_V",
    efficiency_controller="house.efficiency_controller",
    efficiency_motor="house.efficiency_motor",
    side=NO_MORE,
    formula="battery_A * full_V * efficiency_controller * efficiency_motor",
    source="Definition of power and efficiency.",
)
def shaft_power_at_most(
    battery_A: float, full_V: float, efficiency_controller: float, efficiency_motor: float
) -> float:
    """The same while the pack's resistance is not given: no more than without any sag.

    >>> round(shaft_power_at_most(110.0, 84.0, 0.96, 0.85), 1)
    7539.8
    """
    return battery_A * full_V * efficiency_controller * efficiency_motor
