"""The protection board."""

from __future__ import annotations

import pytest
from gonogo.quantities import pack, pack_charge


def test_the_board_opens_at_thirteen_times_its_cell_volts() -> None:
    """For thirteen cells that are all alike."""
    assert pack.bms_under_voltage(13, 2.7) == pytest.approx(35.1)


def test_a_spread_between_cells_makes_the_board_act_early() -> None:
    """The weakest cell opens the pack before the pack as a whole is empty, or full."""
    assert pack.bms_under_voltage_weakest(13, 2.7, 0.05) == pytest.approx(35.1 + 0.65)
    assert pack_charge.bms_over_voltage_fullest(13, 4.25, 0.05) == pytest.approx(55.25 - 0.65)


@pytest.mark.parametrize(
    ("full_V", "bms_V", "stop_V"),
    [
        pytest.param(54.6, 54.6, 54.6, id="both at once"),
        pytest.param(54.6, 53.9, 53.9, id="the board first"),
        pytest.param(54.6, 56.0, 54.6, id="the cells first"),
    ],
)
def test_regen_stops_before_full_cells_and_before_the_board(
    full_V: float, bms_V: float, stop_V: float
) -> None:
    """A board that opens during regen leaves the current nowhere to go."""
    assert pack_charge.max_regen_stop(full_V, bms_V) == stop_V
