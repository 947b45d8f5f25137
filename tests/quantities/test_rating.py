"""What the pack bears."""

from __future__ import annotations

import pytest
from gonogo.quantities import pack, pack_charge


def test_cells_in_parallel_add_amperes() -> None:
    """Five cells of 15 A give 75 A."""
    assert pack.cells_continuous(5, 15.0) == 75.0
    assert pack.cells_peak(5, 25.0) == 125.0
    assert pack_charge.cells_charge(5, 3.0) == 15.0


@pytest.mark.parametrize("least", [pack.continuous, pack_charge.charge])
def test_the_weaker_of_cells_and_board_sets_the_amperes(least) -> None:  # type: ignore[no-untyped-def]
    """Current that the cells give and the board does not is current that stops on the road."""
    assert least(75.0, 60.0) == 60.0
    assert least(75.0, 90.0) == 75.0
