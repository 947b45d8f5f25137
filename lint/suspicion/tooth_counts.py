"""Tooth counts: the stages of a drive as they were before a slip in one of them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from .digits import exchanged, without_a_digit

DRIVING, DRIVEN = "driving_teeth", "driven_teeth"
_SMALLEST = range(
    10, 23
)  # teeth of the small wheel of a stage that is not entered; common practice
_AGREES = 0.006  # two reductions of the same stages, one of them rounded
FEWEST, MOST = 6, 400  # teeth of a sprocket, pulley or gear that a vehicle has


def turned_stages(stages: Any) -> Iterator[list[dict[str, int]]]:
    """The stages with one of them, or all of them, the other way about."""
    if not isinstance(stages, list | tuple):
        return

    def turn(stage: Mapping[str, int]) -> dict[str, int]:
        return {DRIVING: stage[DRIVEN], DRIVEN: stage[DRIVING]}

    for at in range(len(stages)):
        yield [turn(stage) if at == place else dict(stage) for place, stage in enumerate(stages)]
    if len(stages) > 1:
        yield [turn(stage) for stage in stages]


def retyped_stages(stages: Any) -> Iterator[list[dict[str, int]]]:
    """The stages with the digits of one tooth count as they were before they were mistyped.

    >>> list(retyped_stages([{"driving_teeth": 21, "driven_teeth": 44}]))
    [[{'driving_teeth': 12, 'driven_teeth': 44}]]
    """
    if not isinstance(stages, list | tuple):
        return
    for at, stage in enumerate(stages):
        for key in (DRIVING, DRIVEN):
            now = float(stage[key])
            for value in (*exchanged(now), *without_a_digit(now)):
                if FEWEST <= value <= MOST and value == int(value):
                    meant = {**stage, key: int(value)}
                    yield [meant if at == place else dict(one) for place, one in enumerate(stages)]


def reduction_of(stages: Any) -> float | None:
    """What the stages reduce by together; None where there are none.

    >>> reduction_of([{"driving_teeth": 18, "driven_teeth": 54}, {"driving_teeth": 10, "driven_teeth": 20}])
    6.0
    """
    if not isinstance(stages, list | tuple) or not stages:
        return None
    ratios: list[float] = [stage[DRIVEN] / stage[DRIVING] for stage in stages]
    return math.prod(ratios)


def with_a_stage(stages: Any, reduction: float) -> Iterator[list[dict[str, int]]]:
    """The stages with one more, so that they reduce by so much; its teeth are one pair of many.

    >>> list(with_a_stage([{"driving_teeth": 16, "driven_teeth": 48}], 9.0))
    [[{'driving_teeth': 16, 'driven_teeth': 48}, {'driving_teeth': 10, 'driven_teeth': 30}]]
    """
    now = reduction_of(stages)
    if now is None:
        return
    missing = reduction / now
    pairs = [(small, round(small * missing)) for small in _SMALLEST]
    small, large = min(pairs, key=lambda pair: abs(pair[1] / pair[0] / missing - 1.0))
    if large > small and large <= MOST and _agrees(now * large / small, reduction):
        yield [*map(dict, stages), {DRIVING: small, DRIVEN: large}]


def without_a_stage(stages: Any, reduction: float) -> Iterator[list[dict[str, int]]]:
    """The stages with one less, so that they reduce by so much.

    >>> list(without_a_stage([{"driving_teeth": 16, "driven_teeth": 48}] * 2, 3.0))
    [[{'driving_teeth': 16, 'driven_teeth': 48}]]
    """
    if isinstance(stages, list | tuple):
        for at in range(len(stages)):
            left = [dict(stage) for place, stage in enumerate(stages) if place != at]
            told = reduction_of(left)
            if told is not None and _agrees(told, reduction):
                yield left
                return  # of two equal stages it is the same


def with_other_teeth(stages: Any, reduction: float) -> Iterator[list[dict[str, int]]]:
    """The stages with one tooth count otherwise, so that they reduce by so much.

    >>> list(with_other_teeth([{"driving_teeth": 12, "driven_teeth": 89}], 8.167))
    [[{'driving_teeth': 12, 'driven_teeth': 98}]]
    """
    now = reduction_of(stages)
    if now is None:
        return
    for at, stage in enumerate(stages):
        for key, factor in ((DRIVING, now / reduction), (DRIVEN, reduction / now)):
            teeth = round(stage[key] * factor)
            meant = {**stage, key: teeth}
            then = [meant if at == place else dict(one) for place, one in enumerate(stages)]
            told = reduction_of(then) if FEWEST <= teeth <= MOST else None
            if told is not None and teeth != stage[key] and _agrees(told, reduction):
                yield then


def _agrees(told: float, reduction: float) -> bool:
    return abs(told / reduction - 1.0) <= _AGREES
