"""The motor's currents: what flows, and what it withstands."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities import motor, motor_current
from gonogo.quantities.operand import NotWorked


def test_the_controller_may_hold_the_current_lower_than_the_setting() -> None:
    """Torque comes from the amperes that flow, not from those entered."""
    assert motor_current.driven(180.0, 150.0) == 150.0
    assert motor_current.driven(120.0, 150.0) == 120.0


def test_a_controller_without_the_setting_holds_a_multiple_of_its_battery_current() -> None:
    """Common practice: a bicycle controller of 15 A drives no more than about 38 A rms."""
    assert motor_current.driven_fixed(2.5, 15.0) == pytest.approx(37.5)


def test_torque_and_field_weakening_stand_at_a_right_angle() -> None:
    """350 and 250 A rms load the transistors with 430, not with 350 and not with 600."""
    assert motor_current.weakened(350.0, 250.0) == pytest.approx(430.1, abs=0.05)
    assert motor_current.weakened_within(250.0, True) == 250.0
    with pytest.raises(NotWorked):
        motor_current.weakened_within(250.0, False)


def test_the_label_current_is_rated_torque_over_the_torque_constant() -> None:
    """1 kW at 3000 rpm is 3.183 Nm; kv 60 makes 0.1949 Nm of each ampere rms."""
    torque_Nm = 1000.0 / (2.0 * math.pi * 3000.0 / 60.0)
    constant = motor.torque_constant(60.0)
    current = motor_current.label_current(1000.0, constant, 3000.0)
    assert current == pytest.approx(torque_Nm / constant)
    usual = motor_current.label_current_usual(1000.0, constant, 0.8, 0.95, 60.0, 50.0)
    assert usual == pytest.approx(motor_current.label_current(1000.0, constant, 2280.0))


def test_a_pedelec_motor_runs_a_little_over_its_label() -> None:
    """15 A of 36 V through 96 % and 85 % is 441 W, and a label of 250 W stands for 375 W."""
    ratio = motor_current.overload_by_power(15.0, 36.0, 0.96, 0.85, 1.5, 250.0)
    assert ratio == pytest.approx(440.6 / 375.0, abs=1e-3)
    assert motor_current.overload(250.0, 120.0) == pytest.approx(2.083, abs=1e-3)


def test_a_cable_carries_no_more_for_long_than_the_motor_withstands() -> None:
    """Bursts are short, and copper is slow."""
    assert motor_current.sustained(250.0, 120.0) == 120.0
    assert motor_current.sustained(100.0, 120.0) == 100.0
    assert motor_current.sustained_half(250.0) == 125.0
