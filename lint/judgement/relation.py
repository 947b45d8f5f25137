"""How the parts of an expression stand to each other: like in unit, compared, one among others."""

from __future__ import annotations

import ast
from collections.abc import Sequence
from difflib import get_close_matches
from typing import NamedTuple

from ..quantities.operand import Operand
from . import arithmetic
from .grammar import error_at
from .kind import Evaluate, Kind, Lookup, Node, converted
from .operators import COMPARED, ORDERED
from .unit import Unit, UnlikeUnits, common


class Term(NamedTuple):
    """A part of an expression as it is written, and compiled."""

    tree: ast.expr
    node: Node

    def __str__(self) -> str:
        return f"{ast.unparse(self.tree)} ({self.node.kind.sort})"


def alike(terms: Sequence[Term], doing: str) -> tuple[Unit | None, list[Node]]:
    """Numbers in one unit, that of the first that has one; `doing` says why they must be alike."""
    unit: Unit | None = None
    for tree, node in terms:
        if node.kind.unit is None:
            continue
        try:
            unit = node.kind.unit if unit is None else common(unit, node.kind.unit, doing)
        except UnlikeUnits as unlike:
            raise error_at(tree, ast.unparse(tree), str(unlike)) from unlike
    return unit, [node if unit is None else converted(node, unit) for _, node in terms]


def compared(op: ast.cmpop, left: Term, right: Term) -> Evaluate:
    """Two parts of one sort held against each other."""
    compare = COMPARED.get(type(op))
    if compare is None:
        raise error_at(left.tree, "`is`", "a comparison such as == or <")
    one, other = left.node, right.node
    sort = one.kind.sort
    if sort != other.kind.sort:
        raise error_at(left.tree, f"{left} and {right}", "two of a sort to compare")
    if sort == "number":
        _, (one, other) = alike((left, right), "compared with")
    elif isinstance(op, ORDERED):
        raise error_at(left.tree, ast.unparse(left.tree), "numbers on both sides of < and >")
    elif sort == "text":
        _refuse_unknown_text(right.tree, one.kind)
        _refuse_unknown_text(left.tree, other.kind)
    first, second = one.evaluate, other.evaluate
    return lambda look_up: compare(first(look_up), second(look_up))


def among(item: Term, written: ast.expr, members: Sequence[Term]) -> Evaluate:
    """Whether the item is one of the members of a list that is written out."""
    if not members:
        raise error_at(written, "an empty list", "a list with something in it")
    same = [compared(ast.Eq(), item, member) for member in members]
    return lambda look_up: arithmetic.either(one(look_up) for one in same)


def within(item: Term, whole: Term) -> Evaluate:
    """Whether the item is in a quantity that is a list."""
    kind = whole.node.kind
    if kind.sort not in ("texts", "numbers") or kind.sort != item.node.kind.sort + "s":
        raise error_at(whole.tree, ast.unparse(whole.tree), "a list, or a quantity that is one")
    _refuse_unknown_text(item.tree, kind)
    sought = item.node
    if kind.sort == "numbers":
        members = Term(whole.tree, Node(Kind("number", kind.unit), whole.node.evaluate))
        _, (_, sought) = alike((members, item), "searched for")

    def found(look_up: Lookup) -> Operand:
        one, many = sought.evaluate(look_up), whole.node.evaluate(look_up)
        if one.value is None or many.value is None:
            return arithmetic.unknown(one, many)
        if not many.value:
            return arithmetic.FALSE
        return arithmetic.either(arithmetic.equal(one, Operand(member)) for member in many.value)

    return found


def _refuse_unknown_text(tree: ast.expr, kind: Kind) -> None:
    """Refuse a text that the quantity compared with it can never have."""
    if kind.choices and isinstance(tree, ast.Constant) and tree.value not in kind.choices:
        close = get_close_matches(str(tree.value), kind.choices, 1, 0.5)
        wanted = "one of " + ", ".join(kind.choices)
        raise error_at(tree, repr(tree.value), wanted, close[0] if close else None)
