"""The drive at full throttle: every point lies inside all limits, and none beyond it does."""

from __future__ import annotations

import math

import pytest
from gonogo.riding.drive import (
    BY_GRIP,
    BY_SPEED,
    BY_TAPER,
    BY_VOLTAGE,
    BY_WEAKENING,
    Drive,
    OperatingPoint,
    driven_at,
    fullest,
    rpm_at,
)
from hypothesis import given, settings
from hypothesis import strategies as st

ROOT_2, ROOT_3 = math.sqrt(2.0), math.sqrt(3.0)
PLAIN = Drive(
    kv_rpm_per_V=60.0,
    phase_A_rms=150.0,
    battery_A=80.0,
    open_V=60.0,
    ratio=5.0,
    circumference_m=1.9,
    efficiency=0.92,
    phase_ohm=0.012,
    inductance_H=90e-6,
    pole_pairs=5.0,
    loop_ohm=0.05,
    modulation=0.95,
    controller_efficiency=0.96,
)

drives = st.builds(
    Drive,
    kv_rpm_per_V=st.floats(10.0, 150.0),
    phase_A_rms=st.floats(20.0, 400.0),
    battery_A=st.floats(10.0, 250.0),
    open_V=st.floats(24.0, 120.0),
    ratio=st.floats(1.0, 12.0),
    circumference_m=st.floats(0.8, 2.2),
    efficiency=st.floats(0.8, 1.0),
    phase_ohm=st.floats(0.002, 0.1),
    inductance_H=st.floats(2e-5, 5e-4),
    pole_pairs=st.integers(2, 25).map(float),
    weakening_A_rms=st.sampled_from([0.0, 30.0, 120.0]),
    weakening_within=st.booleans(),
    loop_ohm=st.floats(0.005, 0.2),
    modulation=st.floats(0.85, 1.0),
    controller_efficiency=st.floats(0.9, 1.0),
    taper_from_V=st.just(0.0),
    cutoff_V=st.just(0.0),
    max_rpm=st.just(math.inf),
    grip_N=st.just(math.inf),
    phase_limit=st.just(PLAIN.phase_limit),
    battery_limit=st.just(PLAIN.battery_limit),
)


def test_at_a_standstill_torque_is_the_constant_times_the_limit() -> None:
    """By hand: 150 A x √(3/2) x 60/(2π x 60) Nm/A, x 5 x 0.92 on a wheel of 1.9 m."""
    point = fullest(PLAIN, 0.0)
    torque_Nm = 150.0 * math.sqrt(1.5) / (2.0 * math.pi)
    assert point.torque_Nm == pytest.approx(torque_Nm)
    assert point.force_N == pytest.approx(torque_Nm * 5.0 * 0.92 * 2.0 * math.pi / 1.9)
    assert point.battery_A * point.loaded_V == pytest.approx(3.0 * 0.012 * 150.0**2 / 0.96)
    assert point.limited_by == "settings.phase_current_A_rms"


def test_at_speed_the_battery_limit_leaves_its_power() -> None:
    """By hand at 40 km/h: 80 A at 56 V, 0.96 of it to the motor, less the copper, is torque × speed."""
    point = fullest(PLAIN, 40.0)
    assert (point.limited_by, point.battery_A) == (
        "settings.battery_current_A",
        pytest.approx(80.0),
    )
    assert point.loaded_V == pytest.approx(60.0 - 80.0 * 0.05)
    shaft_W = 80.0 * 56.0 * 0.96 - 3.0 * 0.012 * point.phase_A_rms**2
    assert point.force_N * 40.0 / 3.6 == pytest.approx(0.92 * shaft_W)


@pytest.mark.parametrize(
    ("changed", "speed_km_h", "limit"),
    [
        ({}, 70.0, BY_VOLTAGE),
        ({"max_rpm": 2000.0}, 46.0, BY_SPEED),
        ({"grip_N": 200.0}, 10.0, BY_GRIP),
        ({"weakening_A_rms": 20.0}, 75.0, BY_WEAKENING),
        ({"taper_from_V": 58.0, "cutoff_V": 52.0}, 40.0, BY_TAPER),
        ({"battery_limit": "controller.battery_current_A"}, 40.0, "controller.battery_current_A"),
    ],
)
def test_what_limits_is_named(changed: dict[str, float], speed_km_h: float, limit: str) -> None:
    """The rider is told which setting to look at."""
    assert fullest(PLAIN._replace(**changed), speed_km_h).limited_by == limit  # type: ignore[arg-type]


def test_past_the_speed_limit_there_is_no_force_and_at_it_there_is() -> None:
    drive = PLAIN._replace(max_rpm=rpm_at(PLAIN, 45.0))
    assert fullest(drive, 45.0).force_N > 0.0
    assert fullest(drive, 45.1).force_N == 0.0


def test_on_the_taper_current_and_voltage_meet() -> None:
    """From 80 A at 58 V to nothing at 52 V, in a straight line."""
    point = fullest(PLAIN._replace(taper_from_V=58.0, cutoff_V=52.0), 40.0)
    assert point.battery_A == pytest.approx(80.0 * (point.loaded_V - 52.0) / 6.0)
    assert point.loaded_V == pytest.approx(60.0 - point.battery_A * 0.05)


def test_a_pack_below_its_cutoff_drives_nothing() -> None:
    drive = PLAIN._replace(taper_from_V=64.0, cutoff_V=62.0)
    assert fullest(drive, 20.0).force_N == pytest.approx(0.0, abs=1e-6)


def _needed_V(drive: Drive, point: OperatingPoint) -> float:
    """Peak phase voltage of the machine by its equations in the rotor's axes, written anew."""
    omega = point.rpm * 2.0 * math.pi / 60.0 * drive.pole_pairs
    flux_Vs = 60.0 / (2.0 * math.pi * drive.kv_rpm_per_V * ROOT_3 * drive.pole_pairs)
    d, q = -ROOT_2 * point.weakening_A_rms, ROOT_2 * point.across_A_rms
    v_d = drive.phase_ohm * d - omega * drive.inductance_H * q
    v_q = drive.phase_ohm * q + omega * (drive.inductance_H * d + flux_Vs)
    return math.hypot(v_d, v_q)


@settings(max_examples=200)
@given(drives, st.floats(0.0, 90.0))
def test_every_point_keeps_all_laws_and_limits(drive: Drive, speed_km_h: float) -> None:
    """Power in is power out and loss; the voltage is there; no current is past its limit."""
    point = fullest(drive, speed_km_h)
    if point.force_N <= 1e-6:
        return
    assert point.loaded_V == pytest.approx(
        drive.open_V - point.battery_A * drive.loop_ohm, rel=1e-6
    )
    wheel_W = point.force_N * speed_km_h / 3.6
    copper_W = 3.0 * drive.phase_ohm * point.phase_A_rms**2
    drawn_W = point.battery_A * point.loaded_V * drive.controller_efficiency
    assert drawn_W == pytest.approx(wheel_W / drive.efficiency + copper_W, rel=1e-6)
    allowed_V = drive.modulation * point.loaded_V / ROOT_3
    assert _needed_V(drive, point) <= allowed_V * (1.0 + 1e-6)
    assert point.battery_A <= drive.battery_A * (1.0 + 1e-9)
    assert point.weakening_A_rms <= drive.weakening_A_rms
    bounded = point.phase_A_rms if drive.weakening_within else point.across_A_rms
    assert bounded <= drive.phase_A_rms * (1.0 + 1e-9)


@settings(max_examples=60)
@given(drives, st.floats(0.0, 90.0))
def test_no_point_of_a_grid_gives_more(drive: Drive, speed_km_h: float) -> None:
    """Tried one by one: currents along and across, the sag of each by the power that it takes."""
    best = fullest(drive, speed_km_h)
    rpm = rpm_at(drive, speed_km_h)
    omega_m = rpm * 2.0 * math.pi / 60.0
    for across in (drive.phase_A_rms * share / 40.0 for share in range(1, 41)):
        if across <= best.across_A_rms * (1.0 + 1e-6):
            continue
        for weakening in (drive.weakening_A_rms * share / 20.0 for share in range(21)):
            tried = OperatingPoint(speed_km_h, 0.0, 0.0, rpm, across, weakening)
            whole = math.hypot(across, weakening)
            torque_Nm = math.sqrt(1.5) * 60.0 / (2.0 * math.pi * drive.kv_rpm_per_V) * across
            taken_W = torque_Nm * omega_m + 3.0 * drive.phase_ohm * whole**2
            source_W = taken_W / drive.controller_efficiency
            under = drive.open_V**2 - 4.0 * drive.loop_ohm * source_W
            if under < 0.0 or (drive.weakening_within and whole > drive.phase_A_rms):
                continue
            amperes = (drive.open_V - math.sqrt(under)) / (2.0 * drive.loop_ohm)
            allowed_V = drive.modulation * (drive.open_V - amperes * drive.loop_ohm) / ROOT_3
            fits = amperes <= drive.battery_A and _needed_V(drive, tried) <= allowed_V
            assert not fits, (across, weakening, best)


@settings(max_examples=60)
@given(drives, st.floats(0.0, 90.0), st.sampled_from(["phase_ohm", "loop_ohm", "inductance_H"]))
def test_what_is_not_known_is_taken_at_its_best(
    drive: Drive, speed_km_h: float, unknown: str
) -> None:
    """A loss left out, and without field weakening an inductance, gives no less force: so *at most*."""
    drive = drive._replace(weakening_A_rms=0.0) if unknown == "inductance_H" else drive
    without = drive._replace(**{unknown: 0.0})  # type: ignore[arg-type]
    force_N = fullest(drive, speed_km_h).force_N
    assert fullest(without, speed_km_h).force_N >= force_N * (1.0 - 1e-6) - 1e-6


def test_a_torque_that_does_not_fit_says_why() -> None:
    assert driven_at(PLAIN, 68.0, 150.0) in (BY_VOLTAGE, "settings.battery_current_A")


def test_almost_at_a_standstill_no_weakening_is_asked_for() -> None:
    """A speed that is nought but for rounding asks for no endless current."""
    drive = Drive(10.0, 79.0, 10.0, 24.0, 1.0, 1.0, 1.0, 0.09375, 0.0004947762966494912, 2.0)
    drive = drive._replace(loop_ohm=0.0625)
    almost = fullest(drive, 6.831228538333361e-133)
    assert almost.force_N == pytest.approx(fullest(drive, 0.0).force_N)
