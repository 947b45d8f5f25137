"""The motor's constants and speeds, from their definitions."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities import motor
from gonogo.quantities.operand import NoMoreThan, NotWorked
from hypothesis import given
from hypothesis import strategies as st


@pytest.mark.parametrize(("magnets", "pairs"), [(2, 1), (14, 7), (46, 23)])
def test_a_pole_pair_is_two_magnets(magnets: int, pairs: int) -> None:
    """The number entered most often, and most often wrong by a factor of two."""
    assert motor.pole_pairs_from_magnets(magnets) == pairs
    assert motor.pole_pairs(motor.pole_pairs_from_magnets(magnets)) == pairs


def test_an_odd_number_of_magnets_is_a_miscount() -> None:
    """A north pole without its south does not exist."""
    with pytest.raises(NotWorked, match="count them again"):
        motor.pole_pairs_from_magnets(15)


@given(st.floats(5, 500), st.integers(1, 40))
def test_the_two_textbook_ways_to_the_torque_constant_agree(kv: float, pairs: int) -> None:
    """1.5 · p · λ per peak ampere is √3/√2 · 60/(2π·kv) per rms ampere."""
    by_flux = 1.5 * pairs * motor.flux_linkage(kv, pairs) * math.sqrt(2.0)
    assert motor.torque_constant(kv) == pytest.approx(by_flux)
    assert motor.torque_constant(kv) * kv == pytest.approx(11.695, abs=5e-4)


@given(st.floats(5, 500), st.integers(1, 40), st.floats(100, 9000))
def test_flux_times_speed_is_the_back_emf(kv: float, pairs: int, rpm: float) -> None:
    """Flux linkage and kv are one property said twice: e = √3 · λ · ω, line to line, peak."""
    omega = 2.0 * math.pi * rpm / 60.0 * pairs
    line_V = math.sqrt(3.0) * motor.flux_linkage(kv, pairs) * omega
    assert motor.back_emf(rpm, kv) == pytest.approx(line_V)


@pytest.mark.parametrize(
    ("rpm", "kv", "volts"),
    [
        pytest.param(60.0, 60.0, 1.0, id="the definition: one volt at kv rpm"),
        pytest.param(0.0, 60.0, 0.0, id="none at a standstill"),
    ],
)
def test_back_emf_is_speed_over_kv(rpm: float, kv: float, volts: float) -> None:
    """kv turns speed into volts, with nothing else in between."""
    assert motor.back_emf(rpm, kv) == pytest.approx(volts)


def test_the_controller_may_hold_the_current_lower_than_the_setting() -> None:
    """Torque comes from the amperes that flow, not from those entered."""
    assert motor.driven(180.0, 150.0) == 150.0
    assert motor.driven(120.0, 150.0) == 120.0


def test_torque_above_the_burst_rating_is_no_more_than_the_straight_line() -> None:
    """Saturated iron gives less for each further ampere, and nobody says how much less."""
    assert not isinstance(motor.torque(0.1, 200.0, 200.0), NoMoreThan)
    beyond = motor.torque(0.1, 201.0, 200.0)
    assert isinstance(beyond, NoMoreThan)
    assert beyond == pytest.approx(20.1)


def test_torque_without_a_burst_rating_is_the_straight_line() -> None:
    """A missing rating bounds nothing."""
    assert motor.torque(0.1, 500.0) == pytest.approx(50.0)


def test_no_load_speed_is_kv_times_the_volts_that_reach_the_motor() -> None:
    """A kv 50 motor that gets 95 % of 80 V turns at 3800 rpm."""
    assert motor.no_load(0.95, 50.0, 80.0) == pytest.approx(3800.0)


def test_a_hill_turns_a_hub_at_road_speed() -> None:
    """At 60 km/h a wheel of 2 m goes round 500 times a minute."""
    assert motor.downhill(60.0, 1.0, 2.0) == pytest.approx(500.0)


@pytest.mark.parametrize(("ratio", "clutch"), [(5.0, False), (1.0, True)])
def test_a_gear_or_a_clutch_keeps_the_hill_from_a_hub(ratio: float, clutch: bool) -> None:
    """A one-way clutch lets the wheel run on while the motor stands."""
    with pytest.raises(NotWorked, match="only a direct-drive hub without a one-way clutch"):
        motor.downhill(60.0, ratio, 2.0, clutch)
    assert motor.max_operating_geared(4000.0, ratio, clutch) == 4000.0


def test_a_direct_hub_is_as_fast_as_the_limit_or_the_hill() -> None:
    """The controller's speed limit does not hold a wheel that rolls downhill."""
    with pytest.raises(NotWorked):
        motor.max_operating_geared(450.0, 1.0)
    assert motor.max_operating_hub(450.0, 500.0) == 500.0
    assert motor.max_operating_hub(650.0, 500.0) == 650.0
    assert motor.max_operating_at_least(450.0) == 450.0


def test_electrical_turns_are_mechanical_ones_times_the_pole_pairs() -> None:
    """The controller has to follow these, and has a limit of its own."""
    assert motor.electrical(4000.0, 4) == 16000.0
