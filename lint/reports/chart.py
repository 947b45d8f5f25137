"""Values drawn as beads on wires of one length, so that small steps are seen."""

from __future__ import annotations

from collections.abc import Sequence

WIRE, BEAD, EMPTY = "·", "◆", " "


def wires(values: Sequence[float | None], width: int) -> list[str]:
    """Each value as a bead on a wire of so many columns; an empty wire where there is none.

    The left end is the least value and the right end the most.

    >>> wires([1.0, 2.0, None, 3.0], 5)
    ['◆····', '··◆··', '     ', '····◆']
    """
    known = [value for value in values if value is not None]
    low, high = min(known, default=0.0), max(known, default=0.0)
    return [_wire(value, low, high, width) for value in values]


def _wire(value: float | None, low: float, high: float, width: int) -> str:
    if value is None:
        return EMPTY * width
    place = round((value - low) / (high - low) * (width - 1)) if high > low else (width - 1) // 2
    return WIRE * place + BEAD + WIRE * (width - 1 - place)
