"""The compiler of expressions: looks names up, checks units, and builds the tree."""

from __future__ import annotations

import ast
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from ..documents.text import nearest
from ..documents.units import Unit
from .expression import (
    And,
    Choice,
    Compare,
    Difference,
    Expression,
    Extreme,
    ExtremeOfList,
    IsGiven,
    IsMember,
    IsNone,
    Name,
    Negative,
    Not,
    Or,
    Pick,
    Product,
    Quotient,
    Rounded,
    Sign,
    Size,
    Sum,
    constant,
    converted,
)
from .grammar import DEEPEST, FUNCTIONS, GRAMMAR, dotted, error_at, parsed, too_deep
from .types import BOOLEAN, PLAIN, Node, Several, TwoParts, Type, Vocabulary
from .unit_arithmetic import UnlikeUnits, common, difference, product, quotient, total

SIGN_OF_COMPARISON: Mapping[type[ast.cmpop], Sign] = {
    ast.Lt: "<",
    ast.LtE: "<=",
    ast.Gt: ">",
    ast.GtE: ">=",
    ast.Eq: "==",
    ast.NotEq: "!=",
}
COMBINED: Mapping[type[ast.operator], tuple[Callable[[Unit, Unit], Unit], type[TwoParts]]] = {
    ast.Add: (total, Sum),
    ast.Sub: (difference, Difference),
    ast.Mult: (product, Product),
    ast.Div: (quotient, Quotient),
}
ASKED: Mapping[str, type[Name]] = {"given": IsGiven, "none": IsNone}
JOINED: Mapping[type[ast.boolop], type[Several]] = {ast.And: And, ast.Or: Or}


def compile_expression(text: str | float, vocabulary: Vocabulary) -> Expression:
    """The expression in `text`, its names looked up in `vocabulary` and its units checked.

    Raises ExpressionError with the column inside the text, what was found and what was wanted.
    """
    written = str(text)
    type_ = vocabulary.get(written)
    if type_ is not None:
        return Expression(written, Name(type_, written), frozenset((written,)))
    tree = compiled(written, Compiler(vocabulary))
    return Expression(written, tree, tree.names)


def compiled(text: str, compiler: Compiler) -> Node:
    """The tree that a compiler makes of a text."""
    tree = parsed(text)
    try:
        return compiler.node(tree)
    except RecursionError:
        raise error_at(tree, "an expression nested too deep", "fewer brackets") from None


class Term(NamedTuple):
    """A part of an expression as it is written, and compiled."""

    tree: ast.expr
    node: Node

    def __str__(self) -> str:
        return f"{ast.unparse(self.tree)} ({self.node.type.sort})"


def alike(terms: Sequence[Term], doing: str) -> tuple[Unit | None, list[Node]]:
    """Numbers in one unit, that of the first that has one; `doing` says why they must be alike."""
    unit: Unit | None = None
    for tree, node in terms:
        if node.type.unit is None:
            continue
        try:
            unit = node.type.unit if unit is None else common(unit, node.type.unit, doing)
        except UnlikeUnits as unlike:
            raise error_at(tree, ast.unparse(tree), str(unlike)) from unlike
    return unit, [node if unit is None else converted(node, unit) for _, node in terms]


def compared(op: ast.cmpop, left: Term, right: Term) -> Compare:
    """Two parts of one sort held against each other."""
    sign = SIGN_OF_COMPARISON.get(type(op))
    if sign is None:
        raise error_at(left.tree, "`is`", "a comparison such as == or <")
    one, other = left.node, right.node
    sort = one.type.sort
    if sort != other.type.sort:
        raise error_at(left.tree, f"{left} and {right}", "two of a sort to compare")
    if sort == "number":
        _, (one, other) = alike((left, right), "compared with")
    elif sign not in ("==", "!="):
        raise error_at(left.tree, ast.unparse(left.tree), "numbers on both sides of < and >")
    elif sort == "text":
        _refuse_unknown_text(right.tree, one.type)
        _refuse_unknown_text(left.tree, other.type)
    return Compare(BOOLEAN, one, other, sign)


def among(item: Term, written: ast.expr, members: Sequence[Term]) -> Node:
    """Whether the item is one of the members of a list that is written out."""
    if not members:
        raise error_at(written, "an empty list", "a list with something in it")
    return Or(BOOLEAN, tuple(compared(ast.Eq(), item, member) for member in members))


def within(item: Term, whole: Term) -> Node:
    """Whether the item is in a quantity that is a list."""
    type_ = whole.node.type
    if type_.sort not in ("texts", "numbers") or type_.sort != item.node.type.sort + "s":
        raise error_at(whole.tree, ast.unparse(whole.tree), "a list, or a quantity that is one")
    _refuse_unknown_text(item.tree, type_)
    sought = item.node
    if type_.sort == "numbers":
        one_of_them = Term(whole.tree, Node(Type("number", type_.unit)))
        _, (_, sought) = alike((one_of_them, item), "searched for")
    return IsMember(BOOLEAN, sought, whole.node)


def _refuse_unknown_text(tree: ast.expr, type_: Type) -> None:
    """Refuse a text that the quantity compared with it can never have."""
    if type_.choices and isinstance(tree, ast.Constant) and tree.value not in type_.choices:
        meant = nearest(str(tree.value), type_.choices)
        wanted = "one of " + ", ".join(type_.choices)
        raise error_at(tree, repr(tree.value), wanted, meant)


class Compiler:
    """Walks the syntax tree once: looks names up, checks units, builds nodes."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.depth = 0

    def node(self, tree: ast.expr) -> Node:
        """The part of the expression at `tree`, compiled; raises ExpressionError."""
        self.depth += 1
        if self.depth > DEEPEST:
            raise too_deep()
        node = self._node(tree)
        self.depth -= 1
        return node

    def _node(self, tree: ast.expr) -> Node:
        match tree:
            case ast.Constant():
                return self._constant(tree)
            case ast.Name() | ast.Attribute():
                return self._name(tree)
            case ast.BinOp():
                return self._combined(tree)
            case ast.Compare():
                return self._compare(tree)
            case ast.BoolOp():
                parts = tuple(self._truth(value) for value in tree.values)
                return JOINED[type(tree.op)](BOOLEAN, parts)
            case ast.UnaryOp():
                return self._unary(tree)
            case ast.IfExp():
                return self._choice(tree)
            case ast.Call():
                return self._call(tree)
        raise error_at(tree, ast.unparse(tree), f"only {GRAMMAR}")

    def _constant(self, tree: ast.Constant) -> Node:
        value = tree.value
        if isinstance(value, bool | int | float | str):
            return constant(value)
        raise error_at(tree, ast.unparse(tree), "a number, a text, True or False")

    def _name(self, tree: ast.expr) -> Node:
        name = dotted(tree)
        type_ = self.vocabulary.get(name)
        if type_ is None:
            raise error_at(tree, name, "a quantity", nearest(name, self.vocabulary))
        return Name(type_, name)

    def _number(self, tree: ast.expr) -> Node:
        node = self.node(tree)
        if node.type.sort != "number":
            raise error_at(tree, f"{ast.unparse(tree)} ({node.type.sort})", "a number")
        return node

    def _truth(self, tree: ast.expr) -> Node:
        node = self.node(tree)
        if node.type.sort != "boolean":
            raise error_at(tree, f"{ast.unparse(tree)} ({node.type.sort})", "a condition")
        return node

    def _combined(self, tree: ast.BinOp) -> Node:
        if type(tree.op) not in COMBINED:
            raise error_at(tree, ast.unparse(tree), f"only {GRAMMAR}")
        units, node_class = COMBINED[type(tree.op)]
        left, right = self._number(tree.left), self._number(tree.right)
        try:
            unit = self._combined_unit(tree.op, units, left.type.unit, right.type.unit)
        except UnlikeUnits as unlike:
            raise error_at(tree, ast.unparse(tree), str(unlike)) from unlike
        if isinstance(tree.op, ast.Add | ast.Sub) and left.type.unit and right.type.unit:
            right = converted(right, left.type.unit)
        return node_class(Type("number", unit), left, right)

    def _combined_unit(
        self,
        operator: ast.operator,
        units: Callable[[Unit, Unit], Unit],
        left: Unit | None,
        right: Unit | None,
    ) -> Unit | None:
        if left is not None and right is not None:
            return units(left, right)
        if isinstance(operator, ast.Add | ast.Sub):
            return left or right
        # 2.8 × series is as free as 2.8: so many volts a cell, times cells.
        if (left or PLAIN) == PLAIN == (right or PLAIN):
            return None
        return units(left or PLAIN, right or PLAIN)

    def _compare(self, tree: ast.Compare) -> Node:
        terms = [tree.left, *tree.comparators]
        parts = tuple(
            self._compared(op, terms[place], terms[place + 1]) for place, op in enumerate(tree.ops)
        )
        return parts[0] if len(parts) == 1 else And(BOOLEAN, parts)

    def _compared(self, op: ast.cmpop, left: ast.expr, right: ast.expr) -> Node:
        one = self._term(left)
        if not isinstance(op, ast.In | ast.NotIn):
            return compared(op, one, self._term(right))
        if isinstance(right, ast.List | ast.Tuple):
            found = among(one, right, [self._term(member) for member in right.elts])
        else:
            found = within(one, self._term(right))
        return Not(BOOLEAN, found) if isinstance(op, ast.NotIn) else found

    def _term(self, tree: ast.expr) -> Term:
        return Term(tree, self.node(tree))

    def _unary(self, tree: ast.UnaryOp) -> Node:
        if isinstance(tree.op, ast.Not):
            return Not(BOOLEAN, self._truth(tree.operand))
        if not isinstance(tree.op, ast.USub):
            raise error_at(tree, ast.unparse(tree), f"only {GRAMMAR}")
        node = self._number(tree.operand)
        if node.type.unit is not None and node.type.unit.is_point:
            raise error_at(tree, ast.unparse(tree), "a temperature as it stands")
        return Negative(node.type, node)

    def _choice(self, tree: ast.IfExp) -> Node:
        test = self._truth(tree.test)
        then, other = self.node(tree.body), self.node(tree.orelse)
        if then.type.sort != other.type.sort:
            raise error_at(tree, ast.unparse(tree), "two arms of one sort")
        type_ = then.type
        if type_.sort == "number":
            arms = (Term(tree.body, then), Term(tree.orelse, other))
            unit, (then, other) = alike(arms, "given in place of")
            type_ = Type("number", unit)
        return Choice(type_, test, then, other)

    def _call(self, tree: ast.Call) -> Node:
        name = tree.func.id if isinstance(tree.func, ast.Name) else ast.unparse(tree.func)
        if name not in FUNCTIONS or tree.keywords or not tree.args:
            raise error_at(tree, name, f"one of {', '.join(FUNCTIONS)}", nearest(name, FUNCTIONS))
        if name in ("min", "max"):
            return self._extreme(tree, "min" if name == "min" else "max")
        if len(tree.args) != 1:
            of = "name" if name in ASKED else "number"
            wanted = f"one {of} in {name}()"
            raise error_at(tree, ast.unparse(tree), wanted)
        if name in ASKED:
            self._name(tree.args[0])
            return ASKED[name](BOOLEAN, dotted(tree.args[0]))
        node = self._number(tree.args[0])
        return Size(node.type, node) if name == "abs" else Rounded(node.type, node)

    def _extreme(self, tree: ast.Call, pick: Pick) -> Node:
        if len(tree.args) == 1:
            node = self.node(tree.args[0])
            if node.type.sort != "numbers":
                raise error_at(tree, ast.unparse(tree), f"two numbers or more in {pick}()")
            return ExtremeOfList(Type("number", node.type.unit), node, pick)
        terms = [Term(argument, self._number(argument)) for argument in tree.args]
        unit, parts = alike(terms, f"in one {pick}() with")
        return Extreme(Type("number", unit), tuple(parts), pick)
