"""Sums and comparisons of values that may be unknown, absent, or only a bound."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

from ..quantities import number
from ..quantities.operand import (
    ABSENT,
    EXACT,
    NO_LESS,
    NO_MORE,
    NOT_THERE,
    NOTHING,
    TURNED,
    Operand,
    Side,
)

TRUE = Operand(True)
FALSE = Operand(False)


def truth(value: bool) -> Operand:
    """An exact yes or no."""
    return TRUE if value else FALSE


def unknown(*operands: Operand, reason: str = "") -> Operand:
    """An unknown that names all that its operands lack; absent if one of them is not there."""
    if any(operand.side == ABSENT for operand in operands):
        return NOT_THERE
    missing = NOTHING.union(*(operand.missing for operand in operands))
    told = reason or next((operand.reason for operand in operands if operand.reason), "")
    return Operand(None, EXACT, missing, told)


def low_end(operand: Operand) -> float:
    """The least that the true value can be."""
    return -math.inf if operand.side == NO_MORE else operand.number


def high_end(operand: Operand) -> float:
    """The most that the true value can be."""
    return math.inf if operand.side == NO_LESS else operand.number


TOO_LARGE = "it is too large a number to be worked out"
TOO_SMALL = "it is too small a number to be worked out"


def _exact(value: float, a: Operand, b: Operand) -> Operand:
    """An exact result; what has left the numbers is unknown, since nothing compares with it.

    Nothing is above the infinite, and what is no number is neither above nor below anything.
    """
    if -number.LARGEST_WORKED <= value <= number.LARGEST_WORKED:
        return Operand(value)
    return unknown(a, b, reason=TOO_LARGE)


def _settled(value: float, sides: Iterable[Side], *operands: Operand) -> Operand:
    """A result whose side is that of its operands, where they pull the same way."""
    if not -number.LARGEST_WORKED <= value <= number.LARGEST_WORKED:
        return unknown(*operands, reason=TOO_LARGE)
    different = {side for side in sides if side != EXACT}
    if len(different) > 1:
        return unknown(*operands)
    missing = NOTHING.union(*(operand.missing for operand in operands))
    return Operand(value, different.pop() if different else EXACT, missing)


def added(a: Operand, b: Operand) -> Operand:
    """a + b."""
    if a.value is None or b.value is None:
        return unknown(a, b)
    if a.side == EXACT == b.side:
        return _exact(a.number + b.number, a, b)
    return _settled(a.number + b.number, (a.side, b.side), a, b)


def taken(a: Operand, b: Operand) -> Operand:
    """a − b."""
    if a.value is None or b.value is None:
        return unknown(a, b)
    if a.side == EXACT == b.side:
        return _exact(a.number - b.number, a, b)
    return _settled(a.number - b.number, (a.side, TURNED[b.side]), a, b)


def multiplied(a: Operand, b: Operand) -> Operand:
    """a × b; a bound passes through a product of values that are not negative."""
    if a.value is None or b.value is None:
        return unknown(a, b)
    if a.number * b.number == 0 and a.number and b.number:
        return unknown(a, b, reason=TOO_SMALL)
    if a.side == EXACT == b.side:
        return _exact(a.number * b.number, a, b)
    if a.number < 0 or b.number < 0:
        return unknown(a, b)
    return _settled(a.number * b.number, (a.side, b.side), a, b)


def divided(a: Operand, b: Operand) -> Operand:
    """a ÷ b; by zero it is unknown, and says so."""
    if a.value is None or b.value is None:
        return unknown(a, b)
    if b.value == 0:
        return unknown(a, b, reason="it would divide by zero")
    if a.number and a.number / b.number == 0:
        return unknown(a, b, reason=TOO_SMALL)
    if a.side == EXACT == b.side:
        return _exact(a.number / b.number, a, b)
    if a.number < 0 or b.number < 0:
        return unknown(a, b)
    return _settled(a.number / b.number, (a.side, TURNED[b.side]), a, b)


def least(operands: Sequence[Operand]) -> Operand:
    """The least of those that are there; an unknown one leaves it at *no more than*."""
    return _extreme(operands, min, NO_MORE)


def most(operands: Sequence[Operand]) -> Operand:
    """The greatest of those that are there; an unknown one leaves it at *no less than*."""
    return _extreme(operands, max, NO_LESS)


def _extreme(
    operands: Sequence[Operand], pick: Callable[[Iterable[float]], float], partial: Side
) -> Operand:
    there = [operand for operand in operands if operand.side != ABSENT]
    known = [operand for operand in there if operand.value is not None]
    if not there:
        return NOT_THERE
    if not known:
        return unknown(*there)
    value = pick(operand.number for operand in known)
    sides: list[Side] = [partial] if len(known) < len(there) else []
    for operand in known:
        if operand.side == partial or (operand.side != EXACT and operand.value == value):
            sides.append(operand.side)
    return _settled(value, sides, *there)


def size(a: Operand) -> Operand:
    """The value without its sign; a bound that zero may lie behind says nothing of it."""
    if a.value is None:
        return a
    if a.side == EXACT:
        return Operand(abs(a.number))
    if a.side == NO_LESS and a.number >= 0:
        return a
    if a.side == NO_MORE and a.number <= 0:
        return a._replace(value=-a.number, side=NO_LESS)
    return unknown(a)


def rounded(a: Operand) -> Operand:
    """To the nearest whole number, halves away from zero as at the bench."""
    if a.value is None:
        return a
    return a._replace(value=number.nearest_whole(a.number))


def less(a: Operand, b: Operand, or_equal: bool) -> Operand:
    """a < b, or a ≤ b; known where the bounds leave no choice."""
    if a.value is None or b.value is None:
        return unknown(a, b)
    low, high = a.number, b.number
    below = or_equal if number.near(low, high) else low < high
    if a.side == EXACT == b.side:
        return truth(below)
    if a.side != NO_LESS and b.side != NO_MORE and below:
        return TRUE
    if a.side != NO_MORE and b.side != NO_LESS and not below:
        return FALSE
    return unknown(a, b)


def equal(a: Operand, b: Operand) -> Operand:
    """a = b, numbers within the noise of floating point."""
    if a.value is None or b.value is None:
        return unknown(a, b)
    if a.side != EXACT or b.side != EXACT:
        below = less(a, b, or_equal=True)
        above = less(b, a, or_equal=True)
        return FALSE if below.value is False or above.value is False else unknown(a, b)
    if isinstance(a.value, float | int) and isinstance(b.value, float | int):
        return truth(number.near(a.value, b.value))
    return truth(a.value == b.value)


def opposite(a: Operand) -> Operand:
    """not a."""
    return a if a.value is None else truth(not a.value)


def both(operands: Iterable[Operand]) -> Operand:
    """and: one no settles it; else what is not there; else what is unknown."""
    seen = list(operands)
    if any(operand.value is False for operand in seen):
        return FALSE
    open_ones = [operand for operand in seen if operand.value is None]
    return unknown(*open_ones) if open_ones else TRUE


def either(operands: Iterable[Operand]) -> Operand:
    """or: one yes settles it; what is not there drops out; else what is unknown."""
    seen = list(operands)
    if any(operand.value is True for operand in seen):
        return TRUE
    there = [operand for operand in seen if operand.side != ABSENT]
    if not there:
        return NOT_THERE
    open_ones = [operand for operand in there if operand.value is None]
    return unknown(*open_ones) if open_ones else FALSE


def chosen(test: Operand, then: Operand, other: Operand) -> Operand:
    """then if test else other; with the test unknown, only what both arms agree on."""
    if test.value is not None:
        return then if test.value else other
    if then.value is not None and then[:2] == other[:2]:
        return then
    return unknown(
        test, *(arm for arm in (then, other) if arm.value is None and arm.side != ABSENT)
    )
