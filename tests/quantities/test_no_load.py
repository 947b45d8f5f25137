"""The free spin."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities import no_load
from gonogo.quantities.operand import NotWorked


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


@pytest.mark.parametrize("basis", [1.4, 0.85, 0.3])
def test_a_speed_that_no_basis_explains_is_said_so(basis: float) -> None:
    """Then it is the wrong motor, or a wrong reading."""
    assert no_load.kv_basis_fits(basis) == "no usual basis"


def test_a_spin_at_part_throttle_or_with_weakening_tells_nothing_of_kv() -> None:
    """Both move the speed away from kv times volts."""
    with pytest.raises(NotWorked, match="full throttle"):
        no_load.kv_basis(1900.0, "part", 0.95, 40.0, 50.0)
    with pytest.raises(NotWorked, match="weakening"):
        no_load.kv_basis(2400.0, "full", 0.95, 40.0, 50.0, 30.0)
    assert no_load.kv_basis(1900.0, "full", 0.95, 40.0, 50.0, 0.0) == pytest.approx(1.0)
