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
    "ride.reachable_km_h",
    "km_h",
    title="reachable speed",
    rpm="motor.reachable_rpm",
    ratio="drivetrain.ratio",
    circumference_m="drivetrain.circumference_m",
    rises=("rpm",),
    formula="rpm / ratio * circumference_m * 60 / 1000",
    source="Definition of speed.",
)
def reachable_speed(rpm: float, ratio: float, circumference_m: float) -> float:
    """Road speed that the drive reaches on the level: by its limit or by the full pack's voltage.

    Whether the power is there is not counted: a weak drive stays below it.

    >>> round(reachable_speed(4788.0, 7.0, 1.96), 1)
    80.4
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
    total_kg="ride.combined_kg",
    rolling="ride.rolling_resistance",
    drag_area_m2="vehicle.drag_area_m2",
    rises=("total_kg",),
    formula="(rolling * total_kg * 9.80665"
    " + 1.225 / 2 * drag_area_m2 * (speed_km_h / 3.6) ** 2) * speed_km_h / 3.6",
    source="Road-load equation; air of ISO 2533 at sea level.",
)
def power_at_limit(
    speed_km_h: float, total_kg: float, rolling: float, drag_area_m2: float
) -> float:
    """Power at the wheel that holds the speed at the limit on a level road without wind.

    Where the controller's is less, the limit is never reached.

    >>> round(power_at_limit(72.0, 160.0, 0.015, 0.6), 1)
    3410.7
    """
    return power_W(total_kg, speed_km_h / 3.6, rolling, drag_area_m2, SEA_LEVEL_kg_per_m3)


@worked(
    "ride.coast_km_h",
    "km_h",
    title="coasting speed downhill",
    weight_N="ride.combined_N",
    grade_percent="vehicle.steepest_grade_percent",
    rolling="vehicle.rolling_resistance",
    drag_area_m2="vehicle.drag_area_m2",
    formula="3.6 * sqrt(2 * weight_N * max(0, grade_percent / 100 - rolling)"
    " / sqrt(1 + (grade_percent / 100) ** 2) / (1.225 * drag_area_m2))",
    source="Road-load equation at a steady speed; air of ISO 2533 at sea level.",
)
def coast(weight_N: float, grade_percent: float, rolling: float, drag_area_m2: float) -> float:
    """Speed to which the vehicle coasts down its steepest grade, without wind, brakes or drive.

    Of a long hill; on a short one it does not get that far.

    >>> round(coast(1716.2, 25.0, 0.02, 0.6), 1)
    116.2
    """
    slope = math.atan(grade_percent / 100.0)
    downhill_N = weight_N * max(0.0, math.sin(slope) - rolling * math.cos(slope))
    return 3.6 * math.sqrt(2.0 * downhill_N / (SEA_LEVEL_kg_per_m3 * drag_area_m2))


@worked(
    "ride.downhill_km_h",
    "km_h",
    title="speed downhill",
    held_km_h="vehicle.max_downhill_km_h",
    reachable_km_h="ride.reachable_km_h",
    rises=("reachable_km_h",),
    formula="max(held_km_h, reachable_km_h)",
    source="As entered, and never below the speed that the drive reaches on the level.",
)
def downhill_held(held_km_h: float, reachable_km_h: float) -> float:
    """Highest speed downhill, if the rider holds it with the brakes.

    >>> downhill_held(45.0, 80.4)
    80.4
    """
    return max(held_km_h, reachable_km_h)


@worked(
    "ride.downhill_km_h",
    "km_h",
    title="speed downhill",
    reachable_km_h="ride.reachable_km_h",
    over="house.downhill_over_factor",
    usual_km_h="house.downhill_km_h",
    coast_km_h="ride.coast_km_h",
    rises=("reachable_km_h",),
    formula="max(over * reachable_km_h, min(usual_km_h, coast_km_h))",
    source="Common practice: a hill adds to the speed on the level; no more than it coasts to.",
)
def downhill(
    reachable_km_h: float, over: float, usual_km_h: float, coast_km_h: float = math.inf
) -> float:
    """Highest speed downhill, if no maximum downhill speed is given.

    >>> round(downhill(80.4, 1.15, 60.0, 116.2), 1)
    92.5
    """
    return max(over * reachable_km_h, min(usual_km_h, coast_km_h))


@worked(
    "ride.speed_shown_low_percent",
    "percent",
    title="speed shown low",
    shown_mm="settings.speed_shown.circumference_mm",
    shown_ratio="settings.speed_shown.ratio",
    circumference_m="drivetrain.circumference_m",
    ratio="drivetrain.ratio",
    formula="100 * (1 - shown_mm / 1000 / circumference_m * ratio / shown_ratio)",
    source="A display counts turns of the motor by the ratio and circumference entered for it.",
)
def speed_shown_low(
    shown_mm: float, shown_ratio: float, circumference_m: float, ratio: float
) -> float:
    """How far the display reads below the true speed; below 0 where it reads high.

    For a display that counts the motor's turns; one with its own sender on the wheel has no ratio.

    >>> round(speed_shown_low(1900.0, 7.0, 2.0, 7.0), 6)
    5.0
    """
    return 100.0 * (1.0 - shown_mm / 1000.0 / circumference_m * ratio / shown_ratio)
