"""Expressions of rules: compiled once, with the names they read and the unit they yield."""

from __future__ import annotations

from typing import NamedTuple

from ..documents.error import ExpressionError
from ..documents.units import Unit
from .compiler import Compiler, error_at, parsed
from .types import Evaluate, Kind, Node, Vocabulary, converted
from .unit_arithmetic import UnlikeUnits, common


class Expression(NamedTuple):
    """A compiled expression with the names that it reads."""

    text: str
    evaluate: Evaluate
    kind: Kind
    names: frozenset[str]


def compile_expression(text: str | float, vocabulary: Vocabulary) -> Expression:
    """The expression in `text`, its names looked up in `vocabulary` and its units checked.

    Raises ExpressionError with the column inside the text, what was found and what was wanted.
    """
    written = str(text)
    kind = vocabulary.get(written)
    if kind is not None:
        return Expression(written, lambda look_up: look_up(written), kind, frozenset((written,)))
    tree = parsed(written)
    compiler = Compiler(vocabulary)
    try:
        node = compiler.node(tree)
    except RecursionError:
        raise error_at(tree, "an expression nested too deep", "fewer brackets") from None
    return Expression(written, node.evaluate, node.kind, frozenset(compiler.names))


def scaled(expression: Expression, unit: Unit | None) -> Expression:
    """The same expression with its value in `unit`; a bare number takes the unit as it is.

    Raises ExpressionError where the units are unlike.
    """
    own = expression.kind.unit
    if unit is None or own is None:
        return expression
    try:
        common(unit, own, "compared with")
    except UnlikeUnits as unlike:
        raise ExpressionError(found=expression.text, wanted=str(unlike)) from unlike
    node = converted(Node(expression.kind, expression.evaluate), unit)
    return Expression(expression.text, node.evaluate, node.kind, expression.names)
