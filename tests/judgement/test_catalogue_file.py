"""The file of the compiled catalogue: what is written and read again is the same to the letter."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator

import pytest
from gonogo.expressions.expression import Constant, Expression
from gonogo.expressions.types import Node
from gonogo.judgement.catalogue import compiled_rules
from gonogo.judgement.catalogue_file import catalogue_text, restored
from gonogo.judgement.rule import Rule

Rules = Callable[..., Rule]


def nodes(rule: Rule) -> Iterator[Node]:
    """Every node of a rule's expressions."""
    ends: list[Expression | None] = [rule.low, rule.high, rule.condition, rule.applies]
    ends += [rule.gate_when, *(part for step in rule.steps for part in step.parts)]
    waiting = [end.tree for end in ends if end is not None]
    while waiting:
        node = waiting.pop()
        yield node
        waiting += node.below


def test_every_rule_comes_back_as_it_was() -> None:
    """An installation judges by this file alone."""
    rules, origin = compiled_rules()
    again, origin_again = restored(catalogue_text(rules, origin))
    assert (again, origin_again) == (rules, origin)


def test_units_keep_their_symbols() -> None:
    """Which are no part of what a unit is, and yet all that a rider sees of it."""
    rules, origin = compiled_rules()
    again, _ = restored(catalogue_text(rules, origin))
    for old, new in zip(rules, again, strict=True):
        pairs = zip(nodes(old), nodes(new), strict=True)
        for one, other in pairs:
            assert repr(one.type) == repr(other.type)


@pytest.mark.parametrize("written_value", ["1", "1.0", "True", "'1'"])
def test_a_constant_keeps_its_sort(written_value: str, rule: Rules) -> None:
    """1 and true are equal to Python; a condition that is the number 1 is no condition."""
    sides = {
        "1": "pack.series",
        "1.0": "pack.full_V",
        "True": "motor.sealed",
        "'1'": "vehicle.name",
    }
    some = [
        rule(id=f"r-{number}", at=None, flag_when=f"{name} == {value}")
        for number, (value, name) in enumerate(sides.items())
        if value != "True"
    ]
    some.append(rule(id="r-true", at=None, flag_when="True"))
    again, _ = restored(catalogue_text(some, "x"))
    values = [
        repr(node.operand.value)
        for one in again
        for node in nodes(one)
        if isinstance(node, Constant)
    ]
    assert written_value in values


def test_what_is_written_is_plain_data(rule: Rules) -> None:
    """Nothing in it is run: it names our own nodes and no other."""
    data = json.loads(catalogue_text([rule(of="pack.full_V", at_most=1)], "x"))
    data["nodes"][0][0] = "Popen"
    with pytest.raises(KeyError):
        restored(json.dumps(data))
