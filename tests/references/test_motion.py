"""Motors, tyres, air and road loads (data 07, 08 and 10)."""

from __future__ import annotations

import math
from typing import Any

import pint
import pytest
from ambiance import Atmosphere
from gonogo.quantities import drivetrain, motor, motor_speed, ride, road
from gonogo.quantities.motor_curve import corner_rad_per_s
from gonogo.quantities.tyre import diameter_mm, rim_mm
from gonogo.riding.course import Road, cruising_range, road_resistance, steepest_start
from gonogo.riding.drive import Drive
from gonogo.tables.table import column

from .reference import rows

Row = dict[str, Any]
UNITS = pint.UnitRegistry()
TYRES = "07_tyres"
MOTORS = "08_motor_theory"
VEHICLES = "10_vehicle"


def _rpm(rad_per_s: float, pole_pairs: int) -> float:
    return rad_per_s * 60.0 / (2.0 * math.pi * pole_pairs)


def _kv(flux_Vs: float, pole_pairs: int) -> float:
    return 60.0 / (2.0 * math.pi * math.sqrt(3.0) * flux_Vs * pole_pairs)


@pytest.mark.parametrize("row", rows(TYRES, "motorcycle_rim_code"))
def test_rim_codes_are_the_published_ones(row: Row) -> None:
    """UN R75: the code in inches, to the whole millimetre; a library turns the inches."""
    assert rim_mm(row["code"]) == row["d_mm"]
    assert round((row["code"] * UNITS.inch).m_as("mm")) == row["d_mm"]


@pytest.mark.parametrize("row", rows(TYRES, "bicycle_rim_diameter"))
def test_bead_seats_are_the_published_ones(row: Row) -> None:
    """ISO 5775."""
    assert row["bead_seat_mm"] in column("bead_seats", "bead_seat_mm", "letter")


@pytest.mark.parametrize("row", rows(TYRES, "speed_symbol"))
def test_speed_symbols_are_the_published_ones(row: Row) -> None:
    """UN R75 and R54."""
    assert drivetrain.tyre_speed(row["symbol"]) == row["speed_kmh"]


@pytest.mark.parametrize(
    "row", [*rows(TYRES, "motorcycle_overall_diameter"), *rows(TYRES, "bicycle_overall_diameter")]
)
def test_tyres_have_the_diameter_worked_out_elsewhere(row: Row) -> None:
    """Within 1 mm, and the circumference with it."""
    ours_mm = diameter_mm(row["designation"])
    assert ours_mm == pytest.approx(row["nominal_d_mm"], abs=1.0)
    circumference_mm = 1000.0 * drivetrain.circumference_of_tyre(ours_mm)
    if "circumference_mm" in row:
        assert circumference_mm == pytest.approx(row["circumference_mm"], abs=3.5)


@pytest.mark.parametrize("row", rows(TYRES, "speed_examples"))
def test_speeds_are_those_of_a_unit_library(row: Row) -> None:
    """0.5 %; the turns a minute are made kilometres an hour by a library of units."""
    circumference_m = drivetrain.circumference_of_tyre(diameter_mm(row["tyre"]))
    speed = ride.speed_at_limit(row["motor_rpm"], row["reduction"], circumference_m)
    assert speed == pytest.approx(row["speed_kmh"], rel=5e-3)
    wheel = row["motor_rpm"] * UNITS.revolution / UNITS.minute / row["reduction"]
    library = wheel * (row["nominal_d_mm"] * UNITS.mm / 2.0) / UNITS.radian
    assert library.m_as("km/hour") == pytest.approx(row["speed_kmh"], abs=6e-3)


@pytest.mark.parametrize("row", rows(MOTORS, "kv_kt"))
def test_kv_flux_and_torque_constant_are_the_published_ones(row: Row) -> None:
    """motulator's machines, 0.1 %."""
    kv, pairs = row["kv_rpm_per_v"], row["pole_pairs"]
    assert motor.flux_linkage(kv, pairs) == pytest.approx(row["psi_f_vs"], rel=1e-3)
    per_rms = motor.torque_constant(kv)
    assert per_rms == pytest.approx(row["kt_phase_rms"], rel=1e-3)
    assert per_rms / math.sqrt(2.0) == pytest.approx(row["kt_phase_peak"], rel=1e-3)
    line_V = motor_speed.back_emf(60.0 / (2.0 * math.pi), kv)
    assert line_V == pytest.approx(row["ke_ll_peak_vs"], rel=1e-3)


@pytest.mark.parametrize("row", rows(MOTORS, "electrical_frequency"))
def test_electrical_speed_is_the_published_one(row: Row) -> None:
    """Mechanical turns times pole pairs."""
    electrical_rpm = motor_speed.electrical(row["rpm"], row["pole_pairs"])
    assert electrical_rpm == row["electrical_rpm"]
    assert electrical_rpm / 60.0 == pytest.approx(row["f_hz"], abs=0.01)


@pytest.mark.parametrize("row", rows(MOTORS, "operating_points"))
def test_the_voltage_corner_is_the_published_base_speed(row: Row) -> None:
    """motulator's machines, 0.1 %, buried magnets and weakening current included."""
    arguments = (row["psi_f"], row["r"], row["lq_mh"] / 1000.0)
    volts = row["vdc"] / math.sqrt(3.0)
    omega = corner_rad_per_s(volts, *arguments, row["iq"], row["id"], row["ld_mh"] / 1000.0)
    assert omega / (2.0 * math.pi) == pytest.approx(row["f_base_hz"], rel=1e-3)
    assert _rpm(omega, row["pp"]) == pytest.approx(row["base_rpm"], rel=1e-3)
    no_load_rpm = motor_speed.no_load(1.0, _kv(row["psi_f"], row["pp"]), row["vdc"])
    assert no_load_rpm == pytest.approx(row["noload_rpm"], rel=1e-3)


@pytest.mark.parametrize(
    "row", [param for param in rows(MOTORS, "operating_points") if param.values[0]["id"] == 0]
)
def test_torque_is_the_published_one_without_weakening(row: Row) -> None:
    """With weakening current a buried-magnet motor gives reluctance torque too, which we leave out:
    the published 134.1 Nm of the first machine would be 59.4 by its magnets alone."""
    constant = motor.torque_constant(_kv(row["psi_f"], row["pp"]))
    assert motor.torque(constant, row["iq"] / math.sqrt(2.0)) == pytest.approx(row["torque"], 1e-3)


@pytest.mark.parametrize("row", rows(MOTORS, "back_emf_in_field_weakening"))
def test_back_emf_above_the_pack_is_the_published_one(row: Row) -> None:
    """0.1 %, and on the same side of the pack's volts."""
    volts = motor_speed.back_emf(row["rpm"], _kv(row["psi_f"], row["pp"]))
    assert volts == pytest.approx(row["line_peak_v"], rel=1e-3)
    assert (volts > row["vdc"]) is row["exceeds_vdc"]


def test_air_is_that_of_the_standard_atmosphere_at_the_sea() -> None:
    """ISO 2533 as the library has it: hills make air thinner, so that this is the careful side."""
    library = float(Atmosphere(0.0).density[0])
    assert pytest.approx(library, rel=1e-5) == ride.SEA_LEVEL_kg_per_m3


@pytest.mark.parametrize("row", rows(VEHICLES, "power_balance"))
def test_road_power_is_the_published_one(row: Row) -> None:
    """The library's consumption model, 0.2 %."""
    speed = row["speed_kmh"] / 3.6
    arguments = (row["mass_kg"], speed, row["crr"], row["cda_m2"], row["rho"])
    watt = ride.power_W(*arguments, grade_percent=row["grade_pct"])
    assert watt == pytest.approx(row["p_wheel_w"], rel=2e-3)


@pytest.mark.parametrize("row", rows(VEHICLES, "power_balance"))
def test_the_force_that_holds_a_climb_is_the_published_power_less_the_air(row: Row) -> None:
    """The same rows: power by speed, without the air's share."""
    speed = row["speed_kmh"] / 3.6
    air_N = row["rho"] * row["cda_m2"] * speed**2 / 2.0
    ours_N = road.hold(row["mass_kg"] * ride.GRAVITY_m_per_s2, row["grade_pct"], row["crr"])
    assert ours_N == pytest.approx(row["p_wheel_w"] / speed - air_N, rel=5e-3)


@pytest.mark.parametrize(
    "row",
    [
        param
        for param in rows(VEHICLES, "power_balance")
        if param.values[0]["grade_pct"] == 0 and param.values[0]["rho"] == 1.225
    ],
)
def test_power_at_the_limit_is_the_published_one_on_the_level(row: Row) -> None:
    """The same rows through the quantity."""
    arguments = (row["speed_kmh"], row["mass_kg"], row["crr"], row["cda_m2"])
    assert ride.power_at_limit(*arguments) == pytest.approx(row["p_wheel_w"], rel=2e-3)


@pytest.mark.parametrize("row", rows(VEHICLES, "road_forces"))
def test_road_resistance_is_the_published_sum(row: Row) -> None:
    """Rolling, climbing and air of a course's three vehicles, at two speeds; 0.2 %."""
    slope_percent = 100.0 * math.tan(math.radians(8.0))
    taken = Road(row["mass_kg"], row["crr"], row["cd"] * row["area_m2"], slope_percent, 1.2)
    steady_N = row["rolling_n"] + row["slope_n"]
    assert road_resistance(taken, 30.0) == pytest.approx(steady_N + row["air_30_n"], rel=2e-3)
    assert road_resistance(taken, 80.0) == pytest.approx(steady_N + row["air_80_n"], rel=2e-3)


@pytest.mark.parametrize("row", rows(VEHICLES, "steepest_grade"))
def test_the_steepest_grade_is_the_published_one(row: Row) -> None:
    """What the air takes at its speed is taken off the force: the rest climbs, as from a standstill."""
    pound_N = (1.0 * UNITS.pound_force).m_as("newton")
    left_N = (row["available_lb"] - row["air_lb"]) * pound_N
    rolling = row["rolling_lb"] / row["weight_lb"]
    ours = steepest_start(left_N, row["weight_lb"] * pound_N, rolling)
    assert ours == pytest.approx(row["grade_pct"], rel=5e-3)


@pytest.mark.parametrize("row", rows(VEHICLES, "energy_per_distance"))
def test_energy_per_distance_is_the_published_one(row: Row) -> None:
    """Through the range of a charge: voltage × charge over the distance, the losses in the drivetrain."""
    drive = Drive(20.0, 200.0, 100.0, 40.0, 1.0, 2.0, efficiency=row["efficiency"])
    taken = Road(row["mass_kg"], row["crr"], row["area_m2"], density_kg_per_m3=1.3)
    km = cruising_range(drive, taken, row["speed_kmh"], 10.0)
    assert isinstance(km, float)
    assert 40.0 * 10.0 / 1000.0 / km * 100.0 == pytest.approx(row["kwh_per_100km"], rel=3e-2)


@pytest.mark.parametrize("row", rows(VEHICLES, "speed_of_equal_air_and_rolling"))
def test_air_takes_as_much_as_rolling_at_the_published_speed(row: Row) -> None:
    taken = Road(row["mass_kg"], row["crr"], row["area_m2"], density_kg_per_m3=1.3)
    rolling_N = road_resistance(taken, 0.0)
    speed_km_h = 3.6 * row["speed_m_per_s"]
    air_N = road_resistance(taken, speed_km_h) - rolling_N
    assert math.sqrt(rolling_N / air_N) == pytest.approx(1.0, rel=3e-2)
