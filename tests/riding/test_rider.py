"""Rides from books: figures where all is known, bounds that hold where something is missing."""

from __future__ import annotations

import math
from typing import Any

import pytest
from gonogo.documents.location import Place
from gonogo.documents.profile import Given
from gonogo.documents.schema import allowances
from gonogo.quantities.book import Book
from gonogo.riding.ride_figures import Figure, Ride
from gonogo.riding.rider import ride_of

HOUSE = {name: allowance.default for name, allowance in allowances().items()}
NOWHERE = Place("bench.yaml", 1, 1)

WHOLE: dict[str, Any] = {
    "vehicle.mass_kg": 90.0,
    "vehicle.rider_kg": 80.0,
    "vehicle.wheels": 2,
    "vehicle.drag_area_m2": 0.6,
    "vehicle.rolling_resistance": 0.015,
    "vehicle.steepest_grade_percent": 12.0,
    "vehicle.max_ambient_degC": 35.0,
    "pack.series": 20,
    "pack.parallel": 8,
    "pack.cell.full_V": 4.2,
    "pack.cell.nominal_V": 3.6,
    "pack.cell.capacity_Ah": 4.0,
    "pack.cell.resistance_mohm": 20.0,
    "wiring.battery_cable_mm2": 25.0,
    "wiring.battery_cable_m": 1.0,
    "controller.battery_current_A": 200.0,
    "controller.phase_current_A_rms": 300.0,
    "motor.pole_pairs": 5,
    "motor.kv_rpm_per_V": 60.0,
    "motor.phase_to_neutral_mohm": 10.0,
    "motor.phase_inductance_uH": 90.0,
    "motor.phase_current_A_rms": 90.0,
    "motor.phase_current_burst_A_rms": 220.0,
    "motor.phase_current_burst_s": 30.0,
    "motor.insulation_class": "F",
    "motor.magnet_grade": "SH",
    "drivetrain.ratio": 6.0,
    "drivetrain.circumference_m": 1.9,
    "drivetrain.efficiency": 0.92,
    "settings.battery_current_A": 90.0,
    "settings.phase_current_A_rms": 180.0,
    "settings.field_weakening_A_rms": 0.0,
    "settings.max_rpm": 5000.0,
    "settings.low_voltage.taper_from_V": 62.0,
    "settings.low_voltage.cutoff_V": 58.0,
    "settings.regen.phase_current_A_rms": 60.0,
    "settings.temperature.motor.taper_from_degC": 110.0,
    "settings.temperature.motor.stop_degC": 130.0,
}
FIGURES = (
    "top_speed_km_h",
    "full_top_speed_km_h",
    "peak_force_N",
    "continuous_force_N",
    "steepest_start_percent",
    "zero_to_50_s",
    "range_km",
    "stop_and_go_range_km",
)


def book(values: dict[str, Any]) -> Book:
    """A book of what is given, by the shop's defaults."""
    given = {name: Given(name, told, name, told, 1.0, NOWHERE) for name, told in values.items()}
    return Book(given, HOUSE, "2026-11-25")


def ridden(changes: dict[str, Any] | None = None, grade_percent: float | None = None) -> Ride:
    return ride_of(book({**WHOLE, **(changes or {})}), "", grade_percent, 40.0)


def without(*names: str) -> Ride:
    values = {name: value for name, value in WHOLE.items() if name not in names}
    return ride_of(book(values), cruise_km_h=40.0)


def figure(ride: Ride, name: str) -> Figure:
    found = getattr(ride, name)
    assert isinstance(found, Figure)
    return found


def test_a_whole_vehicle_has_every_figure() -> None:
    ride = ridden()
    assert [name for name in FIGURES if figure(ride, name).value is None] == []
    assert ride.points_side == "exact"
    assert ride.regen_deceleration_m_per_s2.value == pytest.approx(
        60 * 0.19493 * 6 * 3.3069 / 170, 1e-3
    )


def test_a_grade_costs_speed_and_the_flat_is_told_beside_it() -> None:
    flat, steep = ridden(), ridden(grade_percent=8.0)
    assert steep.flat_top_speed_km_h == flat.top_speed_km_h
    assert (steep.top_speed_km_h.value or 0.0) < (flat.top_speed_km_h.value or 0.0)
    assert steep.hill.grade_percent == 8.0
    assert flat.hill.grade_percent == 12.0


def test_without_a_stated_cruise_it_is_two_thirds_of_the_top_speed() -> None:
    ride = ride_of(book(WHOLE))
    assert ride.cruise_km_h == int(2.0 / 3.0 * (ride.top_speed_km_h.value or 0.0))


def test_the_full_pack_is_faster() -> None:
    ride = ridden()
    assert (ride.full_top_speed_km_h.value or 0.0) > (ride.top_speed_km_h.value or 0.0)


@pytest.mark.parametrize(
    "missing",
    [
        "motor.phase_to_neutral_mohm",
        "motor.phase_inductance_uH",
        "pack.cell.resistance_mohm",
        "wiring.battery_cable_m",
        "drivetrain.efficiency",
        "vehicle.drag_area_m2",
        "vehicle.rolling_resistance",
        "settings.max_rpm",
        "settings.low_voltage.taper_from_V",
        "controller.battery_current_A",
        "controller.phase_current_A_rms",
        "vehicle.rider_kg",
    ],
)
def test_a_missing_entry_leaves_bounds_that_hold_and_is_asked_for(missing: str) -> None:
    """What is shown as at most is no less than the truth; nothing is shown as known that is not."""
    exact, ride = ridden(), without(missing)
    asked = False
    for name in FIGURES:
        truth, shown = figure(exact, name).value, figure(ride, name)
        assert truth is not None
        asked = asked or missing in shown.missing
        if shown.value is not None:
            assert shown.value == pytest.approx(truth, rel=1e-6), name
        assert shown.low is None or shown.low <= truth * (1.0 + 1e-6), name
        assert shown.high is None or shown.high >= truth * (1.0 - 1e-6), name
    assert asked


@pytest.mark.parametrize(
    "missing",
    [
        "motor.kv_rpm_per_V",
        "drivetrain.ratio",
        "drivetrain.circumference_m",
        "settings.battery_current_A",
    ],
)
def test_without_the_drive_there_is_nothing_but_what_to_enter(missing: str) -> None:
    ride = without(missing)
    for name in FIGURES:
        assert (figure(ride, name).low, figure(ride, name).high) == (None, None)
        assert figure(ride, name).missing
    assert ride.points == ()


def test_field_weakening_that_is_not_known_leaves_only_the_standstill() -> None:
    """It can raise the speed by any amount."""
    for missing in ("settings.field_weakening_A_rms", "motor.phase_inductance_uH"):
        values = {**WHOLE, "settings.field_weakening_A_rms": 40.0}
        ride = ride_of(book({name: value for name, value in values.items() if name != missing}))
        assert ride.top_speed_km_h == Figure(missing=ride.top_speed_km_h.missing)
        assert missing in ride.top_speed_km_h.missing
        assert ride.peak_force_N.value is not None


def test_fifty_that_is_not_reached_says_so() -> None:
    ride = ridden({"settings.max_rpm": 2000.0})
    assert (ride.zero_to_50_s.low, ride.zero_to_50_s.reason) == (None, "50 km/h is not reached")


def test_the_start_is_no_steeper_than_the_tyre_grips() -> None:
    """Wet: 0.4 of 60 % of the weight is 24 %, less 1.5 % for rolling."""
    strong = {"settings.phase_current_A_rms": 300.0, "vehicle.wet": True}
    ride = ridden(strong)
    assert ride.steepest_start_percent.value == pytest.approx(22.5)
    assert ride.peak_limited_by == "ride.grip_N"


def test_on_a_hill_that_it_cannot_start_there_is_no_time() -> None:
    ride = ridden(grade_percent=60.0)
    assert ride.top_speed_km_h.reason == "the drive does not start the vehicle"
    assert ride.limited_by == "settings.phase_current_A_rms"
    assert ride.minutes_to_stop.reason


def test_the_minutes_on_a_hill_are_a_span_until_the_motor_is_weighed() -> None:
    ride = ridden({"settings.phase_current_A_rms": 280.0, "vehicle.rider_kg": 200.0}, 25.0)
    taper, stop = ride.minutes_to_taper, ride.minutes_to_stop
    assert taper.low is not None and taper.high is not None and taper.low < taper.high
    assert stop.low is not None and stop.low > taper.low
    assert taper.missing == {"motor.mass_kg", "motor.winding_time_s"}


def test_held_at_its_speed_limit_the_drive_takes_what_the_hill_asks_for() -> None:
    """By hand: the hill's force through wheel, gear and torque constant, and no more."""
    ride = ridden({"settings.max_rpm": 1500.0}, 5.0)
    assert ride.limited_by == "settings.max_rpm"
    speed = 1500.0 / 6.0 * 1.9 / 60.0
    slope = math.atan(0.05)
    weight_N = 170.0 * 9.80665
    force_N = weight_N * (math.sin(slope) + 0.015 * math.cos(slope)) + 0.6125 * 0.6 * speed**2
    torque_Nm = force_N * 1.9 / (2.0 * math.pi) / (6.0 * 0.92)
    assert ride.hill.phase_A_rms == pytest.approx(torque_Nm / 0.194924, rel=1e-4)


def test_weighed_and_timed_the_minutes_are_one_figure_inside_the_span() -> None:
    heavy = {"settings.phase_current_A_rms": 280.0, "vehicle.rider_kg": 200.0}
    span = ridden(heavy, 25.0).minutes_to_stop
    known = {**heavy, "motor.mass_kg": 9.0, "motor.winding_time_s": 60.0}
    stop = ridden(known, 25.0).minutes_to_stop
    assert stop.value is not None and stop.missing == frozenset()
    assert span.low is not None and span.high is not None
    assert span.low <= stop.value <= span.high


def test_a_controller_rated_for_less_than_the_setting_is_the_limit() -> None:
    ride = ridden({"controller.phase_current_A_rms": 120.0, "controller.battery_current_A": 50.0})
    assert ride.peak_limited_by == "controller.phase_current_A_rms"
    assert ride.limited_by in ("controller.battery_current_A", "pack.loaded_V")
    assert max(point.battery_A for point in ride.points) <= 50.0 + 1e-6


RATED_CONTROLLER: dict[str, Any] = {
    "controller.phase_current_continuous_A_rms": 90.0,
    "controller.phase_current_burst_s": 60.0,
    "controller.max_degC": 90.0,
    "settings.temperature.controller.taper_from_degC": 75.0,
    "settings.temperature.controller.stop_degC": 85.0,
}


def test_the_controllers_minutes_are_told_beside_the_motors() -> None:
    """By hand: 90 of 300 A for ever, 300 A for 60 s; from 35 °C, the four ends of the span."""
    ride = ridden({**RATED_CONTROLLER, "settings.phase_current_A_rms": 280.0}, 20.0)
    current = ride.hill.phase_A_rms or 0.0
    assert current > 100.0
    for figure_, target in (
        (ride.controller_minutes_to_taper, 75.0),
        (ride.controller_minutes_to_stop, 85.0),
    ):
        times = []
        for power in (1, 2):
            time_s = 60.0 / -math.log(1.0 - (90.0 / 300.0) ** power)
            for rated_from in (25.0, 40.0):
                end_K = (90.0 - rated_from) * (current / 90.0) ** power
                times.append(time_s * math.log(end_K / (end_K - (target - 35.0))) / 60.0)
        assert figure_.low == pytest.approx(min(times))
        assert figure_.high == pytest.approx(max(times))


@pytest.mark.parametrize("missing", RATED_CONTROLLER)
def test_without_one_of_its_entries_the_controllers_minutes_are_not_told(missing: str) -> None:
    values = {**WHOLE, **RATED_CONTROLLER}
    del values[missing]
    taper = ride_of(book(values)).controller_minutes_to_taper
    assert (taper.low, taper.high) == (None, None)
    assert taper.missing == {missing}


def test_without_a_hill_the_controllers_minutes_say_so_too() -> None:
    ride = without("vehicle.steepest_grade_percent")
    assert ride.controller_minutes_to_stop.reason == "no grade is stated"


def test_the_range_with_no_load_losses_draws_what_the_stand_measured_too() -> None:
    """By hand: 5 A of 80 V at 4000 rpm is 0.1 W a turn a minute; 40 km/h are 6 × 40/3.6/1.9 turns a second."""
    read = {"battery_A": 5.0, "pack_V": 80.0, "rpm": 4000.0}
    ride = ridden({f"readings.no_load.{name}": value for name, value in read.items()})
    idle_W = 0.1 * 60.0 * 6.0 * 40.0 / 3.6 / 1.9
    alone = ride.range_km.value or 0.0
    drawn_A = 32.0 * 40.0 / alone + idle_W / 72.0
    assert ride.range_with_no_load_km.value == pytest.approx(32.0 * 40.0 / drawn_A)
    assert ridden().range_with_no_load_km.missing >= {"readings.no_load.rpm"}
