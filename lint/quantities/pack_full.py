"""How high the full pack can stand: for limits that its voltage must never pass."""

from __future__ import annotations

import math

from .worked import worked


@worked(
    "pack.cells_most_full_V",
    "V",
    title="highest full voltage of cells of this chemistry",
    series="pack.series",
    sold_V="pack.chemistry_max_sold_cell_V",
    charger_V="pack.charger.voltage_V",
    formula="min(series * sold_V, charger_V)",
    source="Cells in series add their voltages; no pack is charged above its charger's.",
)
def cells_most_full(series: float, sold_V: float, charger_V: float = math.inf) -> float:
    """Voltage that the full pack may have where only the chemistry of its cells is told.

    Every maker's cells lie below it, and the charger ends before it where one is given.

    >>> cells_most_full(20, 4.4), cells_most_full(20, 4.4, 84.0)
    (88.0, 84.0)
    """
    return min(series * sold_V, charger_V)
