"""A figure of another thing than its key asks for: a pack's for one cell's, a radius for a turn's way.

What lies outside the range of its key is often right for the whole or for a part of it; the answer
names the key that it is right for, or what it comes to here.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

# By the key of one cell: the key of the whole pack.
OF_THE_PACK: Mapping[str, str] = {
    "pack.cell.full_V": "pack.full_V",
    "pack.cell.nominal_V": "pack.nominal_V",
    "pack.cell.minimum_V": "pack.minimum_V",
    "pack.bms.cell_low_V": "pack.bms.low_V",
    "pack.bms.cell_high_V": "pack.bms.high_V",
}
MOST_CELLS_V = 250.0
LEAST_CELL_V, MOST_CELL_V = 1.0, 4.6
CIRCUMFERENCES = ("drivetrain.circumference_mm", "drivetrain.circumference_in")
# By what is measured instead: how many of it a wheel rolls in one turn.
SHORT_OF_A_TURN = (("diameter", math.pi), ("radius", 2.0 * math.pi))
LEAST_TURN = {"drivetrain.circumference_mm": 350.0, "drivetrain.circumference_in": 14.0}
MOST_TURN = {"drivetrain.circumference_mm": 2600.0, "drivetrain.circumference_in": 102.0}


def of_another_scope(name: str, value: object, series: object = None) -> str:
    """What a figure out of its range is likely to be; nothing where that is not plain.

    `series` are the cells in series, where they are known.

    >>> of_another_scope("pack.cell.full_V", 54.6, 13)
    '; 54.6 is a whole pack, which is pack.full_V; for each of 13 cells in series it is 4.2'
    >>> of_another_scope("drivetrain.circumference_mm", 127)
    '; 127 may be the diameter of a wheel that rolls 399 in one turn or the radius of a wheel that rolls 798 in one turn'
    """
    if isinstance(value, bool) or not isinstance(value, int | float):
        return ""
    if name in OF_THE_PACK and MOST_CELL_V < value <= MOST_CELLS_V:
        note = f"; {value:g} is a whole pack, which is {OF_THE_PACK[name]}"
        if isinstance(series, int) and series > 1:
            one = value / series
            if LEAST_CELL_V <= one <= MOST_CELL_V:
                return f"{note}; for each of {series} cells in series it is {one:.3g}"
        return note
    if name in CIRCUMFERENCES and value > 0:
        rolls = [
            f"the {what} of a wheel that rolls {turns * value:.0f} in one turn"
            for what, turns in SHORT_OF_A_TURN
            if LEAST_TURN[name] <= turns * value <= MOST_TURN[name]
        ]
        return f"; {value:g} may be {' or '.join(rolls)}" if rolls else ""
    return ""
