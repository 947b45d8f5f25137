"""What several motors have together, over a box: their sum, the greatest of them, a part of a whole."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from ..judgement.motor_sums import greatest, summed
from ..quantities.operand import EXACT, NO_LESS, Operand
from .extent import Extent, at_rest, moving, sides_of, undecided_span
from .sloped import Sloped, greatest_number, sloped_product, sloped_quotient, sloped_sum


def span_of_sum(spans: Iterable[Extent]) -> Extent:
    """The sum of what moves; where one is nowhere known it is no less than the others together."""

    def add(numbers: Sequence[Sloped]) -> Sloped:
        whole = numbers[0]
        for number in numbers[1:]:
            whole = sloped_sum(whole, number)
        return whole

    return _together(list(spans), add, summed)


def span_of_greatest(spans: Iterable[Extent]) -> Extent:
    """The greatest of what moves; where one is nowhere known it is no less than the others."""
    return _together(list(spans), greatest_number, greatest)


def _together(
    spans: list[Extent],
    join: Callable[[Sequence[Sloped]], Sloped],
    judged: Callable[[Iterable[Operand]], Operand],
) -> Extent:
    stills = [one.still for one in spans if one.still is not None]
    if len(stills) == len(spans):
        return at_rest(judged(stills))
    there = [one for one in spans if not (one.never and one.absent)]
    known = [one for one in there if not one.never]
    numbers = [one.number for one in known if one.number is not None]
    if not known or not all(one.certain for one in known) or len(numbers) < len(known):
        return undecided_span(*spans)
    side = EXACT if len(known) == len(there) else NO_LESS
    return moving(join(numbers), *known, side=side)


def span_of_share(force: Extent, own: Extent, weights: Sequence[Extent]) -> Extent:
    """What one has of a whole by its weight among all weights."""
    parts = (force, own, *weights)
    whole = span_of_sum(weights)
    numbers = [one.number for one in (force, own, whole)]
    if force.never:
        return force
    if not all(one.certain for one in parts) or whole.side != EXACT or None in numbers:
        return undecided_span(*parts)
    of, weight, all_of_them = (one for one in numbers if one is not None)
    if all_of_them.value.low <= 0.0:
        return undecided_span(*parts)
    share = sloped_quotient(sloped_product(of, weight), all_of_them)
    return Extent(share, sides=sides_of(parts))


def span_at_wheel(torque: Extent, ratio: Extent, circumference: Extent) -> Extent:
    """The torque at the wheel over the wheel's circumference, losses left out."""
    parts = (torque, ratio, circumference)
    numbers = [one.number for one in parts if one.certain and one.number is not None]
    if len(numbers) < len(parts) or numbers[2].value.low <= 0.0:
        return undecided_span(*parts)
    return Extent(
        sloped_quotient(sloped_product(numbers[0], numbers[1]), numbers[2]), sides=sides_of(parts)
    )
