"""A declared formula: what it comes to while something is unknown, absent or only a bound."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pickle import dumps, loads
from typing import Any

import pytest
from gonogo.quantities.cable import cable_table
from gonogo.quantities.operand import (
    ABSENT,
    EXACT,
    NO_LESS,
    NO_MORE,
    NOT_THERE,
    NoMoreThan,
    NotWorked,
    Operand,
)
from gonogo.quantities.worked import Worked, declarations, result, worked

A, B = frozenset({"t.a"}), frozenset({"t.b"})
BOUND = Operand(6.0, NO_MORE, A)


def declared(function: Callable[..., Any], **more: Any) -> Worked:
    """A formula over `t.a` and `t.b`."""
    said = {"source": "Ours.", "words": "tried", **more}
    if said.get("combine") == "least":
        del said["words"]
    names = function.__code__.co_varnames[: function.__code__.co_argcount]
    made = worked("t.x", "", **said, **{name: f"t.{name}" for name in names})(function)
    spec = declarations(made)[-1]
    assert isinstance(spec, Worked)
    return spec


def come_to(spec: Worked, **told: Any) -> Operand:
    """What a formula comes to; what is not told is unknown and asks for itself."""
    values: Mapping[str, Any] = {f"t.{name}": value for name, value in told.items()}

    def look_up(name: str) -> Operand:
        value = values.get(name, Operand(None, EXACT, frozenset({name})))
        return value if isinstance(value, Operand) else Operand(value)

    return result(spec, look_up)


def total(a: float, b: float) -> float:
    return a + b


def weaker(a: float, b: float) -> float:
    return min(a, b)


def doubled(a: float) -> float:
    return 2 * a


def with_default(a: float, b: float = 3.0) -> float:
    return a + b


def test_a_formula_that_lacks_inputs_asks_for_all_of_them() -> None:
    """And has no side: nothing is known of it."""
    assert come_to(declared(total)) == Operand(None, EXACT, A | B)
    assert come_to(declared(total), b=2.0) == Operand(None, EXACT, A)
    assert come_to(declared(total), a=1.0, b=2.0) == Operand(3.0)


def test_a_formula_hands_on_why_its_input_is_unknown() -> None:
    """The first reason there is."""
    why = Operand(None, EXACT, A, "no curve is known")
    assert come_to(declared(total), a=why).reason == "no curve is known"
    assert come_to(declared(total), b=why).reason == "no curve is known"
    assert come_to(declared(total), a=why, b=why._replace(reason="later")).reason == why.reason


def test_a_formula_about_what_is_not_there_is_absent() -> None:
    """Whatever else it lacks."""
    assert come_to(declared(total), a=NOT_THERE) == NOT_THERE
    assert come_to(declared(total), b=NOT_THERE) == NOT_THERE


@pytest.mark.parametrize("b", [{}, {"b": NOT_THERE}], ids=["not told", "not there"])
def test_an_optional_input_has_its_default(b: dict[str, Operand]) -> None:
    """It is neither asked for nor missed."""
    assert come_to(declared(with_default), a=1.0, **b) == Operand(4.0)
    assert declared(with_default).defaults == {"b": 3.0}


@pytest.mark.parametrize(
    ("more", "side", "value"),
    [
        pytest.param({"rises": ("a",)}, NO_MORE, 12.0, id="rises with it"),
        pytest.param({"falls": ("a",)}, NO_LESS, 12.0, id="falls with it"),
        pytest.param({}, EXACT, None, id="does not say"),
        pytest.param({"rises": ("a",), "side": NO_LESS}, EXACT, None, id="a bound the other way"),
        pytest.param({"rises": ("a",), "side": NO_MORE}, NO_MORE, 12.0, id="a bound that way too"),
    ],
)
def test_a_bound_passes_as_the_formula_says(
    more: dict[str, Any], side: str, value: float | None
) -> None:
    """Either way it still names what would make it exact."""
    found = come_to(declared(doubled, **more), a=BOUND)
    assert (found.value, found.side, found.missing) == (value, side, A)


@pytest.mark.parametrize(
    ("told", "wanted"),
    [
        pytest.param({}, Operand(None, EXACT, A | B), id="neither told"),
        pytest.param({"a": NOT_THERE}, Operand(None, EXACT, B), id="one not there, one not told"),
        pytest.param({"a": NOT_THERE, "b": NOT_THERE}, NOT_THERE, id="neither there"),
        pytest.param({"a": 5.0}, Operand(5.0, NO_MORE, B), id="one told"),
        pytest.param({"a": 5.0, "b": NOT_THERE}, Operand(5.0), id="one told, one not there"),
        pytest.param({"a": BOUND, "b": 7.0}, Operand(6.0, NO_MORE, A), id="a bound"),
        pytest.param(
            {"a": Operand(6.0, NO_LESS, A)}, Operand(None, EXACT, A | B), id="bounds that part"
        ),
    ],
)
def test_the_least_of_two(told: dict[str, Any], wanted: Operand) -> None:
    """Cells and board: the weaker one, *no more than* while one is not told."""
    assert come_to(declared(weaker, combine="least"), **told) == wanted


def test_no_more_than_keeps_what_its_input_lacks() -> None:
    """Torque beyond saturation, of a current that is a bound itself."""

    def saturated(a: float) -> float:
        return NoMoreThan(a)

    spec = declared(saturated, rises=("a",))
    assert come_to(spec, a=2.0) == Operand(2.0, NO_MORE)
    assert come_to(spec, a=BOUND) == Operand(6.0, NO_MORE, A)
    assert come_to(spec, a=BOUND._replace(side=NO_LESS)) == Operand(None, EXACT, A)
    assert type(come_to(spec, a=2.0).value) is float


def test_outside_its_limits_a_formula_says_why() -> None:
    """An unknown with a reason, where a bound's missing part might still help."""

    def refuses(a: float) -> float:
        raise NotWorked("too hot")

    def divides(a: float) -> float:
        return 1.0 / (a - 6.0)

    def too_far(a: float) -> float:
        return float("inf")

    def answers_nothing(a: float) -> None:
        return None

    said = "t.x lies outside its formula's limits"
    for function, reason in (
        (refuses, "too hot"),
        (divides, "t.x would be divided by zero"),
        (too_far, said),
        (answers_nothing, said),
    ):
        found = come_to(declared(function, rises=("a",)), a=BOUND)
        assert found == Operand(None, EXACT, A, reason)


def test_a_list_is_kept_as_one_that_nobody_changes() -> None:
    """The book remembers it."""

    def kinds(a: float) -> list[str]:
        return ["pt100", "pt1000"]

    assert come_to(declared(kinds, returns="texts"), a=1.0).value == ("pt100", "pt1000")


def test_help_tells_unit_inputs_and_source() -> None:
    """What is said above the formula is said once, and printed from there."""

    def bare(a: float, b: float) -> float:
        return a + b

    def told(a: float) -> float:
        """Said above."""
        return a

    worked("t.x", "", source="Ours.", formula="a + b", a="t.a", b="t.b")(bare)
    assert bare.__doc__ == "\n\nQuantity t.x, unit none; from a = t.a, b = t.b.\nSource: Ours.\n"
    worked("t.x", "V", source="Ours.", words="it", a="t.a")(told)
    assert told.__doc__ == "Said above.\n\nQuantity t.x, unit V; from a = t.a.\nSource: Ours.\n"


def test_a_quantity_has_a_formula_or_words() -> None:
    """With neither nobody could follow it."""
    with pytest.raises(TypeError, match=r"t\.x: a formula, or words where there is none"):
        worked("t.x", "", source="Ours.", a="t.a")


def test_a_value_of_another_sort_is_refused() -> None:
    """A text is no number, and one number is no list."""
    assert Operand((1.0, 2.0)).members == (1.0, 2.0)
    assert Operand(3.0).number == 3.0
    with pytest.raises(TypeError, match="'hall' is no number"):
        assert Operand("hall").number
    with pytest.raises(TypeError, match=r"3\.0 is no list"):
        assert Operand(3.0).members
    assert NOT_THERE.side == ABSENT and not NOT_THERE.known


def test_one_formula_may_stand_for_several_quantities() -> None:
    """Each of them is declared, and comes back from another process as itself."""
    specs = declarations(cable_table)
    assert [(spec.name, spec.unit) for spec in specs] == [
        ("wiring.battery_cable_table_A", "A"),
        ("wiring.phase_cable_table_A", "A_rms"),
    ]
    assert [loads(dumps(spec)) is spec for spec in specs] == [True, True]
