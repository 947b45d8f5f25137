"""The road against the drive, by hand and by a worked example of a textbook."""

from __future__ import annotations

import math

import pytest
from gonogo.riding.course import (
    SCHEDULES,
    Road,
    cruising_range,
    force_curve,
    road_resistance,
    schedule_range,
    seconds_to,
    steepest_start,
    top_speed,
)
from gonogo.riding.drive import BY_SPEED, BY_VOLTAGE, Drive, fullest

# The electric scooter that Larminie and Lowry work through in Electric Vehicle Technology Explained,
# chapter on modelling; from memory. 18 V motor of 0.136 Nm/A and 16 mΩ, at most 250 A; gear 2:1 with
# 0.98 on a wheel of 0.21 m radius; 0.6 m² at 0.75, rolling 0.007, 185 kg that act as 194 kg with
# what turns; air of 1.25 kg/m³, 9.8 m/s². They find dv/dt = 1.57 − 0.00145 v² up to 10.8 m/s and
# 7.30 − 0.53 v − 0.00145 v² above. A direct-current motor is a sine-driven one without inductance of
# half its resistance a phase, its current 2/√3 of the peak phase current.
SCOOTER_A_rms = 250.0 * 2.0 / math.sqrt(3.0) / math.sqrt(2.0)
SCOOTER = Drive(
    kv_rpm_per_V=60.0 / (2.0 * math.pi * 0.136),
    phase_A_rms=SCOOTER_A_rms,
    battery_A=math.inf,
    open_V=18.0,
    ratio=2.0,
    circumference_m=2.0 * math.pi * 0.21,
    efficiency=0.98,
    phase_ohm=0.008,
)
SCOOTER_ROAD = Road(185.0, 0.007, 0.6 * 0.75, 0.0, 1.25)
SCOOTER_ACTS_kg = 194.0


def _gathers(speed_m_per_s: float) -> float:
    """Acceleration of the scooter in m/s²."""
    force_N = fullest(SCOOTER, 3.6 * speed_m_per_s).force_N
    return (force_N - road_resistance(SCOOTER_ROAD, 3.6 * speed_m_per_s)) / SCOOTER_ACTS_kg


@pytest.mark.parametrize("speed", [0.0, 2.0, 5.0, 8.0, 10.5])
def test_the_scooter_gathers_at_first_as_the_textbook_says(speed: float) -> None:
    """To the last digit printed."""
    assert _gathers(speed) == pytest.approx(1.57 - 0.00145 * speed**2, abs=0.006)


@pytest.mark.parametrize("speed", [11.0, 12.0, 13.0])
def test_the_scooter_gathers_at_speed_as_the_textbook_says(speed: float) -> None:
    """0.03 m/s²: 0.53 is printed with two digits, and is multiplied by 13."""
    assert _gathers(speed) == pytest.approx(7.30 - 0.53 * speed - 0.00145 * speed**2, abs=0.03)


def test_the_scooter_tops_out_where_the_textbook_s_equation_does() -> None:
    """Root of 7.30 − 0.53 v − 0.00145 v²: 13.3 m/s, 47.8 km/h; 0.5 %."""
    root = (math.sqrt(0.53**2 + 4.0 * 0.00145 * 7.30) - 0.53) / (2.0 * 0.00145)
    top = top_speed(SCOOTER, SCOOTER_ROAD)
    assert top is not None
    assert top.speed_km_h == pytest.approx(3.6 * root, rel=5e-3)
    assert top.limited_by == BY_VOLTAGE


def test_the_scooter_needs_the_time_that_the_equation_s_solution_gives() -> None:
    """To 10 m/s: v = √(1.57/0.00145)·tanh(√(1.57·0.00145)·t), solved for t; 0.5 %."""
    closed_s = math.atanh(10.0 * math.sqrt(0.00145 / 1.57)) / math.sqrt(1.57 * 0.00145)
    ours_s = seconds_to(36.0, SCOOTER_ACTS_kg, lambda km_h: SCOOTER_ACTS_kg * _gathers(km_h / 3.6))
    assert ours_s == pytest.approx(closed_s, rel=5e-3)


def test_a_speed_beyond_the_top_is_never_reached() -> None:
    assert seconds_to(50.0, 194.0, lambda km_h: 194.0 * _gathers(km_h / 3.6)) is None


PLAIN = Drive(60.0, 100.0, 50.0, 48.0, 5.0, 2.0, phase_ohm=0.02)
ROAD = Road(150.0, 0.015, 0.6)


def test_a_top_speed_is_where_power_meets_the_road() -> None:
    """By hand at 62.27 km/h: 132.0 N of rolling and air; 2,283 W at the wheel, 111 W in the copper,
    2,394 W of the battery's 2,400."""
    top = top_speed(PLAIN, ROAD)
    assert top is not None
    wheel_W = (150.0 * 9.80665 * 0.015 + 0.6125 * 0.6 * (top.speed_km_h / 3.6) ** 2) * (
        top.speed_km_h / 3.6
    )
    copper_W = 3.0 * 0.02 * top.phase_A_rms**2
    assert wheel_W + copper_W == pytest.approx(50.0 * 48.0, rel=1e-6)
    assert top.limited_by == "settings.battery_current_A"


def test_a_speed_limit_ends_the_speed_and_is_named() -> None:
    top = top_speed(PLAIN._replace(max_rpm=2000.0), ROAD)
    assert top is not None
    assert top.speed_km_h == pytest.approx(2000.0 / 5.0 * 2.0 * 60.0 / 1000.0)
    assert top.limited_by == BY_SPEED


def test_a_hill_too_steep_is_no_top_speed() -> None:
    """306 N push 150 kg up 19.7 %, with 1.5 % for rolling, by F = W (sin α + c cos α)."""
    assert top_speed(PLAIN, ROAD._replace(grade_percent=21.0)) is None
    assert top_speed(PLAIN, ROAD._replace(grade_percent=19.0)) is not None
    grade = steepest_start(fullest(PLAIN, 0.0).force_N, 150.0 * 9.80665, 0.015)
    slope = math.atan(grade / 100.0)
    assert 150.0 * 9.80665 * (math.sin(slope) + 0.015 * math.cos(slope)) == pytest.approx(
        306.186, 1e-4
    )


def test_a_cruise_goes_as_far_as_its_current_lets_the_charge_last() -> None:
    """By hand at 40 km/h: 67.4 N, 749 W, 29 W of copper: 16.2 A, of 20 Ah 1.23 h."""
    force_N = 150.0 * 9.80665 * 0.015 + 0.6125 * 0.6 * (40.0 / 3.6) ** 2
    per_A = math.sqrt(1.5) / (2.0 * math.pi) * 5.0 * 2.0 * math.pi / 2.0
    watt = force_N * 40.0 / 3.6 + 3.0 * 0.02 * (force_N / per_A) ** 2
    assert cruising_range(PLAIN, ROAD, 40.0, 20.0) == pytest.approx(20.0 * 48.0 / watt * 40.0)


def test_a_cruise_beyond_the_drive_is_refused_by_its_limit() -> None:
    assert cruising_range(PLAIN, ROAD, 64.0, 20.0) == "settings.battery_current_A"
    assert cruising_range(PLAIN, ROAD._replace(grade_percent=25.0), 10.0, 20.0) == (
        "settings.phase_current_A_rms"
    )


def test_stopping_and_going_costs_what_moves_is_worth() -> None:
    """Schedule B by hand, without losses: kinetic energy and road a cycle, 48 V × 20 Ah in all; 1 %."""
    free = PLAIN._replace(phase_ohm=0.0)
    top, mass = 32.0 / 3.6, 150.0
    rolling_N, air = mass * 9.80665 * 0.015, 0.6125 * 0.6
    gathered_m = top / 2.0 * 19.0
    # Air while speed rises in a straight line: the mean of v³ is a quarter of the top's.
    joule = mass * top**2 / 2.0 + rolling_N * gathered_m + air * top**3 / 4.0 * 19.0
    joule += (rolling_N + air * top**2) * top * 19.0
    slowed = top - (rolling_N + air * top**2 * 0.94) / mass * 4.0
    metres = gathered_m + top * 19.0 + (top + slowed) / 2.0 * 4.0 + slowed / 2.0 * 5.0
    km = 48.0 * 20.0 * 3600.0 / joule * metres / 1000.0
    assert schedule_range(free, ROAD, SCHEDULES[1], 20.0) == pytest.approx(km, rel=0.01)


def test_a_cycle_that_the_drive_cannot_follow_is_refused() -> None:
    assert isinstance(schedule_range(PLAIN, ROAD, SCHEDULES[3], 20.0), str)


def test_the_curve_falls_and_ends_where_the_force_does() -> None:
    points = force_curve(PLAIN)
    assert points[0].speed_km_h == 0.0
    forces = [point.force_N for point in points]
    assert forces == sorted(forces, reverse=True)
    assert forces[-1] == pytest.approx(0.0, abs=0.1)
    assert points[-1].speed_km_h == pytest.approx(60.0 * 48.0 / 5.0 * 2.0 * 60.0 / 1000.0)
