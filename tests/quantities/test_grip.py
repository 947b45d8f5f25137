"""Grip, load and regen on the driven wheel, each against mechanics worked by hand."""

from __future__ import annotations

import pytest
from gonogo.quantities import grip, road
from gonogo.quantities.operand import NotWorked


def test_a_front_wheel_lifts_where_both_moments_are_equal() -> None:
    """Half the weight on each wheel, centre of gravity as high as half the wheelbase: at 1 g."""
    assert grip.lift(50.0, 1200.0, 0.6) == pytest.approx(100.0)


def test_a_single_wheel_or_a_track_carries_everything() -> None:
    """Two wheels share as they usually do."""
    assert [grip.driven_usually(60.0, wheels) for wheels in (1, 2, 3)] == [100.0, 60.0, 60.0]


def test_regen_brakes_with_the_torque_that_would_drive() -> None:
    """The same current in the same motor, nothing taken off for the drivetrain."""
    assert grip.regen(80.0, 0.2, 7.0, 2.0) == road.push(16.0, 7.0, 1.0, 2.0)
    assert grip.regen_by_battery(20.0, 50.0, 36.0) == pytest.approx(100.0)  # 1 kW at 10 m/s


def test_a_wet_tyre_holds_less() -> None:
    """Coulomb: the friction coefficient times the load on the tyre."""
    assert grip.grip(1000.0, 60.0, 0.8, 0.4, wet=False) == pytest.approx(480.0)
    assert grip.grip(1000.0, 60.0, 0.8, 0.4, wet=True) == pytest.approx(240.0)


def test_load_on_a_wheel_is_shared_by_the_driven_ones() -> None:
    """On three wheels nobody can know whether one or two are driven."""
    assert grip.wheel_load(300.0, 50.0, 2) == 75.0
    assert grip.wheel_load_of_one(300.0, 50.0, 2) == 150.0
    with pytest.raises(NotWorked):
        grip.wheel_load_of_one(300.0, 50.0, 3)
