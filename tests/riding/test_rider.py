"""Rides from books: figures where all is known, bounds that hold where something is missing."""

from __future__ import annotations

import math
from typing import Any

import pytest
from gonogo.documents.location import Place
from gonogo.documents.profile import Given
from gonogo.documents.schema import allowances
from gonogo.quantities.book import Book
from gonogo.riding.course import SCHEDULES, Schedule, road_resistance
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
    "settings.regen.battery_current_A": 40.0,
    "settings.temperature.motor.taper_from_degC": 110.0,
    "settings.temperature.motor.stop_degC": 130.0,
    "readings.no_load.battery_A": 5.0,
    "readings.no_load.pack_V": 80.0,
    "readings.no_load.rpm": 4000.0,
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


NO_LOAD = {
    "readings.no_load.battery_A": 5.0,
    "readings.no_load.pack_V": 80.0,
    "readings.no_load.rpm": 4000.0,
}


def test_a_range_draws_what_the_stand_measured_unloaded_too() -> None:
    """By hand: 5 A of 80 V at 4000 rpm is 0.1 W a turn a minute; 40 km/h are 6 × 40/3.6/1.9 turns a second."""
    idle_A = 0.1 * 60.0 * 6.0 * 40.0 / 3.6 / 1.9 / 72.0
    alone = ridden({"readings.no_load.battery_A": 0.0}).range_km.value or 0.0
    assert ridden().range_km.value == pytest.approx(32.0 * 40.0 / (32.0 * 40.0 / alone + idle_A))


def test_without_its_no_load_losses_a_range_is_at_most_what_the_road_takes() -> None:
    alone, ride = ridden({"readings.no_load.battery_A": 0.0}), without(*NO_LOAD)
    for name in ("range_km", "stop_and_go_range_km"):
        shown = figure(ride, name)
        assert shown.low is None and shown.missing >= {"readings.no_load.rpm"}
        assert shown.high is not None
        assert shown.high > (figure(alone, name).value or math.inf) * 0.999


def test_the_stated_no_load_current_stands_in_for_the_test() -> None:
    """By hand: 4 A at 60 rpm/V × U are 4/60 W a turn a minute, whatever the U."""
    values = {**WHOLE, "motor.no_load_A": 4.0}
    stated = ride_of(book({k: v for k, v in values.items() if k not in NO_LOAD}), cruise_km_h=40.0)
    none = ride_of(book({**WHOLE, "readings.no_load.battery_A": 0.0}), cruise_km_h=40.0)
    idle_A = 4.0 / 60.0 * 60.0 * 6.0 * 40.0 / 3.6 / 1.9 / 72.0
    assert none.range_km.value is not None
    expected = 32.0 * 40.0 / (32.0 * 40.0 / none.range_km.value + idle_A)
    assert stated.range_km.value == pytest.approx(expected)


def test_other_loads_shorten_a_range_by_what_they_draw() -> None:
    """By hand: 2 A and 144 W of 72 V are 4 A, at each moment of the ride and of the stand in traffic."""
    loads = {"lights": {"current_A": 2.0}, "heater": {"power_W": 144.0}}
    plain, ride = ridden(), ridden({"wiring.loads": loads})
    assert plain.range_km.value is not None
    expected = 32.0 * 40.0 / (32.0 * 40.0 / plain.range_km.value + 4.0)
    assert ride.range_km.value == pytest.approx(expected)
    (cycle,) = [one for one in SCHEDULES if one.name == ride.schedule]
    metres = _metres(plain, cycle)
    kilometres, seconds = plain.stop_and_go_range_km.value or 0.0, sum(cycle[2:])
    drawn_As = 32.0 * 3600.0 / kilometres * metres / 1000.0 + 4.0 * seconds
    assert ride.stop_and_go_range_km.value == pytest.approx(
        32.0 * 3600.0 / drawn_As * metres / 1000.0, rel=1e-3
    )


def _metres(ride: Ride, cycle: Schedule) -> float:
    """Way of a cycle: speed up, hold, coast in small steps, brake."""
    assert ride.road is not None
    top = cycle.speed_km_h / 3.6
    speed, way = top, top * (cycle.gather_s / 2.0 + cycle.hold_s)
    for _ in range(10000):
        way += speed * cycle.coast_s / 10000
        slowed_N = road_resistance(ride.road, speed * 3.6)
        speed -= slowed_N / ride.road.total_kg * cycle.coast_s / 10000
    return way + speed * cycle.brake_s / 2.0


def test_a_cutoff_above_the_empty_cell_leaves_charge_and_a_range_is_at_most() -> None:
    """Half a volt a cell above empty nobody knows how much is left: the discharge curve is not entered."""
    known = {"pack.cell.working_minimum_V": 2.9}
    assert ridden(known).range_km.value == ridden().range_km.value  # 58 V of 20 cells
    early = ridden({**known, "settings.low_voltage.cutoff_V": 60.0}).range_km
    assert (early.low, early.high) == (None, ridden().range_km.value)
    assert "cutoff" in early.reason


def test_regen_weakens_with_speed_by_its_battery_current() -> None:
    """By hand: 10 A of 72 V over 0.96 are 750 W, of which the copper's 3·R·I² comes on top."""
    ride = ridden({"settings.regen.battery_current_A": 10.0})
    metre_per_s, ohm = 40.0 / 3.6, 0.010 * (1.0 + 0.00393 * 60.0)
    newton = (ride.regen_deceleration_m_per_s2.value or 0.0) * 170.0
    per_A = 0.19493 * 6.0 * 3.3069
    copper_W = 3.0 * ohm * (newton / per_A) ** 2
    assert newton * metre_per_s == pytest.approx(750.0 + copper_W, rel=1e-4)
    assert ride.regen.most.value == pytest.approx(60.0 * per_A / 170.0, rel=1e-4)
    knee = (750.0 + 3.0 * ohm * 60.0**2) / (60.0 * per_A) * 3.6
    assert ride.regen.most_to_km_h == pytest.approx(knee, rel=1e-4)
    speeds = [speed for speed, _ in ride.regen.curve]
    slows = [at.value or 0.0 for _, at in ride.regen.curve]
    assert speeds == sorted(speeds) and slows == sorted(slows, reverse=True)
    assert speeds[-1] == ride.flat_top_speed_km_h.value


@pytest.mark.parametrize(
    "missing",
    [
        "settings.regen.phase_current_A_rms",
        "settings.regen.battery_current_A",
        "motor.phase_to_neutral_mohm",
        "vehicle.rider_kg",
        "vehicle.wheels",
    ],
)
def test_regen_of_which_something_is_missing_is_no_more_than_told(missing: str) -> None:
    exact, ride = ridden(), without(missing)
    truth = [exact.regen_deceleration_m_per_s2.value, exact.regen.most.value]
    for known, shown in zip(
        truth, (ride.regen_deceleration_m_per_s2, ride.regen.most), strict=True
    ):
        assert known is not None
        assert shown.high is None or shown.high >= known * (1.0 - 1e-9)
        if shown.value is None:
            assert missing in shown.missing
        else:
            assert shown.value == pytest.approx(known)


@pytest.mark.parametrize(
    "missing", ["motor.kv_rpm_per_V", "drivetrain.ratio", "drivetrain.circumference_m"]
)
def test_regen_without_the_drive_is_not_guessed(missing: str) -> None:
    """Its force by a house's usual speed was above the true one, and said to be exact."""
    ride = without(missing)
    assert (ride.regen_deceleration_m_per_s2.high, ride.regen.most.high) == (None, None)
    assert ride.regen_deceleration_m_per_s2.missing == ride.peak_force_N.missing != frozenset()


def test_a_vehicle_without_regen_says_so() -> None:
    for name in ("phase_current_A_rms", "battery_current_A"):
        ride = ridden({f"settings.regen.{name}": 0.0})
        assert ride.regen_deceleration_m_per_s2 == Figure(reason="no regen is set")
