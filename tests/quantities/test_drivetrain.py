"""Ratio and rolling circumference."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities import drivetrain
from gonogo.quantities.operand import NotWorked

from .test_book import book

STAGES = [
    {"driving_teeth": 12, "driven_teeth": 36},
    {"driving_teeth": 15, "driven_teeth": 45},
]


def test_stages_and_the_gear_inside_the_motor_multiply() -> None:
    """3 × 3 = 9, and 45 with 5 to 1 inside the hub."""
    assert drivetrain.ratio(drivetrain.ratio_from_stages(STAGES)) == pytest.approx(9.0)
    assert drivetrain.ratio_from_stages(STAGES, 5.0) == pytest.approx(45.0)


def test_a_measured_circumference_is_only_a_change_of_unit() -> None:
    """Nothing is taken off for the rider: he sat on it."""
    assert drivetrain.circumference(2050.0) == 2.05


def test_a_tyres_circumference_is_that_of_a_circle() -> None:
    """π times the diameter."""
    assert drivetrain.circumference_of_tyre(1000.0) == pytest.approx(math.pi)


@pytest.mark.parametrize(
    ("load_index", "load_kg"),
    [
        pytest.param(20, 80.0, id="the lowest that motorcycle charts print"),
        pytest.param(54, 212.0, id="a trail motorcycle's rear"),
        pytest.param(73, 365.0, id="a heavy motorcycle's"),
    ],
)
def test_a_load_index_is_the_published_mass(load_index: int, load_kg: float) -> None:
    """UN R75, as public charts print it."""
    assert drivetrain.tyre_load(load_index) == load_kg


def test_an_index_without_a_mass_is_unknown() -> None:
    """Nothing is guessed between or beyond the rows."""
    with pytest.raises(NotWorked, match="no load is known"):
        drivetrain.tyre_load(300)
    with pytest.raises(NotWorked, match="has no load index"):
        drivetrain.tyre_load_index("90/90-21")


def test_a_marking_gives_the_load_where_nobody_typed_it() -> None:
    """What is entered wins over the marking."""
    given = {"drivetrain.tyre": "90/90-21 54R"}
    assert book(given).operand("drivetrain.tyre_load_kg").value == 212.0
    both = {**given, "drivetrain.tyre_load_index": 30}
    assert book(both).operand("drivetrain.tyre_load_kg").value == 106.0


def test_a_measured_wheel_keeps_the_circumference_of_its_marking() -> None:
    """So that the two can be held against each other."""
    given = {"drivetrain.tyre": "47-622", "drivetrain.circumference_mm": 2200.0}
    both = book(given).operand
    assert both("drivetrain.circumference_m").value == 2.2
    assert both("drivetrain.tyre_circumference_m").value == pytest.approx(math.pi * 0.716)
