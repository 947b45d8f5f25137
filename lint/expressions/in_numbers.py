"""An expression with its numbers put in, as somebody works it out on paper."""

from __future__ import annotations

from typing import NamedTuple

from ..quantities.operand import Lookup
from ..quantities.registry import unit_of
from .expression import (
    Choice,
    Constant,
    Converted,
    Difference,
    Expression,
    Extreme,
    ExtremeOfList,
    Name,
    Negative,
    Product,
    Quotient,
    Rounded,
    Size,
    Sum,
)
from .formatting import shown
from .formula import EXTREMES, OF_LIST, WRITTEN_SIGNS
from .types import Node


class InNumbers(NamedTuple):
    """An expression in numbers, and the names of the quantities that it tells."""

    text: str
    names: frozenset[str]


def in_numbers(expression: Expression, look_up: Lookup) -> InNumbers:
    """The expression with each quantity's value in its place, or its name where that is not known.

    Of a choice only the part that holds is told, the first where nobody knows which.
    """
    writer = _Writer(look_up)
    text, _ = writer.text(expression.tree)
    return InNumbers(text, frozenset(writer.names))


class _Writer:
    def __init__(self, look_up: Lookup) -> None:
        self.look_up = look_up
        self.names: set[str] = set()

    def text(self, node: Node) -> tuple[str, int]:
        """A part in numbers, with how tightly it binds."""
        match node:
            case Constant():
                value = node.operand.value
                return shown(value), 9
            case Name():
                return self._named(node.name), 9
            case Converted():
                return self.text(node.part)
            case Product() if self.text(node.right)[0] == "1":
                return self.text(node.left)
            case Choice():
                holds = node.test.evaluate(self.look_up).value
                return self.text(node.other if holds is False else node.then)
            case Sum() | Difference() | Product() | Quotient():
                sign, strength, tight = WRITTEN_SIGNS[type(node)]
                left, right = self._within(node.left, strength), self._within(node.right, tight)
                return f"{left}{sign}{right}", strength
            case Negative():
                return f"−{self._within(node.part, 3)}", 3
            case Extreme():
                return f"{EXTREMES[node.pick]} ({self._listed(*node.parts)})", 9
            case ExtremeOfList():
                return f"{OF_LIST[node.pick]} {self._listed(node.part)}", 9
            case Size() | Rounded():
                what = "size of" if isinstance(node, Size) else "rounded"
                return f"{what} ({self._listed(node.part)})", 9
        raise TypeError(f"a band with {type(node).__name__} in it has no written form")

    def _named(self, name: str) -> str:
        self.names.add(name)
        value = self.look_up(name).value
        return name if value is None else shown(value, unit_of(name))

    def _listed(self, *parts: Node) -> str:
        return ", ".join(self.text(part)[0] for part in parts)

    def _within(self, node: Node, strength: int) -> str:
        text, own = self.text(node)
        return text if own >= strength else f"({text})"
