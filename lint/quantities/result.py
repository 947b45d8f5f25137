"""What a formula comes to, by what is known of its inputs: a value, a bound, or what it lacks."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from .operand import (
    ABSENT,
    EXACT,
    NO_LESS,
    NO_MORE,
    NOT_THERE,
    NOTHING,
    TURNED,
    NoMoreThan,
    NotWorked,
    Operand,
    Side,
)
from .worked import Worked

Lookup = Callable[[str], Operand]


def result(spec: Worked, look_up: Lookup) -> Operand:
    """One formula applied to what is known of its inputs."""
    return _least(spec, look_up) if spec.combine == "least" else _whole(spec, look_up)


def _whole(spec: Worked, look_up: Lookup) -> Operand:
    """A formula that needs all its inputs but the optional ones."""
    values: dict[str, Any] = {}
    sides: list[Side] = []
    missing = NOTHING
    reason = ""
    lacks = False
    for argument, name in spec.inputs.items():
        operand = look_up(name)
        if operand.value is not None:
            values[argument] = operand.value
            if operand.side != EXACT:
                missing |= operand.missing
                sides.append(_passed_on(spec, argument, operand.side))
        elif argument not in spec.optional:
            if operand.side == ABSENT:
                return NOT_THERE
            lacks = True
            missing |= operand.missing
            reason = reason or operand.reason
    if lacks:
        return Operand(None, EXACT, missing, reason)
    return _called(spec, values, sides, missing)


def _least(spec: Worked, look_up: Lookup) -> Operand:
    """A least of those inputs that are there; one that is not told leaves it at *no more than*."""
    values: dict[str, Any] = dict.fromkeys(spec.inputs, math.inf)
    sides: list[Side] = []
    missing = NOTHING
    known = False
    for argument, name in spec.inputs.items():
        operand = look_up(name)
        if operand.value is not None:
            known = True
            values[argument] = operand.value
            if operand.side != EXACT:
                sides.append(operand.side)
        elif operand.side != ABSENT:
            sides.append(NO_MORE)
        missing |= operand.missing
    if not known:
        return Operand(None, EXACT, missing) if missing else NOT_THERE
    return _called(spec, values, sides, missing)


def _passed_on(spec: Worked, argument: str, side: Side) -> Side:
    """The side of the result, as far as this argument decides it; `absent` stands for no telling."""
    if argument in spec.rises:
        return side
    return TURNED[side] if argument in spec.falls else ABSENT


def _called(
    spec: Worked, values: dict[str, Any], sides: list[Side], missing: frozenset[str]
) -> Operand:
    """Call the formula, and say on which side its result stands."""
    different = {*sides, spec.side} - {EXACT}
    if len(different) > 1 or ABSENT in different:
        return Operand(None, EXACT, missing)
    try:
        value = spec.function(**values)
    except NotWorked as reason:
        return Operand(None, EXACT, missing, str(reason))
    except (ZeroDivisionError, OverflowError):
        return Operand(None, EXACT, missing, f"{spec.name} would be divided by zero")
    if value is None or (isinstance(value, float) and not math.isfinite(value)):
        return Operand(None, EXACT, missing, f"{spec.name} lies outside its formula's limits")
    side = different.pop() if different else EXACT
    if isinstance(value, NoMoreThan):
        if side == NO_LESS:
            return Operand(None, EXACT, missing)
        return Operand(float(value), NO_MORE, missing)
    return Operand(tuple(value) if isinstance(value, list) else value, side, missing)
