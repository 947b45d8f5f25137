"""The road: rolling, climbing and the air, and what they ask of the wheel."""

from __future__ import annotations

import math

GRAVITY_m_per_s2 = 9.80665
SEA_LEVEL_kg_per_m3 = 1.225  # ISO 2533, 15 °C
SEA_LEVEL_K = 288.15
LAPSE_K_per_m = 0.0065
SEA_LEVEL_Pa = 101325.0
AIR_J_per_kg_K = 287.05287
TROPOPAUSE_m = 11000.0


def air_density_kg_per_m3(height_m: float) -> float:
    """Density of the standard atmosphere (ISO 2533), from 2 km below the sea to 11 km above.

    >>> round(air_density_kg_per_m3(2000.0), 4)
    1.0065
    """
    if not -2000.0 <= height_m <= TROPOPAUSE_m:
        raise ValueError(f"{height_m:g} m lies outside the troposphere")
    kelvin = SEA_LEVEL_K - LAPSE_K_per_m * height_m
    exponent = GRAVITY_m_per_s2 / (LAPSE_K_per_m * AIR_J_per_kg_K)
    pascal: float = SEA_LEVEL_Pa * (kelvin / SEA_LEVEL_K) ** exponent
    return pascal / (AIR_J_per_kg_K * kelvin)


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
