"""The ride: rolling, climbing and the air, and the road speeds that follow from the motor's."""

from __future__ import annotations

import math

from .worked import worked

GRAVITY_m_per_s2 = 9.80665
SEA_LEVEL_kg_per_m3 = 1.225  # ISO 2533, 15 °C


def power_W(
    mass_kg: float,
    speed_m_per_s: float,
    rolling: float,
    drag_area_m2: float,
    density_kg_per_m3: float,
    grade_percent: float = 0.0,
) -> float:
    """Power at the wheel that holds a speed, by the road-load equation, without wind.

    >>> round(power_W(105.0, 25 / 3.6, 0.006, 0.55, 1.225, grade_percent=6.0), 1)
    583.9
    """
    slope = math.atan(grade_percent / 100.0)
    weight_N = mass_kg * GRAVITY_m_per_s2
    rolling_N = weight_N * rolling * math.cos(slope)
    climbing_N = weight_N * math.sin(slope)
    air_N = density_kg_per_m3 * drag_area_m2 * speed_m_per_s**2 / 2.0
    return (rolling_N + climbing_N + air_N) * speed_m_per_s


MINUTES_PER_HOUR = 60.0
METRES_PER_KM = 1000.0


@worked(
    "ride.speed_at_limit_km_h",
    "km_h",
    title="road speed at the motor speed limit",
    rpm="settings.max_rpm",
    ratio="drivetrain.ratio",
    circumference_m="drivetrain.circumference_m",
    formula="rpm / ratio * circumference_m * 60 / 1000",
    source="Definition of speed.",
)
def speed_at_limit(rpm: float, ratio: float, circumference_m: float) -> float:
    """Road speed at the highest motor speed, if the power is there to reach it.

    >>> round(speed_at_limit(4000.0, 8.0, 1.9572), 2)
    58.72
    """
    return rpm / ratio * circumference_m * MINUTES_PER_HOUR / METRES_PER_KM


@worked(
    "ride.no_load_speed_km_h",
    "km_h",
    title="no-load road speed",
    rpm="motor.no_load_rpm",
    ratio="drivetrain.ratio",
    circumference_m="drivetrain.circumference_m",
    formula="rpm / ratio * circumference_m * 60 / 1000",
    source="Definition of speed.",
)
def no_load_speed(rpm: float, ratio: float, circumference_m: float) -> float:
    """Road speed that the unloaded motor would give on the full pack, field weakening off.

    >>> round(no_load_speed(3420.0, 8.0, 2.0), 1)
    51.3
    """
    return rpm / ratio * circumference_m * MINUTES_PER_HOUR / METRES_PER_KM


@worked(
    "ride.reverse_speed_km_h",
    "km_h",
    title="road speed in reverse",
    rpm="settings.reverse_rpm",
    ratio="drivetrain.ratio",
    circumference_m="drivetrain.circumference_m",
    formula="rpm / ratio * circumference_m * 60 / 1000",
    source="Definition of speed.",
)
def reverse_speed(rpm: float, ratio: float, circumference_m: float) -> float:
    """Road speed in reverse at the reverse limit.

    >>> reverse_speed(400.0, 8.0, 2.0)
    6.0
    """
    return rpm / ratio * circumference_m * MINUTES_PER_HOUR / METRES_PER_KM


@worked(
    "ride.power_at_limit_W",
    "W",
    title="power needed at the vehicle speed limit",
    speed_km_h="ride.speed_at_limit_km_h",
    mass_kg="vehicle.mass_kg",
    rider_kg="vehicle.rider_kg",
    rolling="vehicle.rolling_resistance",
    drag_area_m2="vehicle.drag_area_m2",
    formula="(rolling * (mass_kg + rider_kg) * 9.80665"
    " + 1.225 / 2 * drag_area_m2 * (speed_km_h / 3.6) ** 2) * speed_km_h / 3.6",
    source="Road-load equation; air of ISO 2533 at sea level.",
)
def power_at_limit(
    speed_km_h: float, mass_kg: float, rider_kg: float, rolling: float, drag_area_m2: float
) -> float:
    """Power at the wheel that holds the speed at the limit on a level road without wind.

    Where the controller's is less, the limit is never reached.

    >>> round(power_at_limit(72.0, 90.0, 70.0, 0.015, 0.6), 1)
    3410.7
    """
    mass = mass_kg + rider_kg
    return power_W(mass, speed_km_h / 3.6, rolling, drag_area_m2, SEA_LEVEL_kg_per_m3)
