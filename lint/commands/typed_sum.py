"""A sum as somebody types it instead of a number: `82+60`, `1000/(1.414*11.4)`; read by no evaluator."""

from __future__ import annotations

import math
import operator
import re
from collections.abc import Callable, Mapping

MOST_CHARACTERS = 80
MOST_DEPTH = 8
_PIECE = re.compile(r"\s*(\d+\.?\d*|\.\d+|[-+*/()])")
_SIGNS = str.maketrans({"×": "*", "·": "*", "÷": "/", "−": "-"})
_WHOLE = re.compile(r"([-+*/().\d\s]*[\d)])\s*([^-+*/().\d\s][^-+*().\d]*)?")
_UNIT_OF_A_TERM = re.compile(r"(?<=\d)\s*([^-+*/().\d\s]+)(?=\s*\+)")
Arithmetic = Callable[[float, float], float]
_ReadTerm = Callable[[list[str], int], tuple[float, list[str]]]
_SUMS: Mapping[str, Arithmetic] = {"+": operator.add, "-": operator.sub}
_PRODUCTS: Mapping[str, Arithmetic] = {"*": operator.mul, "/": operator.truediv}


class _NoSum(ValueError):
    pass


def typed_sum(answer: str, divides: bool) -> tuple[float, str] | None:
    """What sums, differences, products and quotients come to, and the unit behind them; else None.

    Two figures with a dash between them are a span and two with a stroke are two ratings: only one
    that `divides` is taken for a quotient without any other sign.

    >>> typed_sum("82 kg + 60 kg", False), typed_sum("1000/(1.25*20) rpm/V", True)
    ((142.0, 'kg'), (40.0, 'rpm/V'))
    >>> typed_sum("80/200", False), typed_sum("30-60 V", True), typed_sum("(2", True)
    (None, None, None)
    """
    if len(answer) > MOST_CHARACTERS:
        return None
    answer = answer.translate(_SIGNS)
    told = _WHOLE.fullmatch(answer)
    unit = (told[2] or "").rstrip() if told else ""
    if told is None and (last := re.search(r"[^-+*/().\d\s]+$", answer)):
        # each term with its unit, which is the same in all of them
        unit = last[0]
        units = set(_UNIT_OF_A_TERM.findall(answer))
        bare = _UNIT_OF_A_TERM.sub("", answer)[: -len(unit)]
        told = _WHOLE.fullmatch(bare.strip()) if units == {unit} else None
    if told is None:
        return None
    pieces = _pieces(told[1])
    signs = {one for one in pieces[1:] if one in "+-*/"}
    if not signs or signs == {"-"} or (signs == {"/"} and not divides):
        return None
    try:
        value, rest = _sum(pieces, MOST_DEPTH)
    except (_NoSum, ZeroDivisionError, OverflowError):
        return None
    return (value, unit) if not rest and math.isfinite(value) else None


def _pieces(text: str) -> list[str]:
    pieces, at = [], 0
    while at < len(text.rstrip()):
        piece = _PIECE.match(text, at)
        if piece is None:
            return []
        pieces.append(piece[1])
        at = piece.end()
    return pieces


def _sum(pieces: list[str], depth: int) -> tuple[float, list[str]]:
    return _chain(pieces, depth, _SUMS, _product)


def _product(pieces: list[str], depth: int) -> tuple[float, list[str]]:
    return _chain(pieces, depth, _PRODUCTS, _operand)


def _chain(
    pieces: list[str], depth: int, signs: Mapping[str, Arithmetic], term: _ReadTerm
) -> tuple[float, list[str]]:
    """Terms with signs of one rank between them, from left to right; with the pieces that are left."""
    value, pieces = term(pieces, depth)
    while pieces and pieces[0] in signs:
        other, rest = term(pieces[1:], depth)
        value, pieces = signs[pieces[0]](value, other), rest
    return value, pieces


def _operand(pieces: list[str], depth: int) -> tuple[float, list[str]]:
    """A number, one with its sign, or a sum in brackets."""
    if not pieces or not depth:
        raise _NoSum
    first, rest = pieces[0], pieces[1:]
    if first == "-":
        value, rest = _operand(rest, depth - 1)
        return -value, rest
    if first == "(":
        value, rest = _sum(rest, depth - 1)
        if not rest or rest[0] != ")":
            raise _NoSum
        return value, rest[1:]
    if first in "+*/)":
        raise _NoSum
    return float(first), rest
