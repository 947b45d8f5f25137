"""The grammar of expressions: what may be written at all, bounded before it is parsed."""

from __future__ import annotations

import ast
import re
import warnings

from ..documents.error import ExpressionError

LONGEST = 500
DEEPEST = 32
FUNCTIONS = ("min", "max", "abs", "round", "given", "none")
KEYWORD_KEYS = {
    "FOR": "for"
}  # `readings.identification.for.direction`; same length, so columns hold
NUMBER = re.compile(r"(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")
LARGEST_WRITTEN, SMALLEST_WRITTEN = 1e15, 1e-15  # of the numbers written, nought apart
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
    # A line's end is a blank like any other, so that a column counts from the beginning.
    written = _without_keywords(re.sub(r"[\r\n\t]", " ", text.strip()))
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")  # `1if` and `"\d"` are slips that Python only warns of
            tree = ast.parse(written, mode="eval").body
    except (SyntaxError, ValueError, MemoryError, RecursionError) as broken:
        column = getattr(broken, "offset", None) or 1
        raise ExpressionError(
            found=text, wanted="an expression such as `settings.max_rpm / 2`", offset=column
        ) from broken
    _refuse_slips(tree, written)
    return tree


def _refuse_slips(tree: ast.expr, text: str) -> None:
    """Refuse what Python reads otherwise than a person: a comment, letters that look alike, 0x1F."""
    data = bytearray(text.encode("utf-8", "replace"))
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant):
            continue
        start, end = node.col_offset, node.end_col_offset or 0
        if isinstance(node.value, str):
            data[start:end] = b" " * (end - start)
        elif isinstance(node.value, int | float) and not isinstance(node.value, bool):
            _refuse_number(node, data[start:end].decode())
    for offset, byte in enumerate(data):
        if byte == ord("#") or byte >= 0x80:
            sign = "#" if byte == ord("#") else data[offset:].decode("utf-8", "replace")[:1]
            raise ExpressionError(found=sign, wanted="names, numbers and signs", offset=offset + 1)


def _refuse_number(node: ast.Constant, written: str) -> None:
    """Refuse a number that is none to everybody, or that no float holds."""
    assert isinstance(node.value, int | float)
    if not NUMBER.fullmatch(written):
        raise error_at(node, written, "a decimal number")
    if not abs(node.value) < LARGEST_WRITTEN:
        raise error_at(node, written, f"a finite number below {LARGEST_WRITTEN:g}")
    digits = re.split("[eE]", written)[0].strip("0.")
    if digits and abs(node.value) < SMALLEST_WRITTEN:
        raise error_at(node, written, f"0, or a number from {SMALLEST_WRITTEN:g} up")


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
