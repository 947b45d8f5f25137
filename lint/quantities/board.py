"""The protection board: the pack volts at which its cell limits open the pack."""

from __future__ import annotations

from .worked import worked


@worked(
    "pack.bms_low_V",
    "V",
    series="pack.series",
    cell_V="pack.bms.cell_low_V",
    source="Cells in series add their volts.",
)
def bms_low(series: float, cell_V: float) -> float:
    """Pack volts at which the protection board opens, if all cells are equally empty.

    >>> bms_low(14, 2.8)
    39.199999999999996
    """
    return series * cell_V


@worked(
    "pack.bms_low_spread_V",
    "V",
    series="pack.series",
    cell_V="pack.bms.cell_low_V",
    spread_V="house.cell_spread_V",
    source="Cells in series add their volts; the spread between cells is common practice.",
)
def bms_low_spread(series: float, cell_V: float, spread_V: float) -> float:
    """Pack volts at which the weakest cell already makes the board open.

    >>> bms_low_spread(20, 2.75, 0.05)
    56.0
    """
    return series * (cell_V + spread_V)


@worked(
    "pack.bms_high_V",
    "V",
    series="pack.series",
    cell_V="pack.bms.cell_high_V",
    source="Cells in series add their volts.",
)
def bms_high(series: float, cell_V: float) -> float:
    """Pack volts at which the protection board cuts the charge, if all cells are equally full.

    >>> bms_high(16, 3.75)
    60.0
    """
    return series * cell_V


@worked(
    "pack.bms_high_spread_V",
    "V",
    series="pack.series",
    cell_V="pack.bms.cell_high_V",
    spread_V="house.cell_spread_V",
    source="Cells in series add their volts; the spread between cells is common practice.",
)
def bms_high_spread(series: float, cell_V: float, spread_V: float) -> float:
    """Pack volts at which the fullest cell already makes the board cut the charge.

    >>> bms_high_spread(16, 3.8, 0.05)
    60.0
    """
    return series * (cell_V - spread_V)


@worked(
    "pack.regen_stop_highest_V",
    "V",
    full_V="pack.full_V",
    board_V="pack.bms_high_spread_V",
    combine="least",
    source="Common practice: regen ends before a cell is over-full and before the board cuts it off.",
)
def regen_stop_highest(full_V: float, board_V: float) -> float:
    """Volts at which regen has to have stopped.

    >>> regen_stop_highest(58.4, 60.0)
    58.4
    """
    return min(full_V, board_V)
