"""The shapes in an expression's tree that plain words have a turn of their own for."""

from __future__ import annotations

from collections.abc import Sequence

from .expression import (
    And,
    Choice,
    Compare,
    Constant,
    Converted,
    IsGiven,
    IsNone,
    Name,
    Not,
    Or,
    Product,
    Quotient,
    Rounded,
)
from .formatting import shown
from .types import Node, Several, TwoParts

NONE: frozenset[str] = frozenset()


def falls_back(node: Choice) -> bool:
    """True for a quantity that another stands in for where it is not given."""
    test = node.test
    return (
        isinstance(test, IsGiven)
        and read_for_value(node.then) == {test.name}
        and not node.then.below
    )


def unconverted(node: Node) -> Node:
    """A part in the unit in which it is written."""
    return unconverted(node.part) if isinstance(node, Converted) else node


def multiple_of(node: Compare) -> tuple[str, str] | None:
    """What is held against its nearest multiple, `round(x / 2) * 2 == x`, and the number."""
    match node:
        case Compare(
            left=Product(left=Rounded(part=Quotient(left=Name() as of, right=a)), right=b),
            right=Name() as other,
        ) if a == b and isinstance(a, Constant) and of == other:
            return of.name, shown(a.operand.value)
    return None


def flat(node: Node, kind: type[Several]) -> list[Node]:
    """The parts of a condition, those of the same kind inside it taken apart."""
    if not isinstance(node, kind):
        return [node]
    return [part for inner in node.parts for part in flat(inner, kind)]


def needless(parts: Sequence[Node]) -> frozenset[str]:
    """The quantities that a part asks for, so that to say they are given says nothing more."""
    asked = frozenset[str]().union(
        *(
            read_for_value(part)
            for part in map(undenied, parts)
            if isinstance(part, TwoParts | Name)
        )
    )
    given = frozenset(part.name for part in parts if isinstance(part, IsGiven))
    return given & asked


def read_for_value(node: Node) -> frozenset[str]:
    """What is read for its value, not only asked whether it is given."""
    if isinstance(node, IsGiven | IsNone):
        return NONE
    if isinstance(node, Name):
        return node.names
    return frozenset[str]().union(*map(read_for_value, node.below))


def is_given_of(node: Node, names: frozenset[str]) -> bool:
    return isinstance(node, IsGiven) and node.name in names


def undenied(node: Node) -> Node:
    return undenied(node.part) if isinstance(node, Not) else node


def is_joined(node: Node) -> bool:
    """True for a condition of several parts, once what needs no saying is left out."""
    bare = undenied(node)
    if not isinstance(bare, And | Or) or one_of(bare) is not None:
        return False
    parts = flat(bare, type(bare))
    left_out = needless(parts) if isinstance(bare, And) else NONE
    return sum(not is_given_of(part, left_out) for part in parts) > 1


def one_of(node: Node) -> tuple[str, list[str]] | None:
    """The quantity that is one of several texts, and the texts."""
    if not isinstance(node, Or):
        return None
    names, texts = set(), []
    for part in node.parts:
        match part:
            case Compare(left=Name(name=name), right=Constant(operand=operand), sign="=="):
                names.add(name)
                texts.append(shown(operand.value).replace("_", " "))
            case _:
                return None
    return (names.pop(), texts) if len(names) == 1 else None
