"""Precharge."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities import precharge


def test_three_time_constants_bring_95_percent() -> None:
    """1 − e⁻³ is 0.9502."""
    seconds = precharge.time(100.0, 2200.0)
    assert 1.0 - math.exp(-seconds / (100.0 * 2200e-6)) == pytest.approx(0.9502, abs=1e-4)


def test_precharge_energy_and_peaks_follow_the_textbook() -> None:
    """2 mF on 50 V hold 2.5 J; 50 Ω draw 1 A and 50 W at first."""
    assert precharge.energy(2000.0, 50.0) == pytest.approx(2.5)
    assert precharge.peak_power(50.0, 50.0) == 50.0
    assert precharge.peak_current(50.0, 50.0) == 1.0


@pytest.mark.parametrize(("seconds", "joules"), [(0.5, 25.0), (5.0, 250.0), (20.0, 250.0)])
def test_a_resistor_bears_five_times_its_rating_for_five_seconds_at_most(
    seconds: float, joules: float
) -> None:
    """Past the pulse it is loaded continuously, and longer does not help."""
    assert precharge.allowed(5.0, 10.0, seconds) == joules
