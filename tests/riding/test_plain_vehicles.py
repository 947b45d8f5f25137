"""Three whole vehicles of our own, each figure of their ride worked out in plain arithmetic."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest
from gonogo.documents.location import Place
from gonogo.documents.profile import Given
from gonogo.documents.schema import allowances
from gonogo.quantities.book import Book
from gonogo.riding.ride_figures import Figure, Ride
from gonogo.riding.rider import ride_of

from .plain_vehicle import PlainVehicle

NOWHERE = Place("bench.yaml", 1, 1)
EXACT = 1e-3
HOUSE = {name: allowance.default for name, allowance in allowances().items()} | {
    "house.modulation": 0.95,
    "house.efficiency_controller": 0.96,
    "house.grip_dry": 0.8,
    "house.driven_load_percent": 60.0,
    "house.pack_extra_mohm": 10.0,
    "house.cable_degC": 60.0,
}
# Of copper at 60 °C over that at 20 °C (IEC 60028).
COPPER_60 = 1.0 + 0.00393 * 40.0
WHEEL = {"vehicle.wheels": 2, "vehicle.wet": False, "vehicle.use": "private_land"}


def loop_ohm(series: int, parallel: int, cell_mohm: float, cable_m: float) -> float:
    """Cells, 10 mΩ of joints and BMS, and both leads of 25 mm²: 0.780 mΩ/m at 20 °C (IEC 60228)."""
    return (series / parallel * cell_mohm + 10.0 + 2.0 * cable_m * 0.780 * COPPER_60) / 1000.0


# A scooter with a hub motor, which the pack's voltage ends.
SCOOTER = PlainVehicle(
    kg=62.0 + 83.0,
    rolling=0.014,
    drag_area_m2=0.58,
    grade=0.06,
    air_degC=30.0,
    nominal_V=14 * 3.62,
    capacity_Ah=6 * 3.4,
    loop_ohm=loop_ohm(14, 6, 28.0, 0.7),
    battery_A=34.0,
    phase_A=58.0,
    weakening_A=0.0,
    max_rpm=900.0,
    regen_A=22.0,
    regen_battery_A=9.0,
    idle_W=55.0,
    idle_rpm=560.0,
    kv=11.6,
    pairs=20.0,
    ohm_at_20=0.105,
    henry=3.2e-4,
    ratio=1.0,
    circumference_m=1.42,
    efficiency=1.0,
    continuous_A=24.0,
    burst_A=62.0,
    burst_s=60.0,
    limit_degC=130.0,
    motor_kg=6.1,
    winding_s=80.0,
    taper_degC=95.0,
    stop_degC=110.0,
)
# A light motorcycle with a chain, which its battery current ends on the flat.
MOTORCYCLE = PlainVehicle(
    kg=104.0 + 88.0,
    rolling=0.016,
    drag_area_m2=0.64,
    grade=0.16,
    air_degC=34.0,
    nominal_V=24 * 3.65,
    capacity_Ah=10 * 4.1,
    loop_ohm=loop_ohm(24, 10, 22.0, 0.9),
    battery_A=72.0,
    phase_A=210.0,
    weakening_A=0.0,
    max_rpm=6400.0,
    regen_A=70.0,
    regen_battery_A=16.0,
    idle_W=190.0,
    idle_rpm=4600.0,
    kv=84.0,
    pairs=5.0,
    ohm_at_20=0.0072,
    henry=7.5e-5,
    ratio=6.4,
    circumference_m=1.94,
    efficiency=0.93,
    continuous_A=86.0,
    burst_A=215.0,
    burst_s=40.0,
    limit_degC=155.0,
    motor_kg=10.5,
    winding_s=55.0,
    taper_degC=112.0,
    stop_degC=128.0,
)
# A geared trike that weakens its field, which its motor speed limit ends.
TRIKE = PlainVehicle(
    kg=148.0 + 92.0,
    rolling=0.018,
    drag_area_m2=0.85,
    grade=0.09,
    air_degC=38.0,
    nominal_V=16 * 3.2,
    capacity_Ah=4 * 25.0,
    loop_ohm=loop_ohm(16, 4, 3.5, 1.2),
    battery_A=95.0,
    phase_A=150.0,
    weakening_A=70.0,
    max_rpm=3350.0,
    regen_A=45.0,
    regen_battery_A=22.0,
    idle_W=110.0,
    idle_rpm=2800.0,
    kv=60.0,
    pairs=4.0,
    ohm_at_20=0.009,
    henry=1.7e-4,
    ratio=7.2,
    circumference_m=1.98,
    efficiency=0.9,
    continuous_A=80.0,
    burst_A=190.0,
    burst_s=45.0,
    limit_degC=155.0,
    motor_kg=12.0,
    winding_s=70.0,
    taper_degC=105.0,
    stop_degC=125.0,
)
CELLS = {"scooter": (14, 6, 3.62, 3.4, 28.0, 0.7), "motorcycle": (24, 10, 3.65, 4.1, 22.0, 0.9)}
CELLS["trike"] = (16, 4, 3.2, 25.0, 3.5, 1.2)
MASSES = {"scooter": (62.0, 83.0), "motorcycle": (104.0, 88.0), "trike": (148.0, 92.0)}
VEHICLES = {"scooter": SCOOTER, "motorcycle": MOTORCYCLE, "trike": TRIKE}
CRUISES = {"scooter": 25.0, "motorcycle": 55.0, "trike": 30.0}
# Speed in km/h, and the seconds of gathering speed, holding it, coasting and braking: SAE J227a.
CYCLES = {
    "SAE J227a schedule B": (32.0, (19.0, 19.0, 4.0, 5.0)),
    "SAE J227a schedule C": (48.0, (18.0, 20.0, 8.0, 9.0)),
    "SAE J227a schedule D": (72.0, (28.0, 50.0, 10.0, 9.0)),
}
CLASSES = {130.0: "B", 155.0: "F"}  # IEC 60085


def entered(name: str) -> dict[str, Any]:
    """The entries of a profile that say the same."""
    plain = VEHICLES[name]
    series, parallel, cell_V, cell_Ah, cell_mohm, cable_m = CELLS[name]
    vehicle_kg, rider_kg = MASSES[name]
    return {
        **WHEEL,
        "vehicle.mass_kg": vehicle_kg,
        "vehicle.rider_kg": rider_kg,
        "vehicle.drag_area_m2": plain.drag_area_m2,
        "vehicle.rolling_resistance": plain.rolling,
        "vehicle.steepest_grade_percent": 100.0 * plain.grade,
        "vehicle.max_ambient_degC": plain.air_degC,
        "pack.series": series,
        "pack.parallel": parallel,
        "pack.cell.nominal_V": cell_V,
        "pack.cell.full_V": cell_V * 1.15,
        "pack.cell.capacity_Ah": cell_Ah,
        "pack.cell.resistance_mohm": cell_mohm,
        "wiring.battery_cable_mm2": 25.0,
        "wiring.battery_cable_m": cable_m,
        "controller.battery_current_A": 400.0,
        "controller.phase_current_A_rms": 600.0,
        "motor.pole_pairs": plain.pairs,
        "motor.kv_rpm_per_V": plain.kv,
        "motor.phase_to_neutral_mohm": 1000.0 * plain.ohm_at_20,
        "motor.phase_inductance_uH": 1e6 * plain.henry,
        "motor.phase_current_A_rms": plain.continuous_A,
        "motor.phase_current_burst_A_rms": plain.burst_A,
        "motor.phase_current_burst_s": plain.burst_s,
        "motor.insulation_class": CLASSES[plain.limit_degC],
        "motor.magnet_grade": "EH",
        "motor.mass_kg": plain.motor_kg,
        "motor.winding_time_s": plain.winding_s,
        "drivetrain.ratio": plain.ratio,
        "drivetrain.circumference_m": plain.circumference_m,
        "drivetrain.efficiency": plain.efficiency,
        "settings.battery_current_A": plain.battery_A,
        "settings.phase_current_A_rms": plain.phase_A,
        "settings.field_weakening_A_rms": plain.weakening_A,
        "settings.max_rpm": plain.max_rpm,
        "settings.low_voltage.taper_from_V": 0.7 * plain.nominal_V,
        "settings.low_voltage.cutoff_V": 0.65 * plain.nominal_V,
        "settings.regen.phase_current_A_rms": plain.regen_A,
        "settings.regen.battery_current_A": plain.regen_battery_A,
        "readings.no_load.battery_A": plain.idle_W / plain.nominal_V,
        "readings.no_load.pack_V": plain.nominal_V,
        "readings.no_load.rpm": plain.idle_rpm,
        "settings.temperature.motor.taper_from_degC": plain.taper_degC,
        "settings.temperature.motor.stop_degC": plain.stop_degC,
    }


@cache
def ridden(name: str, grade_percent: float | None = None) -> Ride:
    given = {key: Given(key, told, key, told, 1.0, NOWHERE) for key, told in entered(name).items()}
    return ride_of(Book(given, HOUSE, "2026-11-25"), "", grade_percent, CRUISES[name])


def told(figure: Figure) -> float:
    assert figure.value is not None, figure
    return figure.value


EACH = pytest.mark.parametrize("name", VEHICLES)


@EACH
def test_top_speed_is_where_force_and_road_meet(name: str) -> None:
    """On the flat and on the vehicle's hill."""
    plain = VEHICLES[name]
    assert told(ridden(name).top_speed_km_h) == pytest.approx(plain.top_speed(0.0), rel=EXACT)
    steep = ridden(name, 100.0 * plain.grade)
    assert told(steep.top_speed_km_h) == pytest.approx(plain.top_speed(plain.grade), rel=EXACT)
    assert told(steep.top_speed_km_h) < told(ridden(name).top_speed_km_h) * 0.999


def test_each_of_the_three_is_ended_by_another_limit() -> None:
    """Else two of them would try the same."""
    assert {name: ridden(name).limited_by for name in VEHICLES} == {
        "scooter": "pack.loaded_V",
        "motorcycle": "settings.battery_current_A",
        "trike": "settings.max_rpm",
    }


@EACH
def test_the_push_is_current_times_torque_constant_through_the_gear(name: str) -> None:
    assert told(ridden(name).peak_force_N) == pytest.approx(VEHICLES[name].force(0.0, 0.0), 1e-6)


@EACH
def test_the_steepest_start_is_where_the_push_just_holds_the_weight(name: str) -> None:
    expected = VEHICLES[name].steepest_start()
    assert told(ridden(name).steepest_start_percent) == pytest.approx(expected, rel=EXACT)


@pytest.mark.parametrize("name", ["motorcycle", "trike"])
def test_the_time_to_50_is_mass_over_the_force_that_is_left(name: str) -> None:
    assert told(ridden(name).zero_to_50_s) == pytest.approx(VEHICLES[name].zero_to(50.0), rel=5e-3)


def test_the_scooter_never_reaches_50() -> None:
    assert VEHICLES["scooter"].top_speed(0.0) < 50.0
    assert ridden("scooter").zero_to_50_s == Figure(reason="50 km/h is not reached")


@EACH
def test_the_range_at_a_steady_speed_is_charge_over_current(name: str) -> None:
    expected = VEHICLES[name].cruise_range(CRUISES[name])
    assert told(ridden(name).range_km) == pytest.approx(expected, rel=EXACT)


@EACH
def test_the_range_in_stop_and_go_is_that_of_the_cycle_in_small_steps(name: str) -> None:
    ride = ridden(name)
    expected = VEHICLES[name].cycle_range(*CYCLES[ride.schedule])
    assert told(ride.stop_and_go_range_km) == pytest.approx(expected, rel=EXACT)


@EACH
def test_regen_slows_by_its_force_over_the_mass(name: str) -> None:
    """Slow, at the cruise and at the top speed, where the battery's limit leaves less of it."""
    plain, ride = VEHICLES[name], ridden(name)
    top_km_h, fastest = ride.regen.curve[-1]
    slows = {0.0: ride.regen.most, CRUISES[name]: ride.regen_deceleration_m_per_s2}
    slows[top_km_h] = fastest
    for km_h, figure in slows.items():
        assert told(figure) == pytest.approx(plain.regen(km_h), rel=EXACT)
    assert told(fastest) < told(ride.regen_deceleration_m_per_s2) < told(ride.regen.most)
    assert ride.regen.most_to_km_h is not None
    assert plain.regen(ride.regen.most_to_km_h * 1.01) < told(ride.regen.most) * 0.999


@EACH
def test_the_minutes_are_those_of_winding_and_case_in_small_steps(name: str) -> None:
    """At the current that the hill takes at the speed that the drive holds there; 1 %."""
    plain, ride = VEHICLES[name], ridden(name)
    assert ride.hill.phase_A_rms == pytest.approx(plain.climb_current(), rel=EXACT)
    assert told(ride.minutes_to_taper) == pytest.approx(plain.minutes_to(plain.taper_degC), 1e-2)
    assert told(ride.minutes_to_stop) == pytest.approx(plain.minutes_to(plain.stop_degC), 1e-2)
