"""A small chart for the terminal: one line a value, a bead on a wire between least and most."""

from __future__ import annotations

from collections.abc import Sequence

from ..judgement.wording import shown

WIRE, BEAD, GAP = "·", "◆", " "


def chart(values: Sequence[float | None], width: int) -> list[str]:
    """Each value as a bead on a wire of so many columns; an empty wire where there is none.

    The left end is the least value and the right end the most, so that small steps are seen.

    >>> chart([1.0, 2.0, None, 3.0], 5)
    ['◆····', '··◆··', '     ', '····◆']
    """
    known = [value for value in values if value is not None]
    low, high = min(known, default=0.0), max(known, default=0.0)
    return [_wire(value, low, high, width) for value in values]


def _wire(value: float | None, low: float, high: float, width: int) -> str:
    if value is None:
        return GAP * width
    place = round((value - low) / (high - low) * (width - 1)) if high > low else (width - 1) // 2
    return WIRE * place + BEAD + WIRE * (width - 1 - place)


def scale(values: Sequence[float | None], width: int, unit: str) -> str:
    """What the ends of the wire stand for; empty where all values are the same.

    >>> scale([70.0, None, 95.0], 20, "A")
    '70 A            95 A'
    """
    known = [value for value in values if value is not None]
    if not known or min(known) == max(known):
        return ""
    low, high = shown(min(known), unit), shown(max(known), unit)
    return f"{low}{high.rjust(width - len(low))}"
