"""The count of cells that a reading stands for."""

from __future__ import annotations

import pytest
from gonogo.quantities.operand import NotWorked
from gonogo.quantities.pack_load import (
    cell_from_full_reading,
    series_from_full_reading,
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


@pytest.mark.parametrize("works_out", [cell_from_full_reading, series_from_full_reading])
def test_a_part_full_pack_says_nothing_of_full_cells(works_out) -> None:  # type: ignore[no-untyped-def]
    """Volts of a half-empty pack taken for full ones would blame a sound build."""
    assert works_out(54.6, "full", 13) == pytest.approx(4.2)
    with pytest.raises(NotWorked, match="not full"):
        works_out(54.6, "part", 13)
