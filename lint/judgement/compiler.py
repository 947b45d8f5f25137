"""The compiler of expressions: looks names up, checks units, and builds what evaluates them."""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import NamedTuple

from ..documents.error import ExpressionError
from ..documents.text import nearest
from ..documents.units import Unit
from ..quantities.operand import Lookup, Operand
from . import arithmetic
from .types import BARE, BOOLEAN, PLAIN, Evaluate, Kind, Node, Vocabulary, converted
from .unit_arithmetic import UnlikeUnits, common, difference, product, quotient, total

LONGEST = 500
DEEPEST = 32
FUNCTIONS = ("min", "max", "abs", "round", "given")
KEYWORD_KEYS = {
    "FOR": "for"
}  # `readings.identification.for.direction`; same length, so columns hold
GRAMMAR = "names, numbers, texts, + - * /, comparisons, and or not, if else, in, " + ", ".join(
    FUNCTIONS
)


def parsed(text: str) -> ast.expr:
    """The text as a tree, bounded before Python's own parser sees it."""
    if len(text) > LONGEST:
        raise ExpressionError(
            found=f"an expression of {len(text)} characters", wanted=f"{LONGEST} at most"
        )
    if (
        _brackets(text) > DEEPEST
        or text.count("not ") > DEEPEST
        or "--" * 8 in text.replace(" ", "")
    ):
        raise too_deep()
    try:
        tree = ast.parse(_without_keywords(text.strip()), mode="eval").body
    except (SyntaxError, ValueError, MemoryError, RecursionError) as broken:
        column = getattr(broken, "offset", None) or 1
        raise ExpressionError(
            found=text, wanted="an expression such as `settings.highest_rpm / 2`", offset=column
        ) from broken
    return tree


def _without_keywords(text: str) -> str:
    """The text with keys that Python reserves, such as `.for.`, written so that it parses."""
    for stand_in, key in KEYWORD_KEYS.items():
        text = text.replace(f".{key}.", f".{stand_in}.")
    return text


def _brackets(text: str) -> int:
    """How deep brackets nest; where there are few, their number will do."""
    opened = sum(map(text.count, "([{"))
    if opened <= DEEPEST:
        return opened
    depth = deepest = 0
    for letter in text:
        depth += (letter in "([{") - (letter in ")]}")
        deepest = max(deepest, depth)
    return deepest


def too_deep() -> ExpressionError:
    """The error about an expression that nests further than anybody reads."""
    return ExpressionError(
        found="an expression nested too deep", wanted=f"{DEEPEST} levels at most"
    )


def error_at(node: ast.AST, found: str, wanted: str, nearest: str | None = None) -> ExpressionError:
    """An error about a part of an expression, its column counted from one."""
    return ExpressionError(
        found=found, wanted=wanted, nearest=nearest, offset=getattr(node, "col_offset", 0) + 1
    )


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
        meant = nearest(str(tree.value), kind.choices)
        wanted = "one of " + ", ".join(kind.choices)
        raise error_at(tree, repr(tree.value), wanted, meant)


COMPARED: Mapping[type[ast.cmpop], Callable[[Operand, Operand], Operand]] = {
    ast.Lt: lambda a, b: arithmetic.less(a, b, False),
    ast.LtE: lambda a, b: arithmetic.less(a, b, True),
    ast.Gt: lambda a, b: arithmetic.less(b, a, False),
    ast.GtE: lambda a, b: arithmetic.less(b, a, True),
    ast.Eq: arithmetic.equal,
    ast.NotEq: lambda a, b: arithmetic.opposite(arithmetic.equal(a, b)),
}
ORDERED = (ast.Lt, ast.LtE, ast.Gt, ast.GtE)
COMBINED = {
    ast.Add: (total, arithmetic.added),
    ast.Sub: (difference, arithmetic.taken),
    ast.Mult: (product, arithmetic.multiplied),
    ast.Div: (quotient, arithmetic.divided),
}
# How conditions are joined, and the answer that settles it whatever the others are.
JOINED: Mapping[type[ast.boolop], tuple[Callable[[Iterable[Operand]], Operand], Operand]] = {
    ast.And: (arithmetic.both, arithmetic.FALSE),
    ast.Or: (arithmetic.either, arithmetic.TRUE),
}


class Compiler:
    """Walks the tree once: looks names up, checks units, builds closures."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.names: set[str] = set()
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
                return self._sum(tree)
            case ast.Compare():
                return self._compare(tree)
            case ast.BoolOp():
                return self._logic(tree)
            case ast.UnaryOp():
                return self._unary(tree)
            case ast.IfExp():
                return self._choice(tree)
            case ast.Call():
                return self._call(tree)
        raise error_at(tree, ast.unparse(tree), f"only {GRAMMAR}")

    def _constant(self, tree: ast.Constant) -> Node:
        value = tree.value
        if isinstance(value, bool):
            kind = BOOLEAN
        elif isinstance(value, int | float):
            kind = BARE
        elif isinstance(value, str):
            kind = Kind("text")
        else:
            raise error_at(tree, ast.unparse(tree), "a number, a text, True or False")
        operand = Operand(value)
        return Node(kind, lambda look_up: operand)

    def _dotted(self, tree: ast.expr) -> str:
        parts: list[str] = []
        inner = tree
        while isinstance(inner, ast.Attribute):
            parts.append(KEYWORD_KEYS.get(inner.attr, inner.attr))
            inner = inner.value
        if not isinstance(inner, ast.Name):
            raise error_at(tree, ast.unparse(tree), "the dotted name of a quantity")
        return ".".join((inner.id, *reversed(parts)))

    def _name(self, tree: ast.expr) -> Node:
        name = self._dotted(tree)
        kind = self.vocabulary.get(name)
        if kind is None:
            raise error_at(tree, name, "a quantity", nearest(name, self.vocabulary))
        self.names.add(name)
        return Node(kind, lambda look_up: look_up(name))

    def _number(self, tree: ast.expr) -> Node:
        node = self.node(tree)
        if node.kind.sort != "number":
            raise error_at(tree, f"{ast.unparse(tree)} ({node.kind.sort})", "a number")
        return node

    def _truth(self, tree: ast.expr) -> Node:
        node = self.node(tree)
        if node.kind.sort != "boolean":
            raise error_at(tree, f"{ast.unparse(tree)} ({node.kind.sort})", "a condition")
        return node

    def _sum(self, tree: ast.BinOp) -> Node:
        if type(tree.op) not in COMBINED:
            raise error_at(tree, ast.unparse(tree), f"only {GRAMMAR}")
        units, combine = COMBINED[type(tree.op)]
        left, right = self._number(tree.left), self._number(tree.right)
        try:
            unit = self._combined_unit(tree.op, units, left.kind.unit, right.kind.unit)
        except UnlikeUnits as unlike:
            raise error_at(tree, ast.unparse(tree), str(unlike)) from unlike
        if isinstance(tree.op, ast.Add | ast.Sub) and left.kind.unit and right.kind.unit:
            right = converted(right, left.kind.unit)
        one, other = left.evaluate, right.evaluate
        return Node(Kind("number", unit), lambda look_up: combine(one(look_up), other(look_up)))

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
        parts = [
            self._compared(op, terms[place], terms[place + 1]) for place, op in enumerate(tree.ops)
        ]
        if len(parts) == 1:
            return Node(BOOLEAN, parts[0])
        return Node(BOOLEAN, lambda look_up: arithmetic.both(part(look_up) for part in parts))

    def _compared(self, op: ast.cmpop, left: ast.expr, right: ast.expr) -> Evaluate:
        one = self._term(left)
        if not isinstance(op, ast.In | ast.NotIn):
            return compared(op, one, self._term(right))
        if isinstance(right, ast.List | ast.Tuple):
            found = among(one, right, [self._term(member) for member in right.elts])
        else:
            found = within(one, self._term(right))
        if isinstance(op, ast.NotIn):
            return lambda look_up: arithmetic.opposite(found(look_up))
        return found

    def _term(self, tree: ast.expr) -> Term:
        return Term(tree, self.node(tree))

    def _logic(self, tree: ast.BoolOp) -> Node:
        parts = [self._truth(value).evaluate for value in tree.values]
        join, settled = JOINED[type(tree.op)]

        def joined(look_up: Lookup) -> Operand:
            seen = []
            for part in parts:
                operand = part(look_up)
                if operand.value is settled.value:
                    return settled
                seen.append(operand)
            return join(seen)

        return Node(BOOLEAN, joined)

    def _unary(self, tree: ast.UnaryOp) -> Node:
        if isinstance(tree.op, ast.Not):
            inner = self._truth(tree.operand).evaluate
            return Node(BOOLEAN, lambda look_up: arithmetic.opposite(inner(look_up)))
        if not isinstance(tree.op, ast.USub):
            raise error_at(tree, ast.unparse(tree), f"only {GRAMMAR}")
        node = self._number(tree.operand)
        value, zero = node.evaluate, Operand(0.0)
        if node.kind.unit is not None and node.kind.unit.is_point:
            raise error_at(tree, ast.unparse(tree), "a temperature as it stands")
        return Node(node.kind, lambda look_up: arithmetic.taken(zero, value(look_up)))

    def _choice(self, tree: ast.IfExp) -> Node:
        test = self._truth(tree.test).evaluate
        then, other = self.node(tree.body), self.node(tree.orelse)
        if then.kind.sort != other.kind.sort:
            raise error_at(tree, ast.unparse(tree), "two arms of one sort")
        kind = then.kind
        if kind.sort == "number":
            arms = (Term(tree.body, then), Term(tree.orelse, other))
            unit, (then, other) = alike(arms, "given in place of")
            kind = Kind("number", unit)
        one, two = then.evaluate, other.evaluate
        return Node(
            kind,
            lambda look_up: arithmetic.chosen(test(look_up), one(look_up), two(look_up)),
        )

    def _call(self, tree: ast.Call) -> Node:
        name = tree.func.id if isinstance(tree.func, ast.Name) else ast.unparse(tree.func)
        if name not in FUNCTIONS or tree.keywords or not tree.args:
            raise error_at(tree, name, f"one of {', '.join(FUNCTIONS)}", nearest(name, FUNCTIONS))
        if name == "given":
            return self._given(tree)
        if name in ("min", "max"):
            return self._extreme(name, tree)
        if len(tree.args) != 1:
            raise error_at(tree, ast.unparse(tree), f"one number in {name}()")
        node = self._number(tree.args[0])
        act, inner = (arithmetic.size if name == "abs" else arithmetic.rounded), node.evaluate
        return Node(node.kind, lambda look_up: act(inner(look_up)))

    def _given(self, tree: ast.Call) -> Node:
        if len(tree.args) != 1:
            raise error_at(tree, ast.unparse(tree), "one name in given()")
        name = self._dotted(tree.args[0])
        self._name(tree.args[0])
        asked = f"given({name})"
        return Node(BOOLEAN, lambda look_up: look_up(asked))

    def _extreme(self, name: str, tree: ast.Call) -> Node:
        pick = arithmetic.least if name == "min" else arithmetic.most
        if len(tree.args) == 1:
            node = self.node(tree.args[0])
            if node.kind.sort != "numbers":
                raise error_at(tree, ast.unparse(tree), f"two numbers or more in {name}()")
            inner = node.evaluate

            def of_list(look_up: Lookup) -> Operand:
                operand = inner(look_up)
                if operand.value is None:
                    return operand
                return pick([Operand(member) for member in operand.value])

            return Node(Kind("number", node.kind.unit), of_list)
        terms = [Term(argument, self._number(argument)) for argument in tree.args]
        unit, nodes = alike(terms, f"in one {name}() with")
        parts = [node.evaluate for node in nodes]
        return Node(Kind("number", unit), lambda look_up: pick([part(look_up) for part in parts]))
