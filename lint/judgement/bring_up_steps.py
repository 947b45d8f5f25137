"""The steps of a bring-up as they come with gonogo: what to do, in a safe order, and what to read."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any, NamedTuple

from ..documents.contents import contents
from ..documents.schema import canonical
from ..documents.units import UNITS
from ..expressions.compiler import compile_expression
from ..expressions.expression import Expression, scaled
from ..expressions.names import vocabulary
from .catalogue import RULES
from .rule import Stage
from .rule_file import UNUSABLE, unusable

BRING_UP_FILE = "bring-up"
BandEnds = tuple[Expression | None, Expression | None]


class StepReading(NamedTuple):
    """One reading of a step: its entry and bands; what is `optional` keeps no step open.

    `when` says for which vehicles it is.
    """

    entry: str
    expect: BandEnds | None
    stop: BandEnds | None
    can_be: BandEnds | None
    optional: bool
    when: Expression | None


class BringUpStep(NamedTuple):
    """One step of the bring-up as it comes with gonogo; `when` says for which vehicles it is.

    `do` may name quantities in braces, which a plan fills in. One that `notices` asks again what was
    noticed. It waits for the steps that it comes `after`.
    `turns` says at which stage the motor turns in it, if it does, and `powers` of what it charges or
    has connected; `several`: only where there are several motors.
    """

    step: str
    title: str
    do: str
    caution: str
    turns: Stage | None
    after: tuple[str, ...]
    when: Expression | None
    readings: tuple[StepReading, ...]
    stop_if: str
    notices: bool
    several: bool = False
    powers: tuple[str, ...] = ()


@lru_cache(maxsize=1)
def bring_up_steps() -> tuple[BringUpStep, ...]:
    """The steps that come with gonogo, in their order."""
    try:
        return tuple(map(_step, contents(RULES, BRING_UP_FILE)["steps"]))
    except UNUSABLE as error:
        raise unusable(f"rules/{BRING_UP_FILE}.yaml", error) from error


@lru_cache(maxsize=1)
def one_alone() -> str:
    """What is to be done besides where one of several motors turns."""
    words: str = contents(RULES, BRING_UP_FILE)["one_of_several"]
    return words


def _step(data: Mapping[str, Any]) -> BringUpStep:
    return BringUpStep(
        step=data["step"],
        title=data["title"],
        do=data["do"],
        caution=data["caution"],
        turns=data.get("turns"),
        after=tuple(data.get("after", ())),
        when=_when(data),
        readings=tuple(map(_reading, data.get("measure", ()))),
        stop_if=data["stop_if"],
        notices=data.get("notices", False),
        several=data.get("several", False),
        powers=tuple(data.get("powers", ())),
    )


def _when(data: Mapping[str, Any]) -> Expression | None:
    return compile_expression(data["when"], vocabulary()) if "when" in data else None


def _reading(data: Mapping[str, Any]) -> StepReading:
    unit = UNITS.get(canonical()[data["entry"]].unit)

    def ends(key: str) -> BandEnds | None:
        if key not in data:
            return None
        low, high = (
            None if one is None else scaled(compile_expression(one, vocabulary()), unit)
            for one in data[key]
        )
        return low, high

    return StepReading(
        entry=data["entry"],
        expect=ends("expect"),
        stop=ends("stop"),
        can_be=ends("can_be"),
        optional=data.get("optional", False),
        when=_when(data),
    )


def tick_of(step: str) -> str:
    """The word under which a step without readings is ticked in a profile.

    >>> tick_of("last-look")
    'last_look'
    """
    return step.replace("-", "_")
