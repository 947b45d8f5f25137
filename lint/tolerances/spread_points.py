"""Points spread evenly over a box, by which the share of it is told in which a rule holds."""

from __future__ import annotations

from collections.abc import Iterator

from .enclosure import Box

TRIED_POINTS = 128
_SOUGHT = 60  # rounds, far more than a float needs


def spread_points(box: Box, points: int = TRIED_POINTS) -> Iterator[dict[str, float]]:
    """So many points of a box, each next one in the largest gap.

    The fractional parts of whole multiples of numbers that have no common measure: H. Weyl, Über die
    Gleichverteilung von Zahlen mod. Eins, 1916; the numbers are powers of the root of
    x^(d + 1) = x + 1, of d sides (from memory).
    """
    sides = sorted(box)
    root = _root(len(sides))
    steps = {name: root ** -(index + 1) % 1.0 for index, name in enumerate(sides)}
    for number in range(points):
        yield {name: _inside(box, name, (0.5 + steps[name] * (number + 1)) % 1.0) for name in sides}


def _inside(box: Box, name: str, share: float) -> float:
    side = box[name]
    return min(max(side.low + share * (side.high - side.low), side.low), side.high)


def _root(sides: int) -> float:
    """The root above 1 of x^(sides + 1) = x + 1, by trying again.

    >>> round(_root(1), 6)
    1.618034
    """
    root = 2.0
    for _ in range(_SOUGHT):
        root = (1.0 + root) ** (1.0 / (sides + 1))
    return root
