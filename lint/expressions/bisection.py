"""Bisection: the steps after which values that each move one way stand otherwise."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import NamedTuple

ValueAt = Callable[[int], float | None]
Holds = Callable[[float, float], int]


class Couple(NamedTuple):
    """Two values that each move one way, and how they stand to each other."""

    one: ValueAt
    other: ValueAt
    away: int
    back: int
    holds: Holds

    def at(self, step: int, beside: int) -> int | None:
        """How the one value at a step stands to the other one at a step beside it."""
        a, b = self.one(step), self.other(beside)
        return None if a is None or b is None else self.holds(a, b)

    def stays(self, low: int, high: int) -> bool:
        """True where nothing between two steps can differ: the extremes stand alike."""
        top, bottom = (high, low) if self.away > 0 else (low, high)
        least, most = (low, high) if self.back > 0 else (high, low)
        return self.at(top, least) == self.at(bottom, most)


def passes(pair: Couple, low: int, high: int) -> Iterator[int]:
    """The steps after which two values that each move one way stand otherwise to each other."""
    if low == high or pair.stays(low, high):
        return
    if high - low == 1:
        if pair.at(low, low) != pair.at(high, high):
            yield low
        return
    middle = (low + high) // 2
    yield from passes(pair, low, middle)
    yield from passes(pair, middle, high)


def jumps(ask: Callable[[int], int | None], low: int, high: int) -> Iterator[int]:
    """The steps after which an answer that only rises, or only falls, is another one."""
    if ask(low) == ask(high):
        return
    if high - low == 1:
        yield low
        return
    middle = (low + high) // 2
    yield from jumps(ask, low, middle)
    yield from jumps(ask, middle, high)
