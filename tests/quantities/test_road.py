"""The road and the air."""

from __future__ import annotations

from gonogo.quantities import ride


def test_a_standing_vehicle_asks_for_no_power() -> None:
    """Even on a hill."""
    assert ride.power_W(200.0, 0.0, 0.02, 0.7, 1.2, grade_percent=20.0) == 0.0
