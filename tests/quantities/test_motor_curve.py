"""The end of full torque, held against the voltage equation that it solves."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities import motor_curve
from hypothesis import assume, given
from hypothesis import strategies as st

PARTS = st.tuples(
    st.floats(5.0, 100.0),  # V, phase
    st.floats(0.002, 0.1),  # Vs
    st.floats(0.001, 0.2),  # Ω
    st.floats(0.0, 2e-3),  # H
    st.floats(1.0, 200.0),  # A
)


@given(PARTS, st.floats(-100.0, 0.0))
def test_at_the_corner_the_phase_takes_exactly_the_volts_there_are(
    parts: tuple[float, float, float, float, float], d_A: float
) -> None:
    """Put back into the machine's voltage equation, the speed found uses up the volts."""
    volts, flux_Vs, ohm, henry, q_A = parts
    assume(ohm * math.hypot(q_A, d_A) < 0.99 * volts and flux_Vs + henry * d_A > 0.0)
    omega = motor_curve.corner_rad_per_s(volts, flux_Vs, ohm, henry, q_A, d_A, henry)
    d_V = ohm * d_A - omega * henry * q_A
    q_V = ohm * q_A + omega * (flux_Vs + henry * d_A)
    assert omega > 0.0
    assert math.hypot(d_V, q_V) == pytest.approx(volts)


@given(PARTS)
def test_inductance_only_lowers_the_corner(
    parts: tuple[float, float, float, float, float],
) -> None:
    """So a motor whose inductance is not told is given an upper bound."""
    volts, flux_Vs, ohm, henry, q_A = parts
    assume(ohm * q_A < 0.99 * volts)
    rms = q_A / math.sqrt(2.0)
    common = (math.sqrt(3.0) * volts, 1.0, flux_Vs, 1000.0 * ohm)
    with_it = motor_curve.voltage_corner(*common, 1e6 * henry, rms, 4)
    without = motor_curve.voltage_corner_without_inductance(*common, rms, 4)
    assert with_it <= without * (1.0 + 1e-9)


def test_without_current_the_corner_is_the_no_load_speed() -> None:
    """kv 60 on 50 V: 3000 rpm, and λ = 60 / (2π · kv · √3 · p)."""
    flux_Vs = 60.0 / (2.0 * math.pi * 60.0 * math.sqrt(3.0) * 5)
    assert motor_curve.voltage_corner(50.0, 1.0, flux_Vs, 10.0, 80.0, 0.0, 5) == pytest.approx(
        3000.0
    )


def test_a_winding_that_takes_all_the_volts_has_no_corner() -> None:
    """30 V cannot drive 100 A (rms) through 200 mΩ: √2 · 100 · 0.2 is over 30 / √3."""
    assert motor_curve.voltage_corner(30.0, 1.0, 0.01, 200.0, 100.0, 100.0, 5) == 0.0


def test_the_battery_corner_balances_power() -> None:
    """0.96 · 50 V · 60 A less 3 · 100² · 10 mΩ leaves 2580 W: 20 Nm of it at 1232 rpm."""
    rpm = motor_curve.battery_corner(20.0, 50.0, 60.0, 100.0, 10.0, 0.96)
    assert 20.0 * rpm * 2.0 * math.pi / 60.0 == pytest.approx(0.96 * 50.0 * 60.0 - 300.0)


def test_a_battery_limit_below_the_copper_loss_has_no_corner() -> None:
    """Full phase current is then not even held at a standstill."""
    assert motor_curve.battery_corner(20.0, 50.0, 5.0, 100.0, 10.0, 0.96) == 0.0


def test_full_torque_ends_at_the_lower_corner() -> None:
    """Volts or battery, whichever gives out first."""
    assert motor_curve.base(900.0, 1200.0) == 900.0
    assert motor_curve.base(1500.0, 1200.0) == 1200.0
