"""Formulas: declared beside the functions that work them out, and written as a person does."""

from __future__ import annotations

import inspect
import pickle
from collections.abc import Mapping
from random import Random
from typing import Any, get_type_hints

import pytest
from gonogo.documents.error import ExpressionError
from gonogo.documents.schema import canonical
from gonogo.expressions.formula import bounded_when, formula_of, scope_of, written
from gonogo.expressions.names import vocabulary
from gonogo.quantities.operand import NoMoreThan, NotWorked, Operand
from gonogo.quantities.registry import WORKED
from gonogo.quantities.worked import Sort, Worked, declarations, worked

QUANTITIES = ("pack.full_V", "pack.nominal_V", "pack.continuous_A")
NAMES = {"a": "cells", "b": "volts", "c": "amperes"}
SPECS = [
    pytest.param(spec, id=f"{name}: {spec.function.__name__}")
    for name, specs in sorted(WORKED.items())
    for spec in specs
]
WITH_FORMULA = [one for one in SPECS if one.values[0].formula]


def spec_of(formula: str = "", words: str = "") -> Worked:
    """A quantity of three inputs, worked out as `formula` says."""
    declare = worked(
        "x.y_V",
        "V",
        source="Ours.",
        formula=formula,
        words=words,
        **dict(zip("abc", QUANTITIES, strict=True)),
    )

    @declare
    def function(a: float, b: float, c: float) -> float:
        return a + b + c

    found = declarations(function)[-1]
    assert isinstance(found, Worked)
    return found


@pytest.mark.parametrize(
    ("formula", "text"),
    [
        ("a * b + c", "cells × volts + amperes"),
        ("a * (b + c)", "cells × (volts + amperes)"),
        ("a - (b - c)", "cells − (volts − amperes)"),
        ("a - (b + c)", "cells − (volts + amperes)"),
        ("a / (b / c)", "cells / (volts / amperes)"),
        ("a / (b * c)", "cells / (volts × amperes)"),
        ("a - b - c", "cells − volts − amperes"),
        ("3 * a ** 2 * b / c", "3 × cells² × volts / amperes"),
        ("(a + b) ** 2 * c", "(cells + volts)² × amperes"),
        ("sqrt(a * a + b) * c", "√(cells × cells + volts) × amperes"),
        ("sqrt(3) * a", "√3 × cells"),
        ("min(a, b, c)", "least of (cells, volts, amperes)"),
        ("2 * a + pi * b + c", "2 × cells + π × volts + amperes"),
        ("a if b > c else c", "cells if volts > amperes, else amperes"),
        ("-(a + b) * c", "−(cells + volts) × amperes"),
        ("abs(a - round(b))", "size of (cells − rounded (volts))"),
    ],
)
def test_a_formula_reads_as_it_is_worked_out(formula: str, text: str) -> None:
    """Brackets where the sum needs them: a wrong one would be checked by hand and found wrong."""
    assert written(spec_of(formula), NAMES) == text


def test_what_no_formula_says_is_said_in_words() -> None:
    """A table answers: its name and what it was asked."""
    spec = spec_of(words="b of the table for a, over c")
    assert written(spec, NAMES) == "volts of the table for cells, over amperes"


def test_numbers_stand_in_for_names() -> None:
    """The working with its numbers: 16 × 4.2 V."""
    words = {"a": "16", "b": "4.2 V", "c": "0 V"}
    assert written(spec_of("a * b + c"), words) == "16 × 4.2 V + 0 V"


def test_a_quantity_has_a_formula_or_words() -> None:
    """Neither leaves the reader without a working; of both the words are told, being shorter."""
    with pytest.raises(TypeError):
        spec_of("", "")
    assert (
        written(spec_of("a + b", "the sum of a and b"), {"a": "1", "b": "2"})
        == "the sum of 1 and 2"
    )


@pytest.mark.parametrize(
    "formula", ["a ** b", "a ** 9", "a ** 0.5", "sqrt(a, b)", "e * a", "a % b"]
)
def test_nothing_else_is_a_formula(formula: str) -> None:
    """The language of rules, with squares, roots and π."""
    with pytest.raises(ExpressionError):
        formula_of(spec_of(formula))


@pytest.mark.parametrize("spec", SPECS)
def test_every_formula_can_be_read(spec: Worked) -> None:
    """No Python shows through, and something that goes in is named."""
    text = written(spec, {argument: f"<{argument}>" for argument in spec.inputs})
    for sign in ("**", "==", "self", "lambda", "math.", "float(", "None", "[", "]", "{"):
        assert sign not in text
    assert any(f"<{argument}>" in text for argument in spec.inputs)


def value_of(name: str, draw: Random) -> Any:
    """A random value of a quantity; zeros, ones and whole numbers often enough to matter."""
    type_, entry = vocabulary()[name], canonical().get(name)
    if type_.sort == "boolean":
        return draw.random() < 0.5
    if type_.sort == "text":
        return draw.choice(type_.choices)
    if type_.sort == "numbers":
        return [draw.uniform(0.1, 100.0) for _ in range(draw.randint(1, 4))]
    if entry is not None and entry.kind == "integer":
        return draw.randint(1, int(min(40, entry.highest or 40)))
    # In eighths, so that no two differ by the noise of floating point alone.
    return draw.choice([0.0, 1.0, draw.randint(1, 400) / 8, draw.randint(1, 3200) / 8])


def agrees(spec: Worked, told: Mapping[str, Any]) -> bool:
    """Whether the function gives a value, after the formula was seen to say the same of it."""
    formula, scope, bounded = formula_of(spec), scope_of(spec), bounded_when(spec)
    assert formula is not None
    known = {name: tuple(one) if isinstance(one, list) else one for name, one in told.items()}
    look_up = lambda name: Operand(known[name])
    applies = scope is None or scope.evaluate(look_up).value is True
    stated = formula.evaluate(look_up)
    try:
        value = spec.function(**told)
    except NotWorked:
        assert not applies
        return False
    except ZeroDivisionError:
        assert stated.value is None
        return False
    assert applies
    if isinstance(value, bool):
        assert stated.value is value
        return True
    assert stated.number == pytest.approx(value, rel=1e-9, abs=1e-9)
    upper = bounded is not None and bounded.evaluate(look_up).value is True
    assert isinstance(value, NoMoreThan) is upper
    return True


@pytest.mark.parametrize("spec", WITH_FORMULA)
def test_a_formula_says_what_its_function_does(spec: Worked) -> None:
    """Whoever checks the working by hand comes to the number that the verdict rests on."""
    draw = Random(spec.function.__name__)
    worked_out = sum(
        agrees(spec, {argument: value_of(name, draw) for argument, name in spec.inputs.items()})
        for _ in range(1000)
    )
    assert worked_out > 50


RETURNED: dict[object, Sort] = {
    float: "number",
    int: "number",
    bool: "boolean",
    str: "text",
    list[str]: "texts",
    list[int]: "numbers",
    list[float]: "numbers",
}


@pytest.mark.parametrize("spec", SPECS)
def test_a_quantity_returns_the_sort_that_it_declares(spec: Worked) -> None:
    """Rules may compare it with what it is, and with nothing else."""
    assert RETURNED[get_type_hints(spec.function)["return"]] == spec.returns


@pytest.mark.parametrize("spec", SPECS)
def test_a_declared_default_stands_for_what_is_not_told(spec: Worked) -> None:
    """The defaults are those of the function, by name."""
    parameters = inspect.signature(spec.function).parameters.values()
    wanted = {one.name: one.default for one in parameters if one.default is not one.empty}
    assert spec.defaults == wanted


def test_a_quantity_is_the_same_one_after_a_pickle() -> None:
    """A worker's working is the parent's."""
    spec = WORKED["pack.full_V"][0]
    assert pickle.loads(pickle.dumps(spec)) is spec
