"""The no-load test."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities import no_load
from gonogo.quantities.operand import NoMoreThan, NotWorked


@pytest.mark.parametrize(
    ("hertz", "rpm", "pairs"),
    [
        pytest.param(50.0, 3000.0, 1, id="the power station: 50 Hz, 3000 rpm"),
        pytest.param(50.0, 1500.0, 2, id="and with four poles"),
        pytest.param(178.0, 460.0, 23, id="a hub, read a little off"),
        pytest.param(125.0, 3000.0, 3, id="two and a half: away from zero, as everywhere"),
        pytest.param(175.0, 3000.0, 4, id="three and a half: likewise"),
    ],
)
def test_electrical_turns_over_mechanical_ones_are_the_pole_pairs(
    hertz: float, rpm: float, pairs: int
) -> None:
    """Counted on the stand, whatever the datasheet says."""
    assert no_load.pole_pairs_from_no_load(hertz, rpm) == pairs


def test_a_count_halfway_between_two_is_unsure() -> None:
    """4.5 pole pairs are a misread tachometer."""
    assert no_load.pole_pairs_remainder(450.0, 6000.0) == pytest.approx(0.5)
    assert no_load.pole_pairs_remainder(400.0, 6000.0) == pytest.approx(0.0)


@pytest.mark.parametrize(
    ("stated_by", "words"),
    [
        pytest.param(1.0, "V peak line-to-line", id="as we count it"),
        pytest.param(math.sqrt(2.0), "V rms line-to-line", id="by rms volts"),
        pytest.param(math.sqrt(3.0), "V peak phase-to-neutral", id="by phase volts"),
        pytest.param(math.sqrt(6.0), "V rms phase-to-neutral", id="by both"),
    ],
)
def test_a_kv_stated_on_another_basis_is_recognised(stated_by: float, words: str) -> None:
    """A motor of 40 rpm per volt, its maker counting by other volts, spun on 50 V."""
    basis = no_load.kv_basis(0.95 * 40.0 * 50.0, "full", 0.95, 40.0 * stated_by, 50.0)
    assert no_load.kv_basis_fits(basis) == words


@pytest.mark.parametrize("basis", [1.2, 0.85, 0.3])
def test_a_speed_that_no_basis_explains_is_said_so(basis: float) -> None:
    """Then it is the wrong motor, or a wrong reading."""
    assert no_load.kv_basis_fits(basis) == "no usual basis"


def test_a_test_at_part_throttle_tells_nothing_of_kv() -> None:
    """A part of the throttle gives a part of the volts, and nobody knows which."""
    with pytest.raises(NotWorked, match="full throttle"):
        no_load.kv_basis(1900.0, "part", 0.95, 40.0, 50.0)
    with pytest.raises(NotWorked, match="full throttle"):
        no_load.kv_measured(1900.0, "part", 0.95, 50.0)


def test_field_weakening_leaves_the_speed_no_less_than_kv_times_volts() -> None:
    """It only lifts the speed: a slow test still disproves a kv, a fast one does not."""
    basis = no_load.kv_basis(2400.0, "full", 0.95, 40.0, 50.0, 30.0)
    assert isinstance(basis, NoMoreThan)
    assert basis == pytest.approx(2400.0 / 1900.0)
    assert not isinstance(no_load.kv_basis(1900.0, "full", 0.95, 40.0, 50.0, 0.0), NoMoreThan)
    with pytest.raises(NotWorked, match="weakening"):
        no_load.kv_measured(2400.0, "full", 0.95, 50.0, 30.0)


@pytest.mark.parametrize(
    ("rpm", "throttle", "proven"),
    [
        pytest.param(1900.0, "full", 40.0, id="as fast as kv promises"),
        pytest.param(0.89 * 1900.0, "full", 40.0, id="a little slow, as losses make it"),
        pytest.param(950.0, "full", 20.0, id="held by a limit: proves what it reached"),
        pytest.param(1900.0, "part", 40.0, id="at part throttle likewise"),
        pytest.param(950.0, "part", 20.0, id="and less of it"),
    ],
)
def test_a_test_proves_kv_as_far_as_it_ran(rpm: float, throttle: str, proven: float) -> None:
    """Past that speed the back-EMF is a promise of the label's, and labels count by other volts."""
    kv = no_load.kv_proven(rpm, throttle, 0.95, 40.0, 50.0, 0.88, 1.08)
    assert kv == pytest.approx(proven)


def test_a_test_faster_than_kv_promises_proves_nothing() -> None:
    """The label is wrong, or field weakening lifted the speed."""
    with pytest.raises(NotWorked, match="faster"):
        no_load.kv_proven(2100.0, "full", 0.95, 40.0, 50.0, 0.88, 1.08)


def test_losses_without_a_load_follow_the_motor_and_its_speed() -> None:
    """A twentieth of √(3/2) · 100 A / 50 rpm per V · 4000 rpm = 9798 W, and 40 W besides."""
    allowed = no_load.no_load_allowed_by_current(40.0, 5.0, 100.0, 4000.0, 50.0)
    assert allowed == pytest.approx(40.0 + 489.9, abs=0.1)
    assert no_load.no_load_allowed(1.5, 2.0, 60.0) == pytest.approx(180.0)
    assert no_load.no_load_power(60.0, 3.0) == pytest.approx(180.0)
