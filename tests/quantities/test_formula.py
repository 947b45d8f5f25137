"""Formulas as a person writes them, read off the functions that work them out."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from gonogo.quantities.formula import written
from gonogo.quantities.registry import WORKED
from gonogo.quantities.worked import worked

Formula = Callable[..., float]
NAMES = {"a": "cells", "b": "volts", "c": "amperes"}
SPARE_PARTS = 2.0


def declared(formula: str | None = None) -> Callable[[Formula], Formula]:
    return worked("x.y_V", "V", a="p.a", b="p.b", c="p.c", source="Ours.", formula=formula)


@declared()
def plain(a: float, b: float, c: float) -> float:
    return a * b + c


@declared()
def bracketed(a: float, b: float, c: float) -> float:
    return a * (b + c)


@declared()
def lessened_twice(a: float, b: float, c: float) -> float:
    return a - (b - c)


@declared()
def divided_twice(a: float, b: float, c: float) -> float:
    return a / (b / c)


@declared()
def from_the_left(a: float, b: float, c: float) -> float:
    return a - b - c


@declared()
def squared(a: float, b: float, c: float) -> float:
    return 3 * a**2 * b / c


@declared()
def squared_sum(a: float, b: float, c: float) -> float:
    return (a + b) ** 2 * c


@declared()
def rooted(a: float, b: float, c: float) -> float:
    return math.sqrt(a * a + b) * c


@declared()
def smallest(a: float, b: float, c: float) -> float:
    return min(a, b, c)


@declared()
def with_a_constant(a: float, b: float, c: float) -> float:
    return SPARE_PARTS * a + math.pi * b + c


@declared()
def chosen(a: float, b: float, c: float) -> float:
    return a if b > c else c


@declared()
def turned(a: float, b: float, c: float) -> float:
    return -(a + b) * c


@declared(formula="b of the table for a, over c")
def told(a: float, b: float, c: float) -> float:
    rest = a - b
    return rest / c


@declared()
def untold(a: float, b: float, c: float) -> float:
    rest = a - b
    return rest / c


@pytest.mark.parametrize(
    ("function", "text"),
    [
        (plain, "cells × volts + amperes"),
        (bracketed, "cells × (volts + amperes)"),
        (lessened_twice, "cells − (volts − amperes)"),
        (divided_twice, "cells / (volts / amperes)"),
        (from_the_left, "cells − volts − amperes"),
        (squared, "3 × cells² × volts / amperes"),
        (squared_sum, "(cells + volts)² × amperes"),
        (rooted, "√(cells × cells + volts) × amperes"),
        (smallest, "least of (cells, volts, amperes)"),
        (with_a_constant, "2 × cells + π × volts + amperes"),
        (chosen, "cells if volts > amperes, else amperes"),
        (turned, "−(cells + volts) × amperes"),
        (told, "volts of the table for cells, over amperes"),
        (untold, "from cells, volts, amperes"),
    ],
)
def test_a_formula_reads_as_it_is_worked_out(function: Formula, text: str) -> None:
    """Brackets where the sum needs them: a wrong one would be checked by hand and found wrong."""
    assert written(function.worked, NAMES) == text  # type: ignore[attr-defined]


def test_numbers_stand_in_for_names() -> None:
    """The working with its numbers: 16 × 4.2 V."""
    words = {"a": "16", "b": "4.2 V", "c": "0 V"}
    assert written(plain.worked, words) == "16 × 4.2 V + 0 V"  # type: ignore[attr-defined]


@pytest.mark.parametrize("name", sorted(WORKED))
def test_every_formula_can_be_read(name: str) -> None:
    """No Python shows through, and something that goes in is named."""
    for spec in WORKED[name]:
        text = written(spec, {argument: f"<{argument}>" for argument in spec.inputs})
        for sign in ("**", "==", "self", "lambda", "math.", "float(", "None", "[", "]", "{"):
            assert sign not in text
        assert any(f"<{argument}>" in text for argument in spec.inputs)
