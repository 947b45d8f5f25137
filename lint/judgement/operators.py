"""The operators of expressions: what each does to values, and to their units."""

from __future__ import annotations

import ast
from collections.abc import Callable, Iterable, Mapping

from ..quantities.operand import Operand
from . import arithmetic
from .unit import difference, product, quotient, total

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
