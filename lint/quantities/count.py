"""The count of cells in series that a reading of the pack stands for."""

from __future__ import annotations

from .operand import NotWorked
from .worked import worked

WHOLE_WITHIN = 0.2  # of a cell: a full pack's reading this near to a whole number fits it


@worked(
    "pack.cell_from_full_reading_V",
    "V",
    reading_V="readings.pack_V",
    state="readings.pack_state",
    series="pack.series",
    formula="reading_V / series",
    source="Cells in series share the volts.",
)
def cell_from_full_reading(reading_V: float, state: str, series: float) -> float:
    """Volts of one cell as read on a pack that was full.

    >>> cell_from_full_reading(58.8, "full", 14)
    4.2
    """
    _want_full(state)
    return reading_V / series


@worked(
    "pack.series_from_full_reading",
    "",
    reading_V="readings.pack_V",
    state="readings.pack_state",
    full_V="pack.cell.full_V",
    formula="reading_V / full_V",
    source="Cells in series add their volts.",
)
def series_from_full_reading(reading_V: float, state: str, full_V: float) -> float:
    """Cells in series that a full pack's reading stands for, not rounded.

    >>> round(series_from_full_reading(58.8, "full", 4.2), 6)
    14.0
    """
    _want_full(state)
    return reading_V / full_V


def _want_full(state: str) -> None:
    if state != "full":
        raise NotWorked("the pack was not full when its volts were read")


@worked(
    "pack.series_from_reading",
    "",
    reading_V="readings.pack_V",
    minimum_V="pack.cell.minimum_V",
    full_V="pack.cell.full_V",
    over_percent="house.reading_over_percent",
    state="readings.pack_state",
    formula="whole numbers from reading_V / full_V to reading_V / minimum_V",
    source="Cells in series share the volts, each between its minimum and full.",
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
        return [round(cells)] if abs(cells - round(cells)) <= WHOLE_WITHIN else []
    highest_V = full_V * (1.0 + over_percent / 100.0)
    fewest, most = reading_V / highest_V, reading_V / minimum_V
    return [n for n in range(1, int(most + 1e-9) + 1) if n >= fewest - 1e-9]
