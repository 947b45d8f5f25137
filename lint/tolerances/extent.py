"""Extents: all that a quantity may come to over a box, be it a number, a truth, unknown or not there."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from ..quantities.number import LEAST, NOISE, is_number
from ..quantities.operand import ABSENT, EXACT, Operand, Side
from .interval import WHOLE_LINE, point
from .sloped import (
    Sloped,
    anything,
    either_of,
    greatest_number,
    leaping,
    least_number,
    level,
    noise_about,
    opposite_number,
    sloped_difference,
    sloped_size,
    sloped_sum,
)

ALWAYS, NEVER = level(float("inf")), level(float("-inf"))


class Extent(NamedTuple):
    """What may be over a box.

    `still` is the operand of what does not move. Else `number` holds the values that it may have, each
    with `side`, None where that may be now this, now that. Of a truth the number is its excess: above
    nought it is true, else false. `unknown` and `absent` say that it may be so besides, `other` that it
    may be something else, such as a text. `sides` are the sides of the box that move it. A list that
    shifts as a whole has its `members` besides.
    """

    number: Sloped | None = None
    side: Side | None = EXACT
    unknown: bool = False
    absent: bool = False
    other: bool = False
    sides: frozenset[str] = frozenset()
    still: Operand | None = None
    members: tuple[float, ...] = ()

    @property
    def certain(self) -> bool:
        """Whether it is an exact value wherever one stands in the box."""
        if self.still is not None:
            return self.still.value is not None and self.still.side == EXACT
        return self.number is not None and self.side == EXACT and not self.open

    @property
    def open(self) -> bool:
        """Whether it may be without a value somewhere."""
        return self.unknown or self.absent or self.other

    @property
    def never(self) -> bool:
        """Whether it is nowhere known."""
        if self.still is not None:
            return self.still.value is None
        return self.number is None and not self.other


def at_rest(operand: Operand) -> Extent:
    """The span of what does not move."""
    value, number = operand.value, None
    if isinstance(value, bool):
        number = ALWAYS if value else NEVER
    elif is_number(value):
        number = level(float(value))
    lacks = value is None
    absent = operand.side == ABSENT
    return Extent(
        number,
        operand.side,
        lacks and not absent,
        absent,
        number is None and not lacks,
        still=operand,
    )


def moving(number: Sloped | None, *below: Extent, side: Side | None = EXACT) -> Extent:
    """The span of what is made of others; it may lack a value where one of them does."""
    return Extent(
        number,
        side,
        any(one.unknown for one in below),
        any(one.absent for one in below),
        number is None and any(one.other or one.number is not None for one in below),
        sides_of(below),
    )


def sides_of(spans: Iterable[Extent]) -> frozenset[str]:
    """The sides of the box that move any of several spans."""
    return frozenset[str]().union(*(one.sides for one in spans))


def undecided_span(*below: Extent) -> Extent:
    """What may be anything at all."""
    sides = sides_of(below)
    return Extent(anything(sides), None, True, True, True, sides)


def now_this_now_that(spans: Iterable[Extent], by: frozenset[str] = frozenset()) -> Extent:
    """One of several spans, and along the sides `by` it may pass from one to another."""
    parts = list(spans)
    numbers = [one.number for one in parts if one.number is not None]
    known = [one for one in parts if one.number is not None]
    kinds: set[Side | None] = {one.side for one in known}
    return Extent(
        either_of(numbers, by) if numbers else None,
        kinds.pop() if len(kinds) == 1 else None,
        any(one.unknown for one in parts),
        any(one.absent for one in parts),
        any(one.other for one in parts),
        sides_of(parts) | by,
    )


def perhaps_unknown(span: Extent, by: frozenset[str] = frozenset()) -> Extent:
    """The span where it may be unknown besides."""
    return span._replace(still=None, unknown=True, sides=span.sides | by)


# Truths are excesses: above nought they hold. What lies on nought is told apart by no float of ours.


def excess_over(a: Sloped, b: Sloped) -> Sloped:
    """The excess of a over b beyond the noise within which they count as equal."""
    apart = sloped_difference(a, b)
    return sloped_difference(apart, _noise(a, b))


def excess_of_likeness(a: Sloped, b: Sloped) -> Sloped:
    """The excess of the noise over the difference of a and b: they are equal within it."""
    return sloped_difference(_noise(a, b), sloped_size(sloped_difference(a, b)))


def _noise(a: Sloped, b: Sloped) -> Sloped:
    sizes = greatest_number((sloped_size(a), sloped_size(b)))
    return noise_about(sizes, NOISE, 0.0)


def overlooked_about(limit: Sloped, step: float, share: float) -> Sloped:
    """How far past a limit a value still lies on it, as the judge has it."""
    return noise_about(limit, NOISE, max(step * share, LEAST))


def all_hold(truths: Iterable[Extent]) -> Extent:
    """Whether all of several hold: their least excess."""
    return _settled(list(truths), False)


def one_holds(truths: Iterable[Extent]) -> Extent:
    """Whether one of several holds: their greatest excess."""
    return _settled(list(truths), True)


def _settled(parts: list[Extent], by: bool) -> Extent:
    """One that is certain settles it, though others are unknown.

    Beside one that is nowhere known the whole is what settles it, or unknown; what is not there drops
    out of an `or`.
    """
    picked = greatest_number if by else least_number
    sure = [one for one in parts if not one.open and one.side is not None]
    for one in sure:
        settled = always(one) if by else never_true(one)
        if one.number is not None and settled:
            return Extent(one.number, sides=one.sides)
    if by:
        parts = [one for one in parts if not (one.never and one.absent)] or parts
    known = [one.number for one in parts if one.number is not None]
    if not known:
        return moving(None, *parts)
    if any(one.never for one in parts):
        return Extent(ALWAYS if by else NEVER, unknown=True, sides=sides_of(parts))
    result = picked(known)
    lacking = [one for one in parts if one.open]
    if lacking:
        # Where one is unknown the whole may be, or may be what the others say.
        result = leaping(result, sides_of(lacking))
    return moving(result, *parts)._replace(other=False)


def always(truth: Extent) -> bool:
    """Whether a truth holds wherever it is known."""
    return truth.number is not None and truth.number.value.low > 0.0


def never_true(truth: Extent) -> bool:
    """Whether a truth holds nowhere."""
    return truth.number is not None and truth.number.value.high <= 0.0


def denied(truth: Extent) -> Extent:
    """Whether it does not hold."""
    number = None if truth.number is None else opposite_number(truth.number)
    return truth._replace(number=number, still=None)


def truth_of(excess: Sloped, *below: Extent) -> Extent:
    """The truth of an excess over its parts."""
    return moving(excess, *below)


def any_truth(*below: Extent) -> Extent:
    """What may hold or not."""
    sides = sides_of(below)
    return Extent(
        Sloped(WHOLE_LINE, dict.fromkeys(sides, WHOLE_LINE)), EXACT, True, True, False, sides
    )


def shifted_end(members: tuple[float, ...], shift: Sloped, greatest: bool) -> Sloped:
    """The least or the greatest member of a list that shifts as a whole."""
    end = max(members) if greatest else min(members)
    return sloped_sum(Sloped(point(end)), shift)
