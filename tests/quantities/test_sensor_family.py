"""What a cold reading cannot tell of a thermistor."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities.operand import NotWorked
from gonogo.quantities.sensor_family import family_true_at_stop


def test_the_weakest_thermistor_has_the_resistance_of_the_stop() -> None:
    """IEC 60539-1, turned around: at the true temperature B 3380 has the ohms that B 3950 has at 125 °C."""
    true_degC = family_true_at_stop("ntc-10k-3950", 125.0)
    shown_ohm = 10_000.0 * math.exp(3950.0 * (1.0 / 398.15 - 1.0 / 298.15))
    fitted_ohm = 10_000.0 * math.exp(3380.0 * (1.0 / (true_degC + 273.15) - 1.0 / 298.15))
    assert fitted_ohm == pytest.approx(shown_ohm)
    assert true_degC > 145.0


def test_the_table_of_a_part_lies_below() -> None:
    """A printed part of B25/50 = 3380 K has 974 Ω at 100 °C, where B 3950 is at 88.6 °C."""
    shown_degC = 1.0 / (1.0 / 298.15 + math.log(974.0 / 10_000.0) / 3950.0) - 273.15
    assert 100.0 <= family_true_at_stop("ntc-10k-3950", shown_degC) <= 103.0


@pytest.mark.parametrize("kind", ["pt1000", "kty84-130", "ntc-47k-4050"])
def test_another_resistance_shows_cold(kind: str) -> None:
    """Who is told apart by a cold reading needs no warm one."""
    assert family_true_at_stop(kind, 120.0) == 120.0


def test_past_a_curve_nothing_is_said() -> None:
    """No number beyond what is known."""
    with pytest.raises(NotWorked):
        family_true_at_stop("ntc-10k-3380", 190.0)
