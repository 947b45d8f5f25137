"""The road and the air."""

from __future__ import annotations

import pytest
from gonogo.quantities import ride


def test_a_standing_vehicle_asks_for_no_power() -> None:
    """Even on a hill."""
    assert ride.power_W(200.0, 0.0, 0.02, 0.7, 1.2, grade_percent=20.0) == 0.0


@pytest.mark.parametrize("height_m", [-2001.0, 11001.0])
def test_the_standard_atmosphere_ends_where_its_formula_does(height_m: float) -> None:
    """Nobody rides there."""
    with pytest.raises(ValueError, match="troposphere"):
        ride.air_density_kg_per_m3(height_m)
