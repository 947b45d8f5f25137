"""Tooth counts: the stages of a drive as they were before a slip in one of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from .digits import exchanged, without_a_digit

DRIVING, DRIVEN = "driving_teeth", "driven_teeth"
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
