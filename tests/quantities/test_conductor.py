"""Copper conductors."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities import conductor
from gonogo.tables.table import column


@pytest.mark.parametrize("section_mm2", conductor.sections_mm2())
def test_the_standard_allows_more_than_its_section_of_copper_would_have(
    section_mm2: float,
) -> None:
    """The highest resistance allowed lies 4 to 16 % above solid copper of the nominal section."""
    allowed = conductor.standard_mohm_per_m(section_mm2)
    assert allowed is not None
    assert 1.04 < allowed / conductor.copper_mohm_per_m(section_mm2) < 1.16


@pytest.mark.parametrize("number", range(-3, 25))
def test_wire_gauges_are_those_of_the_standards_formula(number: int) -> None:
    """ASTM B258: d = 0.127 mm × 92^((36 − n)/39), where 4/0 is −3; four digits."""
    name = str(number) if number > 0 else f"{1 - number}/0"
    area_mm2 = column("wire_gauges", "awg", "area_mm2")[name]
    diameter_mm = 0.127 * 92.0 ** ((36 - number) / 39)
    assert area_mm2 == pytest.approx(math.pi / 4.0 * diameter_mm**2, rel=5e-4)


def test_a_tables_own_insulation_and_air_change_nothing() -> None:
    """70 °C in 30 °C is what the table stands for."""
    assert conductor.insulation_factor(70.0, 30.0) == 1.0
