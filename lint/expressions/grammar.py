"""The grammar of expressions: what may be written at all, bounded before it is parsed."""

from __future__ import annotations

import ast

from ..documents.error import ExpressionError

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
    """The text as a syntax tree, bounded before Python's own parser sees it."""
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
            found=text, wanted="an expression such as `settings.max_rpm / 2`", offset=column
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


def dotted(tree: ast.expr) -> str:
    """The name of a quantity, as it is written."""
    parts: list[str] = []
    inner = tree
    while isinstance(inner, ast.Attribute):
        parts.append(KEYWORD_KEYS.get(inner.attr, inner.attr))
        inner = inner.value
    if not isinstance(inner, ast.Name):
        raise error_at(tree, ast.unparse(tree), "the dotted name of a quantity")
    return ".".join((inner.id, *reversed(parts)))


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
