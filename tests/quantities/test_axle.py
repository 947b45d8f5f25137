"""The axle of a hub motor."""

from __future__ import annotations

import pytest
from gonogo.quantities import axle


@pytest.mark.parametrize(
    ("ratio", "internal_ratio", "is_hub"),
    [
        pytest.param(1.0, 1.0, True, id="direct drive"),
        pytest.param(5.0, 5.0, True, id="geared inside the hub"),
        pytest.param(5.0, 1.0, False, id="a chain from motor to wheel"),
        pytest.param(20.0, 5.0, False, id="a gear in the motor and a chain"),
    ],
)
def test_a_hub_motor_has_all_its_reduction_inside(
    ratio: float, internal_ratio: float, is_hub: bool
) -> None:
    """Only there does the axle bear the wheel's torque."""
    assert axle.is_hub_motor_by_gear(ratio, internal_ratio) is is_hub


def test_the_force_on_the_flats_is_the_couple_over_its_arm() -> None:
    """60 Nm at the motor through a gear of 5 on flats of 12 mm: 25 kN."""
    assert axle.axle_torque(60.0, 5.0) == pytest.approx(300.0)
    assert axle.axle_flats(300.0, 12.0) == pytest.approx(25000.0)
    assert axle.axle_flats(40.0) == axle.axle_flats(40.0, 10.0)
