"""Formulas of worked quantities: compiled as rules are, and written as a person writes them."""

from __future__ import annotations

import ast
import math
from collections.abc import Mapping
from functools import cache

from ..documents.frozen import frozen
from ..quantities.operand import Lookup, Operand
from ..quantities.worked import Worked
from . import arithmetic
from .compiler import Compiler, compiled
from .expression import (
    Choice,
    Compare,
    Constant,
    Difference,
    Extreme,
    ExtremeOfList,
    Name,
    Negative,
    Product,
    Quotient,
    Rounded,
    Size,
    Sum,
    constant,
)
from .grammar import error_at
from .names import vocabulary
from .types import BARE, Node, Single, Type

MOST_POWER = 4
PI = constant(math.pi, "π")


@frozen
class Power(Single):
    """A number to a small whole power."""

    exponent: int

    def evaluate(self, look_up: Lookup) -> Operand:
        """The power of an exact number; of a bound nothing is said."""
        operand = self.part.evaluate(look_up)
        if operand.value is None:
            return operand
        # Multiplied out: a float raised past the largest would raise, an endless one would not.
        result = base = Operand(operand.number)
        for _ in range(self.exponent - 1):
            result = arithmetic.multiplied(result, base)
        return result


class Root(Single):
    """The square root of a number that is not negative."""

    __slots__ = ()

    def evaluate(self, look_up: Lookup) -> Operand:
        """The root of an exact number; of a bound nothing is said."""
        operand = self.part.evaluate(look_up)
        if operand.value is None:
            return operand
        if operand.number < 0:
            return Operand(None, reason="it is the square root of a negative number")
        return Operand(math.sqrt(operand.number))


class FormulaCompiler(Compiler):
    """The compiler of rules, with powers, sqrt() and pi besides; its numbers have no units."""

    def _node(self, tree: ast.expr) -> Node:
        match tree:
            case ast.Name(id="pi"):
                return PI
            case ast.BinOp(op=ast.Pow(), right=ast.Constant(value=int() as exponent)):
                if not 1 < exponent <= MOST_POWER:
                    raise error_at(tree, ast.unparse(tree), f"a power of 2 to {MOST_POWER}")
                return Power(BARE, self._number(tree.left), exponent)
            case ast.Call(func=ast.Name(id="sqrt"), args=[inner], keywords=[]):
                return Root(BARE, self._number(inner))
        return super()._node(tree)


@cache
def formula_of(spec: Worked) -> Node | None:
    """What a quantity comes to, over its arguments; None where a table or a search answers."""
    return _compiled(spec, spec.formula) if spec.formula else None


@cache
def scope_of(spec: Worked) -> Node | None:
    """When a formula gives a value at all; None where it always does."""
    return _compiled(spec, spec.applies_when) if spec.applies_when else None


@cache
def bounded_when(spec: Worked) -> Node | None:
    """When a formula gives only an upper bound; None where it never does."""
    return _compiled(spec, spec.no_more_when) if spec.no_more_when else None


def _compiled(spec: Worked, text: str) -> Node:
    """An expression over the arguments; their numbers are what is entered, whatever the unit."""
    known, number = vocabulary(), Type("number")
    # what only a failure comes to has no rule to read it, and is a number
    arguments = {
        name: Type(known.get(quantity, number).sort) for name, quantity in spec.inputs.items()
    }
    return compiled(text, FormulaCompiler(arguments))


def written(spec: Worked, words: Mapping[str, str]) -> str:
    """The formula with its arguments replaced by `words`: names for reading, numbers for working.

    Where a table or a search answers, or words are shorter, it is said in words.
    """
    tree = formula_of(spec)
    if tree is None or spec.words:
        return _substituted(spec.words, words)
    return _text(tree, words)[0]


def _substituted(formula: str, words: Mapping[str, str]) -> str:
    """A formula in words with its arguments replaced, where they stand as whole words."""
    parts: list[str] = []
    word = ""
    for letter in formula + " ":
        if letter.isalnum() or letter == "_":
            word += letter
            continue
        parts.append(words.get(word, word))
        parts.append(letter)
        word = ""
    return "".join(parts).rstrip()


# The sign between two parts, and how tightly it binds; the right side of some must bind tighter.
WRITTEN_SIGNS: Mapping[type[Node], tuple[str, int, int]] = {
    Sum: (" + ", 1, 1),
    Difference: (" − ", 1, 2),
    Product: (" × ", 2, 2),
    Quotient: (" / ", 2, 3),
}
COMPARED = {"<": "<", ">": ">", "<=": "≤", ">=": "≥", "==": "=", "!=": "≠"}
EXTREMES = {"min": "least of", "max": "greatest of"}
OF_LIST = {"min": "lowest of", "max": "highest of"}
ANSWERS = ("yes", "no")
POWERS = {2: "²", 3: "³", 4: "⁴"}


def _text(node: Node, words: Mapping[str, str]) -> tuple[str, int]:
    """A part of the formula, with how tightly it binds."""
    match node:
        case Constant():
            value = node.operand.value
            return node.symbol or (f"{value:.12g}" if isinstance(value, float) else str(value)), 9
        case Name():
            return words.get(node.name, node.name.replace("_", " ")), 9
        case Sum() | Difference() | Product() | Quotient():
            sign, strength, tight = WRITTEN_SIGNS[type(node)]
            left = _bracketed(node.left, words, strength)
            return f"{left}{sign}{_bracketed(node.right, words, tight)}", strength
        case Power():
            return _bracketed(node.part, words, 5) + POWERS[node.exponent], 5
        case Negative():
            return "−" + _bracketed(node.part, words, 3), 3
        case Extreme():
            inner = ", ".join(_text(part, words)[0] for part in node.parts)
            return f"{EXTREMES[node.pick]} ({inner})", 9
        case Size() | Rounded():
            name = "size of" if isinstance(node, Size) else "rounded"
            return f"{name} ({_text(node.part, words)[0]})", 9
        case ExtremeOfList():
            return f"{OF_LIST[node.pick]} {_text(node.part, words)[0]}", 9
        case Root():
            whole = isinstance(node.part, Constant)
            return "√" + _bracketed(node.part, words, 0 if whole else 10), 9
        case Compare():
            return (
                f"{_text(node.left, words)[0]} {COMPARED[node.sign]} {_text(node.right, words)[0]}",
                0,
            )
        case Choice():
            test, then, other = (_text(part, words)[0] for part in node.below)
            if test in ANSWERS and isinstance(node.below[0], Name):
                test = f"{node.below[0].name.replace('_', ' ')} is {test}"
            return f"{then} if {test}, else {other}", 0
    raise TypeError(f"a formula with {type(node).__name__} in it has no written form")


def _bracketed(node: Node, words: Mapping[str, str], strength: int) -> str:
    text, own = _text(node, words)
    return text if own >= strength else f"({text})"
