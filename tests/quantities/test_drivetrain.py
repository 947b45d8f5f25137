"""Ratio and rolling circumference."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities import drivetrain

STAGES = [
    {"driving_teeth": 12, "driven_teeth": 36},
    {"driving_teeth": 15, "driven_teeth": 45},
]


def test_stages_and_the_gear_inside_the_motor_multiply() -> None:
    """3 × 3 = 9, and 45 with 5 to 1 inside the hub."""
    assert drivetrain.ratio(drivetrain.ratio_from_stages(STAGES)) == pytest.approx(9.0)
    assert drivetrain.ratio_from_stages(STAGES, 5.0) == pytest.approx(45.0)


def test_a_measured_circumference_is_only_a_change_of_unit() -> None:
    """Nothing is taken off for the rider: he sat on it."""
    assert drivetrain.circumference(2050.0) == 2.05


def test_a_tyres_circumference_is_that_of_a_circle() -> None:
    """π times the diameter."""
    assert drivetrain.circumference_of_tyre(1000.0) == pytest.approx(math.pi)
