"""Formulas as a person writes them, read off the functions that work them out."""

from __future__ import annotations

import ast
import inspect
import textwrap
from collections.abc import Mapping
from functools import lru_cache

from .worked import Worked

SIGNS: Mapping[type[ast.operator], tuple[str, int]] = {
    ast.Add: (" + ", 1),
    ast.Sub: (" − ", 1),
    ast.Mult: (" × ", 2),
    ast.Div: (" / ", 2),
    ast.Pow: ("^", 4),
}
CALLS = {
    "min": "least of",
    "max": "greatest of",
    "round": "rounded",
    "nearest_whole": "rounded",
    "abs": "size of",
}


@lru_cache(maxsize=512)
def _source(spec: Worked) -> ast.expr | None:
    """The one expression that a function returns, or None where it takes more than that."""
    tree = ast.parse(textwrap.dedent(inspect.getsource(spec.function)))
    function = next(node for node in tree.body if isinstance(node, ast.FunctionDef))
    body = [node for node in function.body if not _is_text(node)]
    if len(body) == 1 and isinstance(body[0], ast.Return):
        return body[0].value
    return None


def _is_text(node: ast.stmt) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def written(spec: Worked, words: Mapping[str, str]) -> str:
    """The formula with its arguments replaced by `words`: names for reading, numbers for working.

    Where the body is longer than one line the formula is the one declared beside it, or the list
    of what goes in.
    """
    if spec.formula is not None:
        return _substituted(spec.formula, words)
    tree = _source(spec)
    if tree is None:
        return "from " + ", ".join(words[argument] for argument in spec.inputs if argument in words)
    return _text(tree, {**_constants(spec), **words})[0]


def _constants(spec: Worked) -> dict[str, str]:
    """The named numbers of the function's module, such as the minutes of an hour."""
    return {
        name: f"{value:.12g}"
        for name, value in spec.function.__globals__.items()
        if name.isupper() and isinstance(value, int | float)
    }


def _substituted(formula: str, words: Mapping[str, str]) -> str:
    """A declared formula with whole words replaced."""
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


def _text(node: ast.expr, words: Mapping[str, str]) -> tuple[str, int]:
    """A part of the formula, with how tightly it binds."""
    if isinstance(node, ast.BinOp) and type(node.op) in SIGNS:
        if isinstance(node.op, ast.Pow) and _text(node.right, words)[0] == "2":
            return _bracketed(_text(node.left, words), 5) + "²", 5
        sign, strength = SIGNS[type(node.op)]
        left, right = _text(node.left, words), _text(node.right, words)
        tight = isinstance(node.op, ast.Sub | ast.Div)
        return (
            _bracketed(left, strength) + sign + _bracketed(right, strength + tight),
            strength,
        )
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        return "−" + _bracketed(_text(node.operand, words), 3), 3
    if isinstance(node, ast.Constant):
        return f"{node.value:.12g}" if isinstance(node.value, float) else str(node.value), 9
    if isinstance(node, ast.Name):
        return words.get(node.id, _constant(node.id)), 9
    if isinstance(node, ast.Call):
        return _call(node, words), 9
    if isinstance(node, ast.Attribute):
        return {"pi": "π"}.get(node.attr, node.attr), 9
    if isinstance(node, ast.Compare | ast.IfExp | ast.BoolOp):
        return _condition(node, words), 0
    return ast.unparse(node), 0


def _constant(name: str) -> str:
    """A named constant, in lower case as words."""
    return name.strip("_").lower().replace("_", " ")


def _bracketed(part: tuple[str, int], strength: int) -> str:
    return part[0] if part[1] >= strength else f"({part[0]})"


def _call(node: ast.Call, words: Mapping[str, str]) -> str:
    inner = [_text(argument, words)[0] for argument in node.args]
    name = ast.unparse(node.func).rsplit(".", 1)[-1]
    if name == "sqrt":
        return f"√{inner[0]}" if inner[0].replace(".", "").isdigit() else f"√({inner[0]})"
    if name == "float":
        return inner[0]
    return f"{CALLS.get(name, name.strip('_').replace('_', ' '))} ({', '.join(inner)})"


def _condition(node: ast.expr, words: Mapping[str, str]) -> str:
    if isinstance(node, ast.IfExp):
        then, test = _text(node.body, words)[0], _text(node.test, words)[0]
        return f"{then} if {test}, else {_text(node.orelse, words)[0]}"
    if isinstance(node, ast.Compare) and len(node.ops) == 1:
        sign = {"Gt": ">", "Lt": "<", "GtE": "≥", "LtE": "≤", "Eq": "=", "NotEq": "≠"}
        left, right = _text(node.left, words)[0], _text(node.comparators[0], words)[0]
        return f"{left} {sign.get(type(node.ops[0]).__name__, 'in')} {right}"
    return ast.unparse(node)
