"""The file of the compiled catalogue: rules and their expressions as plain data, and back again.

Expressions are rows of a table: a node names the rows of its parts, which stand before it. Equal
rows stand there once. Nothing in the file is run; it can only say which of our nodes to make.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from ..documents.units import Dimension, Unit
from ..expressions import expression
from ..expressions.expression import Constant, Expression
from ..expressions.types import Node, Several, Type
from ..quantities.operand import Operand
from .rule import Example, Rule, Tier

COMPILED = "catalogue"  # the file's name
NODES: Mapping[str, type[Node]] = {
    name: thing
    for name, thing in vars(expression).items()
    if isinstance(thing, type) and issubclass(thing, Node)
}
# What a node says in the columns of its row; whatever else it holds stands after them.
COLUMNS = frozenset(("type", "left", "right", "part", "parts", "test", "then", "other"))
EXPRESSIONS = ("low", "high", "condition", "applies", "gate_when")
NAMES = ("reads", "judges", "tells")


class Rows:
    """A table in which every row stands once."""

    def __init__(self) -> None:
        self._places: dict[str, int] = {}

    def place(self, row: list[Any]) -> int:
        """The number of a row, which is put at the end if it is new."""
        # As text, in which 1, 1.0 and true are three.
        return self._places.setdefault(json.dumps(row, allow_nan=False), len(self._places))

    @property
    def rows(self) -> list[Any]:
        """All rows by their numbers."""
        return [json.loads(row) for row in self._places]


class Writer:
    """Turns rules into data, their parts into rows."""

    def __init__(self) -> None:
        self.units, self.types, self.names = Rows(), Rows(), Rows()
        self.nodes, self.expressions = Rows(), Rows()

    def rule(self, rule: Rule) -> dict[str, Any]:
        """A rule by its fields."""
        told = _fields(rule)
        told |= {key: self.expression(told[key]) for key in EXPRESSIONS}
        told |= {key: self.names.place(sorted(told[key])) for key in NAMES}
        return told | {"steps": [self.step(step) for step in rule.steps]}

    def step(self, step: Tier) -> dict[str, Any]:
        """A step by its fields."""
        ends = {"low": step.low, "high": step.high, "when": step.when}
        return _fields(step) | {key: self.expression(end) for key, end in ends.items()}

    def expression(self, whole: Expression | None) -> int | None:
        """The row of an expression: its text, its tree, and the names that it reads."""
        if whole is None:
            return None
        names = self.names.place(sorted(whole.names))
        return self.expressions.place([whole.text, self.node(whole.tree), names])

    def node(self, node: Node) -> int:
        """The row of a node: its class, its type, its parts, and whatever else it holds."""
        parts = [self.node(part) for part in node.below]
        own = [getattr(node, key) for key in _keys(node) if key not in COLUMNS]
        if isinstance(node, Constant):
            own = [node.operand.value, node.symbol]
        return self.nodes.place([type(node).__name__, self.type(node.type), parts, *own])

    def type(self, type_: Type) -> int:
        """The row of a type."""
        unit = None if type_.unit is None else self.units.place(_unit_row(type_.unit))
        return self.types.place([type_.sort, unit, list(type_.choices)])


def _keys(thing: Any) -> Iterable[str]:
    keys: Mapping[str, Any] = type(thing).__dataclass_fields__
    return keys


def _fields(thing: Any) -> dict[str, Any]:
    return {key: getattr(thing, key) for key in _keys(thing)}


def _unit_row(unit: Unit) -> list[Any]:
    return [
        unit.dimension.powers,
        *(getattr(unit, key) for key in _keys(unit) if key != "dimension"),
    ]


def catalogue_text(rules: Iterable[Rule], origin: str) -> str:
    """Rules as the text of a file, with the digest of the files that they were compiled from."""
    writer = Writer()
    told = [writer.rule(rule) for rule in rules]
    tables = {key: rows.rows for key, rows in vars(writer).items()}
    return json.dumps({"origin": origin, **tables, "rules": told}, allow_nan=False)


def restored(text: str) -> tuple[list[Rule], str]:
    """The rules in a file, and the digest of the files that they were compiled from."""
    data = json.loads(text)
    units = [Unit(Dimension(tuple(powers)), *rest) for powers, *rest in data["units"]]
    types = [
        Type(sort, None if unit is None else units[unit], tuple(choices))
        for sort, unit, choices in data["types"]
    ]
    names = [frozenset(row) for row in data["names"]]
    nodes: list[Node] = []
    for kind, type_, parts, *own in data["nodes"]:
        nodes.append(_node(NODES[kind], types[type_], [nodes[part] for part in parts], own))
    expressions = [
        Expression(text, nodes[node], names[of]) for text, node, of in data["expressions"]
    ]
    return [_rule(told, expressions, names) for told in data["rules"]], data["origin"]


def _node(kind: type[Node], type_: Type, parts: list[Node], own: list[Any]) -> Node:
    if kind is Constant:
        value, symbol = own
        return Constant(type_, Operand(value), symbol)
    make: Callable[..., Node] = kind  # each kind has fields of its own
    below = (tuple(parts),) if issubclass(kind, Several) else parts
    return make(type_, *below, *own)


def _rule(told: dict[str, Any], expressions: list[Expression], names: list[frozenset[str]]) -> Rule:
    told |= _placed(told, EXPRESSIONS, expressions) | {key: names[told[key]] for key in NAMES}
    for key in ("needs", "yields_to"):
        told[key] = tuple(told[key])
    steps = [step | _placed(step, ("low", "high", "when"), expressions) for step in told["steps"]]
    told["steps"] = tuple(Tier(**step) for step in steps)
    told["examples"] = tuple(Example(*example) for example in told["examples"])
    return Rule(**told)


def _placed(
    told: Mapping[str, Any], keys: Iterable[str], expressions: list[Expression]
) -> dict[str, Expression | None]:
    return {key: None if told[key] is None else expressions[told[key]] for key in keys}
