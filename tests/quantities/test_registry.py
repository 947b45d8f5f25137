"""The registry: every formula gathered once, what hangs on what, and no quantity on itself."""

from __future__ import annotations

import re
from types import ModuleType

import pytest
from gonogo.documents.schema import allowances, canonical
from gonogo.documents.units import UNITS
from gonogo.quantities.registry import (
    REACHES,
    TYPICAL,
    WORKED,
    affected,
    formulas_of,
    reaches,
    rests_on,
    unit_of,
)
from gonogo.quantities.worked import Worked, worked
from hypothesis import given
from hypothesis import strategies as st


def sheet(name: str, **formulas: tuple[str, ...]) -> ModuleType:
    """A module of formulas, each with what it hangs on."""
    module = ModuleType(name)
    for quantity, inputs in formulas.items():

        def one(a: float) -> float:
            return a

        def two(a: float, b: float) -> float:
            return a + b

        function = one if len(inputs) == 1 else two
        function.__module__ = name
        declare = worked(
            f"t.{quantity}",
            "",
            source="Ours.",
            formula="a" if len(inputs) == 1 else "a + b",
            **dict(zip("ab", inputs, strict=False)),
        )
        setattr(module, quantity, declare(function))
    return module


def test_a_quantity_reaches_all_that_it_hangs_on() -> None:
    """Through every formula below it, itself included."""
    registry = formulas_of([sheet("one", top=("t.middle", "p.x"), middle=("p.y",))])
    assert reaches(registry)["t.top"] == {"t.top", "t.middle", "p.x", "p.y"}


@pytest.mark.parametrize(
    "formulas",
    [
        pytest.param({"a": ("t.a",)}, id="on itself"),
        pytest.param({"a": ("t.b",), "b": ("t.c",), "c": ("t.a",)}, id="in a ring"),
    ],
)
def test_a_ring_is_refused(formulas: dict[str, tuple[str, ...]]) -> None:
    """A quantity that depends on itself would never be worked out."""
    with pytest.raises(ValueError, match="depends on itself"):
        reaches(formulas_of([sheet("ring", **formulas)]))


def test_formulas_for_one_quantity_keep_their_order() -> None:
    """The first is the better one."""
    registry = formulas_of([sheet("one", top=("p.x",)), sheet("two", top=("p.y",))])
    assert [list(spec.inputs.values()) for spec in registry["t.top"]] == [["p.x"], ["p.y"]]


def test_a_change_moves_what_hangs_on_it_and_nothing_else() -> None:
    """Series count moves the pack's volts, not its amperes."""
    moved = affected(frozenset({"pack.series"}))
    assert {"pack.full_V", "pack.nominal_V", "pack.sag_V", "ride.reachable_km_h"} <= moved
    assert "pack.cells_continuous_A" not in moved
    assert "throttle.clearance_V" not in moved


@pytest.mark.parametrize(
    ("name", "moved"),
    [
        pytest.param("settings.direction", {"settings.direction"}, id="itself"),
        pytest.param("pack.cell.chemistry", TYPICAL, id="what is typical of a chemistry"),
        pytest.param(
            "pack.cell.chemistry", {"pack.full_V", "pack.minimum_V"}, id="and what hangs on that"
        ),
        pytest.param(
            "settings.regen",
            {"settings.regen.battery_current_A", "settings.regen.stop_V"},
            id="all that lies in a section",
        ),
        pytest.param("wiring.fuse", {"wiring.fuse.rated_A"}, id="a section of a section's"),
    ],
)
def test_what_a_name_moves_is_said_in_one_place(name: str, moved: set[str]) -> None:
    """A rule left as it was because a section or a chemistry was overlooked would be a false GO."""
    assert moved <= affected(frozenset({name}))


@given(st.sets(st.sampled_from(sorted({*canonical(), *WORKED})), max_size=4))
def test_several_names_move_what_each_of_them_moves(names: set[str]) -> None:
    """Nothing is lost by asking for several at once, and nothing but they and theirs is named."""
    each = [affected(frozenset({name})) for name in names]
    assert affected(frozenset(names)) == frozenset().union(*each)


def test_what_is_given_reaches_itself() -> None:
    """A root hangs on nothing."""
    assert rests_on("settings.battery_current_A") == {"settings.battery_current_A"}


def test_what_is_worked_out_rests_on_its_roots() -> None:
    """A comparison that looked no further than the name would miss the change below it."""
    assert {"pack.full_V", "pack.series", "pack.cell.full_V"} <= rests_on("pack.full_V")


@pytest.mark.parametrize(
    ("name", "unit"),
    [
        pytest.param("settings.battery_current_A", "A", id="entered"),
        pytest.param("drivetrain.rolling_mm", "mm", id="known by its key alone"),
        pytest.param("pack.series", "", id="a plain number"),
        pytest.param("motor.torque_constant_Nm_per_A_rms", "Nm_per_A_rms", id="worked out"),
    ],
)
def test_a_quantity_has_one_unit(name: str, unit: str) -> None:
    """Screens, rules and formulas all print this one."""
    assert unit_of(name) == unit


def test_every_formula_has_a_unit_that_is_known_and_its_alternatives_have_the_same() -> None:
    """Two formulas for one quantity in two units would be compared as if they were one."""
    for name, specs in WORKED.items():
        assert {spec.unit for spec in specs} == {unit_of(name)} <= UNITS.keys()


def test_a_quantity_is_named_after_the_part_it_belongs_to() -> None:
    """As the sections of a profile are, with the ride and what a reading comes to besides."""
    parts = {name.partition(".")[0] for name in canonical()} | {"ride"}
    assert {name.partition(".")[0] for name in WORKED} <= parts


def in_quantities(spec: Worked) -> str:
    """The formula over the quantities themselves, however its arguments are called and spaced."""
    told = re.sub(r"[A-Za-z_]\w*", lambda word: spec.inputs.get(word[0], word[0]), spec.formula)
    return "".join(told.split())


def test_no_calculation_has_two_names() -> None:
    """A search for one of them would miss what rules and screens say of the other.

    A formula that only hands its input on may: what counts as a value, and the value that counts.
    """
    named: dict[tuple[str, ...], set[str]] = {}
    for name, formulas in WORKED.items():
        for spec in formulas:
            if spec.formula not in ("", *spec.inputs):
                told = (in_quantities(spec), spec.applies_when, spec.combine)
                named.setdefault(told, set()).add(name)
    twice = [" and ".join(sorted(names)) for names in named.values() if len(names) > 1]
    assert not twice, f"use the one that there is: {'; '.join(twice)}"


def test_every_input_is_known() -> None:
    """A formula that asks for a name nobody can give would always be unknown."""
    known = {*canonical(), *WORKED, *allowances(), "judged.on"}
    asked = {name for specs in WORKED.values() for spec in specs for name in spec.inputs.values()}
    assert asked - known == set()


def test_every_quantity_can_be_worked_out_from_entries() -> None:
    """Down at the roots are only keys of a profile, allowances and the day."""
    roots = {name for names in REACHES.values() for name in names if name not in WORKED}
    assert roots <= {*canonical(), *allowances(), "judged.on"}


@pytest.mark.parametrize(
    ("declared", "wrong"),
    [
        ({"a": "p.x"}, "an argument without its quantity"),
        ({"a": "p.x", "b": "p.y", "c": "p.z"}, "a quantity without its argument"),
        ({"b": "p.y", "a": "p.x"}, "another order"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_inputs_are_the_arguments(declared: dict[str, str], wrong: str) -> None:
    """A formula fed with the wrong quantity is found when it is imported."""

    def formula(a: float, b: float) -> float:
        return a + b

    with pytest.raises(TypeError, match=re.escape(f"t.x: the inputs {list(declared)} are not")):
        worked("t.x", "", source="Ours.", formula="a + b", **declared)(formula)
