"""Expressions: the subset, its three values, its units, and how a mistake is answered."""

import pickle
import re
from collections.abc import Mapping
from typing import Any

import pytest
from gonogo.documents.error import ExpressionError
from gonogo.documents.units import UNITS
from gonogo.expressions.compiler import compile_expression
from gonogo.expressions.expression import scaled
from gonogo.expressions.grammar import FUNCTIONS, GRAMMAR
from gonogo.expressions.types import Type
from gonogo.quantities.operand import NO_LESS, NO_MORE, NOT_THERE, Operand
from hypothesis import given
from hypothesis import strategies as st

VOCABULARY = {
    "a.x_A": Type("number", UNITS["A"]),
    "a.y_A": Type("number", UNITS["A"]),
    "a.rms_A_rms": Type("number", UNITS["A_rms"]),
    "a.r_mohm": Type("number", UNITS["mohm"]),
    "a.u_V": Type("number", UNITS["V"]),
    "a.drop_percent": Type("number", UNITS["percent"]),
    "a.turn_rpm": Type("number", UNITS["rpm"]),
    "a.wave_Hz": Type("number", UNITS["Hz"]),
    "a.kv_rpm_per_V": Type("number", UNITS["rpm_per_V"]),
    "a.hot_degC": Type("number", UNITS["degC"]),
    "a.cold_degC": Type("number", UNITS["degC"]),
    "a.gap_K": Type("number", UNITS["K"]),
    "a.on": Type("boolean"),
    "a.off": Type("boolean"),
    "a.kind": Type("text", choices=("hall", "none")),
    "a.kinds": Type("texts", choices=("hall", "none")),
    "a.readings_V": Type("numbers", UNITS["V"]),
}


def answer(text: str, values: Mapping[str, Any]) -> Operand:
    """The expression's value; a name not given is unknown."""

    def look_up(name: str) -> Operand:
        if name.startswith("given("):
            return Operand(name[6:-1] in values)
        value = values.get(name, Operand(None, missing=frozenset({name})))
        return value if isinstance(value, Operand) else Operand(value)

    return compile_expression(text, VOCABULARY).evaluate(look_up)


@pytest.mark.parametrize(
    ("text", "values", "wanted"),
    [
        ("a.x_A + 2", {"a.x_A": 3}, 5),
        ("2 * a.x_A - a.y_A / 4", {"a.x_A": 3, "a.y_A": 8}, 4),
        ("-a.x_A", {"a.x_A": 3}, -3),
        ("min(a.x_A, a.y_A, 4)", {"a.x_A": 3, "a.y_A": 8}, 3),
        ("max(a.readings_V)", {"a.readings_V": (0.8, 0.81, 0.77)}, 0.81),
        ("abs(a.x_A - a.y_A)", {"a.x_A": 3, "a.y_A": 8}, 5),
        ("round(a.x_A)", {"a.x_A": 2.5}, 3),
        ("a.x_A if a.on else a.y_A", {"a.x_A": 3, "a.y_A": 8, "a.on": False}, 8),
        ("1 < a.x_A <= 3", {"a.x_A": 3}, True),
        ("a.kind in ['hall', 'none']", {"a.kind": "hall"}, True),
        ("a.kind not in a.kinds", {"a.kind": "hall", "a.kinds": ("none",)}, True),
        ("a.u_V in a.readings_V", {"a.u_V": 0.8, "a.readings_V": (0.77, 0.8)}, True),
        ("a.u_V in a.readings_V", {"a.u_V": 0.8, "a.readings_V": ()}, False),
        ("none(a.x_A)", {"a.x_A": NOT_THERE}, True),
        ("none(a.x_A)", {"a.x_A": 1}, False),
        ("none(a.x_A)", {}, False),
        ("given(a.x_A)", {}, False),
        ("not given(a.x_A)", {"a.x_A": 1}, False),
        ("a.u_V <= 0.96 - 0.83", {"a.u_V": 0.13}, True),
        ("a.u_V < 0.96 - 0.83", {"a.u_V": 0.13}, False),
    ],
)
def test_an_expression_has_its_value(text: str, values: dict[str, Any], wanted: object) -> None:
    """The subset means what it says."""
    assert answer(text, values).value == wanted


@pytest.mark.parametrize(
    ("text", "values", "wanted"),
    [
        ("a.on or a.off", {"a.on": True}, True),
        ("a.on or a.off", {"a.on": False}, None),
        ("a.on and a.off", {"a.on": False}, False),
        ("a.on and a.off", {"a.on": True}, None),
        ("not a.on", {}, None),
        ("3 if a.on else 3", {}, 3),
        ("3 if a.on else 4", {}, None),
        ("a.x_A / a.y_A > 1", {"a.x_A": 1, "a.y_A": 0}, None),
        ("a.on or a.off", {"a.on": NOT_THERE, "a.off": False}, False),
    ],
)
def test_unknown_is_a_third_value(text: str, values: dict[str, Any], wanted: object) -> None:
    """What is not told is neither yes nor no."""
    assert answer(text, values).value == wanted


def test_an_unknown_names_what_is_missing() -> None:
    """The reader is told what to give."""
    assert answer("a.x_A + a.y_A > 2", {"a.x_A": 1}).missing == {"a.y_A"}


def test_a_division_by_zero_says_so() -> None:
    """Not judged, with the reason."""
    assert "zero" in answer("a.x_A / a.y_A", {"a.x_A": 1, "a.y_A": 0}).reason


def test_what_is_not_there_is_out_of_scope_even_beside_an_unknown() -> None:
    """A vehicle without a fuse is not asked for the fuse's amperes."""
    assert answer("a.x_A > a.y_A", {"a.x_A": NOT_THERE}).side == "absent"
    assert answer("a.on and a.off", {"a.on": NOT_THERE}).side == "absent"


@pytest.mark.parametrize(
    ("text", "values", "side", "value"),
    [
        ("min(a.x_A, a.y_A)", {"a.x_A": 5}, NO_MORE, 5),
        ("max(a.x_A, a.y_A)", {"a.x_A": 5}, NO_LESS, 5),
        ("2 * min(a.x_A, a.y_A)", {"a.x_A": 5}, NO_MORE, 10),
        ("10 - min(a.x_A, a.y_A)", {"a.x_A": 4}, NO_LESS, 6),
        ("min(a.x_A, a.y_A)", {"a.x_A": 5, "a.y_A": NOT_THERE}, "exact", 5),
        ("min(a.x_A, a.y_A) > 6", {"a.x_A": 5}, "exact", False),
        ("min(a.x_A, a.y_A) > 4", {"a.x_A": 5}, "exact", None),
    ],
)
def test_a_least_with_a_part_missing_is_no_more_than(
    text: str, values: dict[str, Any], side: str, value: object
) -> None:
    """The pack gives 5 A at most, whatever the board turns out to give."""
    found = answer(text, values)
    assert (found.side, found.value) == (side, value)


@pytest.mark.parametrize(
    "text",
    [
        "a.u_V > a.x_A",
        "a.x_A + a.u_V",
        "a.x_A > a.rms_A_rms",
        "a.turn_rpm < a.wave_Hz",
        "a.hot_degC + a.cold_degC",
        "2 * a.hot_degC",
        "a.gap_K > a.hot_degC",
        "min(a.x_A, a.u_V)",
        "a.x_A if a.on else a.u_V",
        "a.on > 2",
        "a.kind == 2",
        "a.kind == 'hal'",
        "a.x_A and a.on",
        "max(a.x_A)",
        "a.x_A in a.readings_V",
    ],
)
def test_unlike_things_are_not_compared(text: str) -> None:
    """Volts are not amperes, rms is not DC, a temperature is not a difference."""
    with pytest.raises(ExpressionError):
        compile_expression(text, VOCABULARY)


@pytest.mark.parametrize(
    ("text", "values", "wanted"),
    [
        ("a.x_A * a.r_mohm > a.u_V", {"a.x_A": 100, "a.r_mohm": 50, "a.u_V": 4.9}, True),
        ("a.x_A * a.r_mohm > a.u_V", {"a.x_A": 100, "a.r_mohm": 50, "a.u_V": 5.1}, False),
        (
            "a.u_V * a.kv_rpm_per_V < a.turn_rpm",
            {"a.u_V": 72, "a.kv_rpm_per_V": 60, "a.turn_rpm": 4321},
            True,
        ),
        ("a.hot_degC - a.cold_degC > 3", {"a.hot_degC": 98, "a.cold_degC": 20}, True),
        (
            "a.hot_degC - a.cold_degC > a.gap_K",
            {"a.hot_degC": 21, "a.cold_degC": 20, "a.gap_K": 3},
            False,
        ),
        ("a.drop_percent > 3", {"a.drop_percent": 3.1}, True),
        ("a.x_A / a.y_A > a.drop_percent", {"a.x_A": 4, "a.y_A": 100, "a.drop_percent": 3}, True),
    ],
)
def test_scales_are_carried(text: str, values: dict[str, Any], wanted: bool) -> None:
    """Amperes through milliohms are volts, and a percent is a hundredth."""
    assert answer(text, values).value is wanted


def test_a_limit_is_given_in_the_unit_of_what_it_bounds() -> None:
    """A × mΩ held against volts arrives as volts."""
    expression = scaled(compile_expression("a.x_A * a.r_mohm", VOCABULARY), UNITS["V"])
    values = {"a.x_A": Operand(100), "a.r_mohm": Operand(50)}
    assert expression.evaluate(values.__getitem__).value == pytest.approx(5.0)


@pytest.mark.parametrize(
    "text",
    [
        "a.x_A.__class__",
        "__import__('os')",
        "a.x_A ** 2",
        "a.x_A % 2",
        "a.x_A // 2",
        "[a.x_A]",
        "lambda: 1",
        "a.x_A if a.on",
        "given('a')",
        "given(a.x_A, a.y_A)",
        "min()",
        "min(a.x_A, key=abs)",
        "f'{a}'",
        "a.x_A; a.y_A",
        "(a.x_A := 3)",
        "1j",
        "None",
        "...",
        "b'x'",
        "a.x_A is a.y_A",
        "~a.x_A",
        "a.x_A[0]",
        "open('x')",
        "",
        "(" * 40 + "1" + ")" * 40,
        "not " * 40 + "a.on",
        "-" * 400 + "1",
        "1 + " * 200 + "1",
    ],
)
def test_nothing_else_parses(text: str) -> None:
    """A rule from a shop's folder is data, never a program."""
    with pytest.raises(ExpressionError):
        compile_expression(text, VOCABULARY)


def test_breadth_is_no_depth_and_hides_none() -> None:
    """Forty numbers side by side can be read; forty in each other cannot, wherever they stand."""
    wide, deep = "1, " * 40, "1 + " * 40
    assert answer(f"max({wide}2)", {}).value == 2
    with pytest.raises(ExpressionError, match="nested too deep"):
        compile_expression(f"max({wide}{deep}1)", VOCABULARY)


# After `a.on and `, so that a column is told from the first.
MISTAKES = [
    ("a.x_A is a.y_A", 10, "`is`", "a comparison such as == or <", None),
    ("a.x_A == 'hall'", 10, "a.x_A (number) and 'hall' (text)", "two of a sort to compare", None),
    ("a.kind < 'hall'", 10, "a.kind", "numbers on both sides of < and >", None),
    ("a.kind == 'hal'", 20, "'hal'", "one of hall, none", "hall"),
    ("'hal' == a.kind", 10, "'hal'", "one of hall, none", "hall"),
    ("a.x_A in []", 19, "an empty list", "a list with something in it", None),
    ("a.x_A in a.y_A", 19, "a.y_A", "a list, or a quantity that is one", None),
    ("a.kind in a.readings_V", 20, "a.readings_V", "a list, or a quantity that is one", None),
    ("'hal' in a.kinds", 10, "'hal'", "one of hall, none", "hall"),
    ("1j > 2", 10, "1j", "a number, a text, True or False", None),
    ("a.y_B > 2", 10, "a.y_B", "a quantity", "a.y_A"),
    ("2 < -a.kind", 15, "a.kind (text)", "a number", None),
    ("not a.x_A", 14, "a.x_A (number)", "a condition", None),
    ("2 < a.x_A ** 2", 14, "a.x_A ** 2", f"only {GRAMMAR}", None),
    ("2 < ~a.x_A", 14, "~a.x_A", f"only {GRAMMAR}", None),
    ("[a.x_A]", 10, "[a.x_A]", f"only {GRAMMAR}", None),
    ("20 < -a.hot_degC", 15, "-a.hot_degC", "a temperature as it stands", None),
    ("2 < (3 if a.on else a.kind)", 15, "3 if a.on else a.kind", "two arms of one sort", None),
    ("2 < mim(1, 2)", 14, "mim", f"one of {', '.join(FUNCTIONS)}", "min"),
    ("2 < a.min(1, 2)", 14, "a.min", f"one of {', '.join(FUNCTIONS)}", "min"),
    ("2 < min()", 14, "min", f"one of {', '.join(FUNCTIONS)}", "min"),
    ("given(a.x_A, a.y_A)", 10, "given(a.x_A, a.y_A)", "one name in given()", None),
    ("2 < abs(a.x_A, 1)", 14, "abs(a.x_A, 1)", "one number in abs()", None),
    ("2 < round(a.x_A, 1)", 14, "round(a.x_A, 1)", "one number in round()", None),
    ("2 < min(a.x_A)", 14, "min(a.x_A)", "two numbers or more in min()", None),
    ("2 < max(a.x_A)", 14, "max(a.x_A)", "two numbers or more in max()", None),
]


@pytest.mark.parametrize(
    ("text", "column", "found", "wanted", "meant"), MISTAKES, ids=[row[0] for row in MISTAKES]
)
def test_a_mistake_is_pointed_at(
    text: str, column: int, found: str, wanted: str, meant: str | None
) -> None:
    """Who writes a shop's rule sees the place, what stands there, and what to write instead."""
    with pytest.raises(ExpressionError) as caught:
        compile_expression(f"a.on and {text}", VOCABULARY)
    said = caught.value
    assert (said.offset, said.found, said.wanted, said.nearest) == (column, found, wanted, meant)


@pytest.mark.parametrize(
    ("text", "column", "found", "units"),
    [
        ("a.u_V > a.x_A", 18, "a.x_A", "A"),
        ("a.x_A + a.u_V > 2", 10, "a.x_A + a.u_V", "V"),
        ("2 < min(a.x_A, 1, a.u_V)", 28, "a.u_V", "min()"),
        ("2 < max(a.x_A, 1, a.u_V)", 28, "a.u_V", "max()"),
        ("2 < (a.x_A if a.on else a.u_V)", 34, "a.u_V", "given in place of"),
        ("a.x_A in a.readings_V", 10, "a.x_A", "searched for"),
    ],
)
def test_unlike_units_are_pointed_at(text: str, column: int, found: str, units: str) -> None:
    """The part that does not fit, and what it was held against."""
    with pytest.raises(ExpressionError) as caught:
        compile_expression(f"a.on and {text}", VOCABULARY)
    assert (caught.value.offset, caught.value.found) == (column, found)
    assert units in caught.value.wanted


def test_a_misspelt_quantity_is_answered_with_the_nearest() -> None:
    """The usual mistake is a letter."""
    with pytest.raises(ExpressionError) as caught:
        compile_expression("a.u_V > 2 * a.y_B", VOCABULARY)
    assert caught.value.nearest == "a.y_A"
    assert caught.value.offset == 13


ALL_OF_IT = (
    "-a.x_A + 2 * a.y_A - 3 / 2 * abs(a.x_A) > min(a.x_A, 2, max(a.y_A, 3))",
    "a.u_V in a.readings_V or max(a.readings_V) < a.x_A * a.r_mohm and not a.on",
    "(a.x_A if a.kind == 'hall' else round(a.y_A)) != 3 and given(a.u_V)",
    "a.kind not in ['hall', 'none'] or True",
)


@pytest.mark.parametrize("text", ALL_OF_IT)
def test_an_expression_is_a_value(text: str) -> None:
    """Compiled twice it is the same, and it is the same in another process."""
    expression = compile_expression(text, VOCABULARY)
    assert expression == compile_expression(text, VOCABULARY)
    assert pickle.loads(pickle.dumps(expression)) == expression
    assert hash(expression) == hash(pickle.loads(pickle.dumps(expression)))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("a.x_A + a.y_A", "a.x_A - a.y_A"),
        ("a.x_A + a.y_A", "a.y_A + a.x_A"),
        ("a.x_A * a.y_A", "a.x_A / a.y_A"),
        ("min(a.x_A, a.y_A)", "max(a.x_A, a.y_A)"),
        ("a.x_A < a.y_A", "a.x_A <= a.y_A"),
        ("a.on and a.off", "a.on or a.off"),
        ("a.on", "given(a.on)"),
    ],
)
def test_expressions_that_say_otherwise_are_unequal(one: str, other: str) -> None:
    """A sum is no difference, whatever they are made of."""
    trees = [compile_expression(text, VOCABULARY).tree for text in (one, other)]
    assert trees[0] != trees[1]


def test_a_tree_names_what_it_reads() -> None:
    """Everything that it looks up, wherever that stands, and nothing else."""
    for text in ALL_OF_IT:
        expression = compile_expression(text, VOCABULARY)
        assert expression.names == set(re.findall(r"a\.\w+", text))
        assert expression.names == expression.tree.names


@given(st.text(alphabet="ax_A.()+-*/<>=! 0123'notandorifelse,[]", max_size=80))
def test_no_text_breaks_the_reader(text: str) -> None:
    """Whatever is written, the answer is an expression or our own error."""
    try:
        compile_expression(text, VOCABULARY)
    except ExpressionError:
        return
