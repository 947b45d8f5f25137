"""The search: whether a rule flags everywhere in a box, somewhere or nowhere, and at which corner.

Besides its span a part has another bound: the middle's value, and how far the slopes can lead from there.
A side along which the excess moves one way is pinned to its end: the extreme lies there, and nothing is
guessed. Where it may move both ways the box is halved, down to a stated share of the side or until the
budget is spent; what is left then is undecided, and says so.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import count, product
from typing import Literal, NamedTuple

from .enclosure import Box
from .extent import Extent
from .interval import (
    Interval,
    interval_difference,
    interval_product,
    interval_sum,
    outward,
    point,
)

WhereHolds = Literal["everywhere", "somewhere", "nowhere", "undecided"]
BoxPoint = Mapping[str, float]  # by the entry: a value inside the box; of a list its shift
_NARROWEST = 1.0 / 32.0  # of a side: no part of a box is halved beyond
_FEW_SIDES = 4  # whose corners are all asked, where slopes do not say which is the worst
BUDGET = 160  # boxes looked at for one question
_DUST = 1e-12  # of the excess: a slope that moves it by less is rounding alone


@dataclass(frozen=True, slots=True)
class BoxQuestion:
    """What is asked of a rule: its excess over any box, and whether the judge flags it at a point."""

    excess: Callable[[Box], Extent]
    flags: Callable[[BoxPoint], bool]


class SearchFound(NamedTuple):
    """An answer with the point that shows it, where there is one."""

    settled: bool
    shown: BoxPoint | None = None


class BoxAnswer(NamedTuple):
    """Where a rule holds; `worst` is a corner where it does not, `best` one where it does."""

    holds: WhereHolds
    worst: BoxPoint | None = None
    best: BoxPoint | None = None


def answer_of(question: BoxQuestion, box: Box, budget: int = BUDGET) -> BoxAnswer:
    """Whether the rule holds everywhere in the box, somewhere or nowhere."""
    whole = question.excess(box)
    if never_flags(whole):
        return BoxAnswer("everywhere")
    if always_flags(whole):
        return BoxAnswer("nowhere", worst=middle(box))
    broken = _find(question, box, True, budget)
    if broken.shown is None:
        return BoxAnswer("everywhere" if broken.settled else "undecided")
    kept = _find(question, box, False, budget)
    if kept.shown is None and kept.settled:
        return BoxAnswer("nowhere", worst=broken.shown)
    if kept.shown is None:
        return BoxAnswer("undecided", worst=broken.shown)
    return BoxAnswer("somewhere", broken.shown, kept.shown)


def holds_everywhere(question: BoxQuestion, box: Box, budget: int = BUDGET) -> bool:
    """Whether the rule is proven to hold everywhere in the box."""
    if never_flags(question.excess(box)):
        return True
    found = _find(question, box, True, budget)
    return found.settled and found.shown is None


def never_flags(span: Extent) -> bool:
    """Whether nothing in the box breaks the rule."""
    if span.number is None:
        return not span.other
    return span.number.value.high <= 0.0 and not span.other


def always_flags(span: Extent) -> bool:
    """Whether everything in the box breaks it."""
    return span.number is not None and not span.open and span.number.value.low > 0.0


def middle(box: Box) -> dict[str, float]:
    """The middle of a box."""
    return {name: (side.low + side.high) / 2.0 for name, side in box.items()}


def _find(question: BoxQuestion, box: Box, flagged: bool, budget: int = BUDGET) -> SearchFound:
    """A point that the judge flags, or one that it does not; the most promising parts first."""
    order = count()
    waiting: list[tuple[float, int, Box]] = [(0.0, next(order), box)]
    settled = True
    for turn in range(budget):
        if not waiting:
            break
        _, _, part = heappop(waiting)
        part, span = _pinned(question, part, flagged)
        if _settled(question, part, span, flagged):
            continue
        spots = (_promising(part, span, flagged), *(() if turn else _corners_of(part)))
        shown = next((spot for spot in spots if question.flags(spot) == flagged), None)
        if shown is not None:
            return SearchFound(True, shown)
        name = _widest(part, box, span)
        if all(side.is_point for side in part.values()):
            continue  # the judge has answered for the whole of it
        if name is None:
            settled = False
            continue
        side = part[name]
        half = (side.low + side.high) / 2.0
        for one in (Interval(side.low, half), Interval(half, side.high)):
            smaller = {**part, name: one}
            heappush(waiting, (_rank(span, flagged), next(order), smaller))
    return SearchFound(settled and not waiting)


def _settled(question: BoxQuestion, part: Box, span: Extent, flagged: bool) -> bool:
    """Whether no point of a part can be what is looked for, by its span or by its slopes."""
    decides = never_flags if flagged else always_flags
    if decides(span) or span.number is None or span.open:
        return decides(span)
    # A point at rest is a truth without a size: a hair about it has one.
    centre = {name: outward(value, value) for name, value in middle(part).items()}
    centre_span = question.excess({**part, **_wide_only(centre, part)})
    if centre_span.number is None or centre_span.open:
        return False
    value = centre_span.number.value
    if not (math.isfinite(value.low) and math.isfinite(value.high)):
        return False
    for name, slope in span.number.slopes.items():
        side = part.get(name)
        if side is not None and not side.is_point:
            half = interval_difference(side, point((side.low + side.high) / 2.0))
            value = interval_sum(value, interval_product(slope, half))
    return decides(span._replace(number=span.number._replace(value=value)))


def _wide_only(centre: Box, part: Box) -> Box:
    return {name: side for name, side in centre.items() if not part[name].is_point}


def _rank(span: Extent, flagged: bool) -> float:
    if span.number is None:
        return 0.0
    value = span.number.value
    rank = -value.high if flagged else value.low
    return rank if math.isfinite(rank) else 0.0


def _pinned(question: BoxQuestion, part: Box, flagged: bool) -> tuple[Box, Extent]:
    """The face of a box on which the excess is greatest (or least), as far as its slopes say."""
    while True:
        span = question.excess(part)
        if span.number is None or span.open:
            return part, span
        ends = {
            name: end
            for name, side in part.items()
            if not side.is_point
            for end in [_end(span, name, side, flagged)]
            if end is not None
        }
        if not ends:
            return part, span
        part = {**part, **{name: point(end) for name, end in ends.items()}}


def _end(span: Extent, name: str, side: Interval, flagged: bool) -> float | None:
    """The end of a side at which the excess is greatest (or least); None where it may turn."""
    assert span.number is not None
    slope = span.number.slopes.get(name)
    if slope is None:
        return side.low
    size = max((abs(end) for end in span.number.value if math.isfinite(end)), default=0.0)
    dust = _DUST * size
    # what is rounded outwards from nought falls a hair, and is still what only rises
    if slope.low >= 0.0 or -slope.low * side.width <= dust:
        return side.high if flagged else side.low
    if slope.high <= 0.0 or slope.high * side.width <= dust:
        return side.low if flagged else side.high
    return None


def _promising(part: Box, span: Extent, flagged: bool) -> dict[str, float]:
    """A point to ask about: the end of each side to which the excess leans."""
    spot = {}
    for name, side in part.items():
        slope = span.number.slopes.get(name) if span.number is not None else None
        leans = 0.0 if slope is None else slope.low + slope.high
        if side.is_point or not math.isfinite(leans) or leans == 0.0:
            spot[name] = (side.low + side.high) / 2.0
        else:
            spot[name] = side.high if (leans > 0.0) == flagged else side.low
    return spot


def _corners_of(part: Box) -> Iterator[dict[str, float]]:
    """All corners of a box of few sides: what moves one way has its worst there, known or not."""
    if sum(not side.is_point for side in part.values()) <= _FEW_SIDES:
        for ends in product(*(dict.fromkeys(side) for side in part.values())):
            yield dict(zip(part, ends, strict=True))


def _widest(part: Box, whole: Box, span: Extent) -> str | None:
    """The side along which the excess moves most, of those that are still wide; None if none is."""
    wide = {
        name: side.width / whole[name].width
        for name, side in part.items()
        if not side.is_point and name in span.sides
    }
    wide = {name: share for name, share in wide.items() if share > _NARROWEST}
    if not wide:
        return None

    most = span.number.value.width if span.number is not None else 0.0

    def moves(name: str) -> float:
        slope = span.number.slopes.get(name) if span.number is not None else None
        if slope is None:
            return 0.0
        rate = max(abs(slope.low), abs(slope.high))
        return min(rate * part[name].width, most)

    return max(wide, key=lambda name: (moves(name), wide[name]))
