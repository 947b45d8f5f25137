"""The pack, from its cells."""

from __future__ import annotations

import pytest
from gonogo.quantities import pack, pack_chemistry
from gonogo.quantities.operand import NotWorked


@pytest.mark.parametrize(
    ("volts", "cell_V", "pack_V"),
    [
        pytest.param(pack.full, 4.2, 54.6, id="full"),
        pytest.param(pack.nominal, 3.6, 46.8, id="nominal"),
        pytest.param(pack.minimum, 2.5, 32.5, id="minimum"),
        pytest.param(pack.working_minimum, 3.0, 39.0, id="working minimum"),
    ],
)
def test_thirteen_cells_in_series_have_thirteen_times_the_volts(volts, cell_V, pack_V) -> None:  # type: ignore[no-untyped-def]
    """Every pack limit starts from this product."""
    assert volts(13, cell_V) == pytest.approx(pack_V)


def test_cells_in_parallel_add_charge() -> None:
    """Five cells of 4 Ah make 20 Ah, at 36 V 720 Wh."""
    assert pack.capacity(5, 4.0) == 20.0
    assert pack.stored_energy(20.0, 36.0) == 720.0


def test_resistance_follows_series_over_parallel_plus_the_joints() -> None:
    """Ten cells of 30 mΩ in series are 300, three such strings 100, and the joints 4 more."""
    assert pack.pack_resistance(10, 3, 30.0, 4.0) == pytest.approx(104.0)


@pytest.mark.parametrize(
    ("chemistry", "min_V", "max_V"),
    [("nmc", 2.5, 4.2), ("lfp", 2.0, 3.65), ("lead_acid", 1.6, 2.45)],
)
def test_a_chemistry_bounds_its_cells(chemistry: str, min_V: float, max_V: float) -> None:
    """Volts outside them are a slip of the pen, or a fire."""
    assert pack_chemistry.chemistry_min_cell(chemistry) == min_V
    assert pack_chemistry.chemistry_max_cell(chemistry) == max_V


def test_a_chemistry_not_in_the_table_is_unknown() -> None:
    """No volts are guessed for cells that nobody has tabled."""
    with pytest.raises(NotWorked, match="unobtainium"):
        pack_chemistry.chemistry_max_cell("unobtainium")


def test_a_bms_for_lead_acid_is_unknown() -> None:
    """Nobody makes one that cuts each cell, so no margin is guessed."""
    with pytest.raises(NotWorked, match="no such figure"):
        pack_chemistry.bms_over("lead_acid")


@pytest.mark.parametrize(
    ("pack_V", "cell_V", "full_V"),
    [
        pytest.param(54.6, 4.2, 4.2, id="they agree"),
        pytest.param(58.5, 4.2, 4.5, id="the pack is charged higher than its cells"),
        pytest.param(52.0, 4.2, 4.2, id="the pack is charged less than full"),
        pytest.param(54.6, 0.0, 4.2, id="the cell is not told"),
    ],
)
def test_a_full_cell_is_the_higher_of_what_is_told(
    pack_V: float, cell_V: float, full_V: float
) -> None:
    """An overcharge hides in whichever figure is right."""
    assert pack.cell_full(pack_V, 13, cell_V) == pytest.approx(full_V)


def test_an_empty_cell_is_the_lower_of_what_is_told() -> None:
    """A pack emptied to 26 V empties each of thirteen cells to 2 V, whatever its datasheet says."""
    assert pack.cell_minimum(26.0, 13, 2.5) == 2.0
    assert pack.cell_minimum(39.0, 13, 2.5) == 2.5
    assert pack.cell_minimum(26.0, 13) == 2.0
