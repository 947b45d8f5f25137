"""The compiler of expressions: looks names up, checks units, and builds what evaluates them."""

from __future__ import annotations

import ast
from collections.abc import Callable
from difflib import get_close_matches

from ..quantities.operand import Operand
from . import arithmetic
from .grammar import DEEPEST, FUNCTIONS, GRAMMAR, KEYWORD_KEYS, error_at, too_deep
from .kind import BARE, BOOLEAN, PLAIN, Evaluate, Kind, Lookup, Node, Vocabulary, converted
from .operators import COMBINED, JOINED
from .relation import Term, alike, among, compared, within
from .unit import Unit, UnlikeUnits


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
            close = get_close_matches(name, self.vocabulary, 1, 0.6)
            raise error_at(tree, name, "a quantity", close[0] if close else None)
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
            close = get_close_matches(name, FUNCTIONS, 1)
            raise error_at(
                tree, name, f"one of {', '.join(FUNCTIONS)}", close[0] if close else None
            )
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
