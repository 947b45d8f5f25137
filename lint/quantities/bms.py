"""The BMS: its cutoffs for one cell, where they are stated for the whole pack."""

from __future__ import annotations

from .operand import NotWorked
from .worked import worked


@worked(
    "pack.bms.cell_low_V",
    "V",
    title="BMS discharge cutoff per cell",
    series="pack.series",
    low_V="pack.bms.low_V",
    formula="low_V / series",
    applies_when="low_V > 0",
    source="Cells in series add their voltages.",
)
def cell_low(series: float, low_V: float = 0.0) -> float:
    """Voltage of a cell at which a BMS that watches the whole pack stops discharge.

    If all cells are equally empty; the weakest one is then lower.

    >>> cell_low(16, 44.8)
    2.8
    """
    if low_V <= 0.0:
        raise NotWorked("the discharge cutoff of the whole pack is not entered either")
    return low_V / series


@worked(
    "pack.bms.cell_high_V",
    "V",
    title="BMS charge cutoff per cell",
    series="pack.series",
    high_V="pack.bms.high_V",
    formula="high_V / series",
    applies_when="high_V > 0",
    source="Cells in series add their voltages.",
)
def cell_high(series: float, high_V: float = 0.0) -> float:
    """Voltage of a cell at which a BMS that watches the whole pack stops the charge.

    If all cells are equally full; the fullest one is then higher.

    >>> cell_high(16, 60.0)
    3.75
    """
    if high_V <= 0.0:
        raise NotWorked("the charge cutoff of the whole pack is not entered either")
    return high_V / series
