"""What a reading of the pack's voltage says of it."""

from __future__ import annotations

import math

from .number import ceiling, floor, nearest_whole
from .operand import NotWorked
from .worked import worked

WHOLE_WITHIN = 0.2  # of a cell: a full pack's reading this near to a whole number fits it


@worked(
    "pack.cell_from_full_reading_V",
    "V",
    title="cell voltage from the full reading",
    reading_V="readings.pack_V",
    state="readings.pack_state",
    series="pack.series",
    formula="reading_V / series",
    applies_when="state == 'full'",
    source="Cells in series share the voltage.",
)
def cell_from_full_reading(reading_V: float, state: str, series: float) -> float:
    """Voltage of one cell as read on a pack that was full.

    >>> cell_from_full_reading(58.8, "full", 14)
    4.2
    """
    _want_full(state)
    return reading_V / series


@worked(
    "pack.min_full_reading_V",
    "V",
    title="lowest reading of a full pack",
    full_V="pack.full_V",
    series="pack.series",
    settle_V="house.full_settle_V",
    charger_V="pack.charger.voltage_V",
    words=(
        "the less of full_V and charger_V, less half a cell of it or settle_V for each of series, "
        "whichever is more"
    ),
    source="Cells in series add their voltages; how far they settle is common practice.",
)
def full_reading_least(
    full_V: float, series: float, settle_V: float, charger_V: float = math.inf
) -> float:
    """Lowest reading of a full pack, once it has settled after the charger stopped.

    Half a cell is what tells one count from the next; a pack of many cells settles by more.

    >>> full_reading_least(84.0, 20, 0.06)
    81.9
    >>> round(full_reading_least(109.2, 26, 0.06), 6)
    107.1
    """
    filled_V = min(full_V, charger_V)
    return filled_V - max(filled_V / series / 2.0, settle_V * series)


@worked(
    "pack.series_from_reading",
    "",
    title="series counts that fit the pack reading",
    reading_V="readings.pack_V",
    minimum_V="pack.cell.minimum_V",
    full_V="pack.cell.full_V",
    over_percent="house.reading_over_percent",
    state="readings.pack_state",
    returns="numbers",
    words="whole numbers from reading_V / full_V to reading_V / minimum_V",
    source="Cells in series share the voltage, each between its minimum and full.",
)
def series_from_reading(
    reading_V: float, minimum_V: float, full_V: float, over_percent: float, state: str = "part"
) -> list[int]:
    """The series counts for which the reading lies between empty and full.

    A full pack's reading fits one count, or none when it lies between two.

    >>> series_from_reading(58.8, 3.0, 4.2, 1.0, "full")
    [14]
    >>> series_from_reading(42.0, 3.0, 4.2, 1.0)
    [10, 11, 12, 13, 14]
    """
    if state == "full":
        cells = reading_V / full_V
        return [nearest_whole(cells)] if abs(cells - nearest_whole(cells)) <= WHOLE_WITHIN else []
    max_V = full_V * (1.0 + over_percent / 100.0)
    fewest, most = reading_V / max_V, reading_V / minimum_V
    return list(range(max(1, ceiling(fewest)), floor(most) + 1))


def _want_full(state: str) -> None:
    if state != "full":
        raise NotWorked("the pack was not full when its voltage was read")
