"""Precharge."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities import precharge
from gonogo.quantities.operand import NO_MORE, Operand

from .test_book import book


def test_three_time_constants_bring_95_percent() -> None:
    """1 − e⁻³ is 0.9502."""
    seconds = precharge.time(100.0, 2200.0)
    assert 1.0 - math.exp(-seconds / (100.0 * 2200e-6)) == pytest.approx(0.9502, abs=1e-4)


def test_precharge_energy_and_peaks_follow_the_textbook() -> None:
    """2 mF on 50 V hold 2.5 J; 50 Ω draw 1 A and 50 W at first."""
    assert precharge.energy(2000.0, 50.0) == pytest.approx(2.5)
    assert precharge.peak_power(50.0, 50.0) == 50.0


@pytest.mark.parametrize(
    ("seconds", "charging_s", "joules"),
    [
        pytest.param(0.5, 2.0, 25.0, id="as long as it is on"),
        pytest.param(2.0, 0.5, 25.0, id="as long as it charges"),
        pytest.param(20.0, 20.0, 250.0, id="5 s at most"),
    ],
)
def test_a_resistor_takes_five_times_its_rating_while_the_pulse_lasts(
    seconds: float, charging_s: float, joules: float
) -> None:
    """Past the pulse it is loaded continuously, and a filled capacitor draws nothing."""
    assert precharge.allowed_pulse(5.0, 10.0, charging_s, seconds) == joules


def test_a_datasheet_overrules_the_rule_of_thumb() -> None:
    """The maker has measured the pulse that his resistor takes."""
    told = {"wiring.precharge.resistor_W": 10.0, "wiring.precharge.time_s": 1.0}
    assert book(told).operand("wiring.precharge_allowed_J").side == NO_MORE
    told["wiring.precharge.resistor_pulse_J"] = 12.0
    assert book(told).operand("wiring.precharge_allowed_J") == Operand(12.0)


def test_a_load_behind_the_resistor_leaves_the_capacitors_half_filled() -> None:
    """100 Ω and 0.3 A at 60 V stop at 30 V: a quarter of the energy is left to rush in."""
    whole_J = precharge.energy(1000.0, 60.0)
    assert precharge.left(1000.0, 60.0, 100.0, 60.0, 0.3) == pytest.approx(whole_J / 4.0)
    assert precharge.left(1000.0, 60.0, 100.0, 60.0, 1.0) == pytest.approx(whole_J)


def test_without_precharge_all_of_it_rushes_in() -> None:
    """2 mF at 84 V hold 7.06 J."""
    told = {
        "wiring.precharge": "none",
        "controller.input_capacitance_uF": 2000.0,
        "pack.full_V": 84.0,
    }
    rush = book(told, absent=("wiring.precharge",)).operand("wiring.precharge_left_J")
    assert rush.value == pytest.approx(7.056)


def test_a_load_keeps_its_power_in_the_resistor() -> None:
    """0.5 A drop 5 V across 10 Ω: 2.5 W for as long as it flows."""
    assert precharge.load_power(0.5, 10.0) == pytest.approx(0.5 * 5.0)
