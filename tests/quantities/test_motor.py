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


def test_torque_above_the_burst_rating_is_no_more_than_the_straight_line() -> None:
    """Saturated iron gives less for each further ampere, and nobody says how much less."""
    assert not isinstance(motor.torque(0.1, 200.0, 200.0), NoMoreThan)
    beyond = motor.torque(0.1, 201.0, 200.0)
    assert isinstance(beyond, NoMoreThan)
    assert beyond == pytest.approx(20.1)


def test_torque_without_a_burst_rating_is_the_straight_line() -> None:
    """A missing rating bounds nothing."""
    assert motor.torque(0.1, 500.0) == pytest.approx(50.0)


def test_magnets_reach_their_limit_in_a_winding_that_is_hotter() -> None:
    """SH magnets at 150 °C in a motor whose winding is 20 K hotter."""
    assert motor.magnet_limit(motor.magnet("SH"), 20.0) == 170.0


@pytest.mark.parametrize(
    ("grade", "ambient_degC", "factor"),
    [
        pytest.param("N", -24.0, 1.0528, id="0.12 % a kelvin, 44 K below 20 °C"),
        pytest.param("ferrite", -24.0, 1.088, id="ferrite 0.2 %"),
        pytest.param("smco", -24.0, 1.03, id="samarium cobalt 0.04 %: the allowance is more"),
        pytest.param("N", 30.0, 1.03, id="never below the allowance"),
    ],
)
def test_cold_magnets_push_back_more(grade: str, ambient_degC: float, factor: float) -> None:
    """The winter morning is the day on which the controller sees the most volts."""
    assert motor.cold_kv_factor(1.03, ambient_degC, grade) == pytest.approx(factor)


def test_magnets_that_nobody_has_tabled_have_no_factor() -> None:
    """Their loss of flux is not known."""
    with pytest.raises(NotWorked, match="alnico"):
        motor.cold_kv_factor(1.03, 0.0, "alnico")


def test_the_winding_takes_a_share_of_the_battery_limit() -> None:
    """3 · 250² A² · 80 mΩ = 15 kW cold, 20.9 kW hot, of 7.9 kW: a digit slipped."""
    hot_W = motor.copper_loss_hot(motor.copper_loss(250.0, 80.0))
    assert motor.copper_share(hot_W, 110.0, 72.0) == pytest.approx(263.8, abs=0.1)


@pytest.mark.parametrize(
    ("grade", "ambient_degC", "factor"),
    [
        pytest.param("ferrite", -20.0, 0.84, id="0.4 % a kelvin, 40 K below 20 °C"),
        pytest.param("ferrite", 30.0, 1.0, id="a warm day adds nothing"),
        pytest.param("SH", -40.0, 1.0, id="neodymium grows stronger"),
    ],
)
def test_ferrite_alone_is_weaker_in_the_cold(
    grade: str, ambient_degC: float, factor: float
) -> None:
    """A burst that it withstands in summer demagnetises it in winter."""
    assert motor.cold_coercivity_factor(grade, ambient_degC) == pytest.approx(factor)


def test_a_coldest_day_that_is_not_told_is_a_frosty_one() -> None:
    """25 K below the day of kv: 3 % of neodymium, 5 % of ferrite."""
    assert motor.cold_kv_factor(1.0, grade="SH") == pytest.approx(1.03)
    assert motor.cold_kv_factor(1.0, grade="ferrite") == pytest.approx(1.05)
    assert motor.cold_coercivity_factor("ferrite") == pytest.approx(0.9)


def test_magnets_that_nobody_has_tabled_have_no_strength() -> None:
    """Their loss of coercivity is not known."""
    with pytest.raises(NotWorked, match="alnico"):
        motor.cold_coercivity_factor("alnico", 0.0)
