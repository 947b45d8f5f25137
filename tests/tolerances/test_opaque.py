"""Quantities that a table or a search answers move as the box takes them to."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random
from typing import Any

import pytest
from gonogo.expressions.types import Node
from gonogo.quantities.number import is_number
from gonogo.quantities.operand import NotWorked, Operand
from gonogo.quantities.registry import WORKED
from gonogo.quantities.worked import Worked
from gonogo.tolerances.opaque import (
    MOVES_WITH,
    PROPORTIONAL,
    STAND_INS,
    stand_in,
    stand_in_scope,
)

from .example_vehicles import EXAMPLES, bench_of

TRIES = 40


def with_words(names: object) -> list[Worked]:
    """The formulas of these quantities that have words and no formula."""
    return [spec for name in names for spec in WORKED[name] if not spec.formula]  # type: ignore[attr-defined]


def calls(spec: Worked) -> Iterator[dict[str, Any]]:
    """Arguments as the example vehicles have them, as far as they have all that is needed."""
    for path in EXAMPLES[::3]:
        book = bench_of(path)[0].books[""]
        found = {argument: book.operand(name).value for argument, name in spec.inputs.items()}
        known = {argument: value for argument, value in found.items() if value is not None}
        if known.keys() >= spec.inputs.keys() - spec.optional:
            yield known


def answer(spec: Worked, arguments: dict[str, Any]) -> float | None:
    """What the function gives, None where it gives nothing."""
    try:
        value = spec.function(**arguments)
    except NotWorked:
        return None
    return float(value) if is_number(value) else None


@pytest.mark.parametrize("spec", with_words(MOVES_WITH), ids=lambda spec: spec.function.__name__)
def test_what_moves_one_way_never_turns(spec: Worked) -> None:
    """A quantity that turned inside a box would be worst where nobody looked."""
    chance, tried = Random(spec.name), 0
    moves = {
        **dict.fromkeys(spec.rises, 1),
        **dict.fromkeys(spec.falls, -1),
        **MOVES_WITH[spec.name],
    }
    for known in calls(spec):
        for argument, way in moves.items():
            if argument not in known:
                continue
            for _ in range(TRIES // 4):
                factors = sorted((chance.uniform(0.5, 1.6), chance.uniform(0.5, 1.6)))
                low, high = (
                    answer(spec, {**known, argument: known[argument] * one}) for one in factors
                )
                if low is not None and high is not None:
                    tried += 1
                    assert way * (high - low) >= -1e-7 * abs(high), (argument, known)
    assert tried > TRIES


@pytest.mark.parametrize("spec", with_words(PROPORTIONAL), ids=lambda spec: spec.name)
def test_what_is_proportional_doubles_with_each_argument(spec: Worked) -> None:
    """Twice the length is twice the resistance."""
    tried = 0
    for known in calls(spec):
        for argument in PROPORTIONAL[spec.name]:
            once = answer(spec, known)
            twice = answer(spec, {**known, argument: 2.0 * known[argument]})
            assert (once is None) == (twice is None)
            if once is not None:
                tried += 1
                assert twice == pytest.approx(2.0 * once)
    if (
        spec.function.__name__ != "battery_cable_other"
    ):  # only for sections between two of the table
        assert tried


@pytest.mark.parametrize("spec", with_words(STAND_INS), ids=lambda spec: spec.name)
def test_a_formula_that_stands_in_gives_the_same(spec: Worked) -> None:
    """Where it says that there is no value the function raises."""
    tree, scope, chance, tried = stand_in(spec), stand_in_scope(spec), Random(spec.name), 0
    assert tree is not None
    for known in calls(spec):
        for _ in range(TRIES):
            moved = {
                name: value * chance.uniform(0.7, 1.4) if is_number(value) else value
                for name, value in known.items()
            }
            tried += 1
            assert answer(spec, moved) == pytest.approx(evaluated(tree, scope, moved))
    assert tried > TRIES


def evaluated(tree: Node, scope: Node | None, arguments: dict[str, Any]) -> float | None:
    """What a tree comes to, None outside its scope."""
    operands = {name: Operand(value) for name, value in arguments.items()}
    if scope is not None and scope.evaluate(operands.__getitem__).value is not True:
        return None
    return tree.evaluate(operands.__getitem__).number
