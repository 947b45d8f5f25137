"""The types of expressions: numbers with units, texts, truths, and how each is found."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Literal, NamedTuple

from ..documents.units import UNITS, Unit
from ..quantities.operand import Lookup, Operand

Sort = Literal["number", "text", "boolean", "numbers", "texts", "structure"]
Evaluate = Callable[[Lookup], Operand]


class Kind(NamedTuple):
    """What an expression yields: a number with its unit (None: a bare number), a text, a truth.

    `choices` holds the texts that a text quantity may have, where the schema lists them.
    """

    sort: Sort
    unit: Unit | None = None
    choices: tuple[str, ...] = ()


BOOLEAN = Kind("boolean")
BARE = Kind("number")
PLAIN = UNITS[""]
Vocabulary = Mapping[str, Kind]


class Node(NamedTuple):
    """A part of an expression while it is compiled."""

    kind: Kind
    evaluate: Evaluate


def converted(node: Node, unit: Unit) -> Node:
    """The node with its value in `unit`, which is like its own."""
    own = node.kind.unit
    factor = own.scale / unit.scale if own is not None else 1.0
    if abs(factor - 1.0) < 1e-12:
        return node
    inner = node.evaluate

    def evaluate(look_up: Lookup) -> Operand:
        operand = inner(look_up)
        return operand if operand.value is None else operand._replace(value=operand.value * factor)

    return Node(Kind("number", unit), evaluate)
