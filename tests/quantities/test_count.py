"""The count of cells that a reading stands for."""

from __future__ import annotations

import pytest
from gonogo.quantities.operand import NotWorked
from gonogo.quantities.pack_reading import (
    cell_from_full_reading,
    full_reading_least,
    series_from_reading,
)


@pytest.mark.parametrize(
    ("reading_V", "state", "counts"),
    [
        pytest.param(54.6, "full", [13], id="a full pack fits one count"),
        pytest.param(54.2, "full", [13], id="a little under full still does"),
        pytest.param(56.7, "full", [], id="halfway between two counts fits none"),
        pytest.param(30.0, "part", [8, 9, 10], id="a part-full pack fits several"),
        pytest.param(42.42, "part", [10, 11, 12, 13, 14], id="one percent over full is still full"),
        pytest.param(42.43, "part", [11, 12, 13, 14], id="more is not"),
    ],
)
def test_a_reading_fits_the_counts_whose_cells_lie_between_empty_and_full(
    reading_V: float, state: str, counts: list[int]
) -> None:
    """A pack entered with the wrong count is caught by one reading of its volts."""
    assert series_from_reading(reading_V, 3.0, 4.2, 1.0, state) == counts


def test_a_part_full_pack_says_nothing_of_full_cells() -> None:
    """Volts of a half-empty pack taken for full ones would blame a sound build."""
    assert cell_from_full_reading(54.6, "full", 13) == pytest.approx(4.2)
    with pytest.raises(NotWorked, match="not full"):
        cell_from_full_reading(54.6, "part", 13)


@pytest.mark.parametrize(
    ("full_V", "series", "charger_V", "least_V"),
    [
        pytest.param(54.6, 13, 54.6, 52.5, id="half a cell of a small pack"),
        pytest.param(126.0, 30, 126.0, 123.9, id="half a cell of a large one too"),
        pytest.param(168.0, 40, 168.0, 165.6, id="sixty millivolts a cell of a larger one"),
        pytest.param(54.6, 13, 53.3, 51.25, id="a charger that stops at 4.1 V a cell"),
        pytest.param(54.6, 13, 58.8, 52.5, id="a charger for more fills no further"),
    ],
)
def test_a_full_pack_reads_half_a_cell_less_at_least(
    full_V: float, series: float, charger_V: float, least_V: float
) -> None:
    """Less would be the pack of one cell fewer, half full of trouble; more would blame rest."""
    assert full_reading_least(full_V, series, 0.06, charger_V) == pytest.approx(least_V)
