"""Quantities that a table or a search answers, over a box: by what they are known to do.

Where a formula can be written that gives the same over all inputs it stands in for the words. Else the
table below says which way the quantity moves with an argument, which a test tries on every row; one
that it does not name may be anything.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from ..expressions.compiler import compiled
from ..expressions.formula import FormulaCompiler
from ..expressions.names import vocabulary
from ..expressions.types import Node, Type
from ..quantities.number import is_number
from ..quantities.operand import EXACT, NoLessThan, NoMoreThan, NotWorked, Operand
from ..quantities.worked import Worked
from .extent import Extent, at_rest, moving, sides_of, undecided_span
from .interval import hull, point
from .sloped import Sloped, monotone_number, sloped_product, widened

SEARCHED = 1e-9  # of a value: so much a search may stop short

_MEASURED = "rpm / (modulation * pack_V)"
# By the quantity: a formula over the arguments of its words, and when it gives a value at all.
STAND_INS: Mapping[str, tuple[str, str]] = {
    "motor.kv_proven_rpm_per_V": (
        f"kv if throttle == 'full' and {_MEASURED} >= kv * low else {_MEASURED}",
        f"{_MEASURED} <= kv * high",
    ),
    "pack.least_mass_kg": ("energy_Wh / 300", ""),
}
_BUS_PEAK = {"full_V": 1, "regen_A": 1, "winding_J": 1, "trip_V": 1, "capacitance_uF": -1}
# By the quantity: 1 where it never falls as the argument rises, −1 where it never rises.
MOVES_WITH: Mapping[str, Mapping[str, int]] = {
    "controller.contactor_peak_V": _BUS_PEAK,
    "controller.quick_trip_peak_V": _BUS_PEAK,
    "controller.trip_peak_V": _BUS_PEAK,
    "motor.voltage_corner_rpm": {
        "loaded_V": 1,
        "flux_Vs": -1,
        "phase_mohm": -1,
        "inductance_uH": -1,
        "current_A_rms": -1,
    },
    "pack.min_full_reading_V": {"full_V": 1, "charger_V": 1},
    "wiring.precharge_left_J": {
        "capacitance_uF": 1,
        "full_V": 1,
        "resistor_ohm": 1,
        "time_s": -1,
    },
}
# By the quantity: the arguments that it is proportional to; whether it gives a value does not depend on them.
PROPORTIONAL: Mapping[str, tuple[str, ...]] = {
    "wiring.battery_cable_mohm": ("length_m",),
    "pack.usual_short_circuit_A": ("cell_V", "capacity_Ah"),
}


def stand_in(spec: Worked) -> Node | None:
    """The formula that stands in for the words of a quantity; None where there is none."""
    return _compiled(spec, 0)


def stand_in_scope(spec: Worked) -> Node | None:
    """When the formula that stands in gives a value; None where it always does."""
    return _compiled(spec, 1)


@cache
def _compiled(spec: Worked, part: int) -> Node | None:
    texts = STAND_INS.get(spec.name)
    if texts is None or spec.formula or not texts[part]:
        return None
    known = vocabulary()
    arguments = {name: Type(known[quantity].sort) for name, quantity in spec.inputs.items()}
    return compiled(texts[part], FormulaCompiler(arguments))


def by_asking(spec: Worked, arguments: Mapping[str, Extent]) -> Extent:
    """What a quantity without a formula comes to, asked at the ends of its arguments."""
    moves = {
        **dict.fromkeys(spec.rises, 1),
        **dict.fromkeys(spec.falls, -1),
        **MOVES_WITH.get(spec.name, {}),
    }
    moved = {name: one for name, one in arguments.items() if one.still is None}
    if moved.keys() <= set(PROPORTIONAL.get(spec.name, ())):
        return _proportional(spec, arguments, moved)
    if spec.returns != "number" or not moved.keys() <= moves.keys():
        return undecided_span(*moved.values())
    if any(one.number is None or one.open or one.members for one in moved.values()):
        return undecided_span(*moved.values())
    low, high = (_asked(spec, arguments, moves, upper) for upper in (False, True))
    if not (is_number(low) and is_number(high)):
        return undecided_span(*moved.values())
    if isinstance(low, NoMoreThan | NoLessThan) or isinstance(high, NoMoreThan | NoLessThan):
        return undecided_span(*moved.values())
    value = widened(hull((point(float(low)), point(float(high)))), SEARCHED)
    ways: dict[int, list[Any]] = {1: [], -1: []}
    for name, one in moved.items():
        assert one.number is not None
        ways[moves[name]].append(one.number.slopes)
    number = monotone_number(value, ways[1], ways[-1])
    return Extent(number, EXACT, sides=sides_of(moved.values()))


def _proportional(
    spec: Worked, arguments: Mapping[str, Extent], moved: Mapping[str, Extent]
) -> Extent:
    """What is proportional to all that moves: what one of each gives, times them."""
    one_each = {
        name: at_rest(Operand(1.0)) if name in moved else arguments[name] for name in arguments
    }
    unit = _asked(spec, one_each, {}, True)
    if not is_number(unit):
        return Extent(None, unknown=True)
    number = Sloped(widened(point(float(unit)), SEARCHED))
    for one in moved.values():
        if one.number is None:
            return undecided_span(*moved.values())
        number = sloped_product(number, one.number)
    return moving(number, *moved.values())


def _asked(
    spec: Worked, arguments: Mapping[str, Extent], moves: Mapping[str, int], upper: bool
) -> object:
    """The function's answer with every argument at the end that makes it least, or greatest."""
    values: dict[str, Any] = {}
    for name, one in arguments.items():
        if one.still is not None:
            if one.still.value is not None:
                values[name] = one.still.value
        elif one.number is not None:
            ends = one.number.value
            values[name] = ends.high if upper == (moves[name] > 0) else ends.low
    try:
        return spec.function(**values)
    except (NotWorked, ZeroDivisionError, OverflowError, ValueError):
        return None
