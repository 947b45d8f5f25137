"""The cables."""

from __future__ import annotations

import pytest
from gonogo.quantities import wiring
from gonogo.quantities.operand import NotWorked


def test_both_leads_count_and_warmth_adds() -> None:
    """A metre of 16 mm² out and back is 2.42 mΩ cold, and 15.72 % more at 60 °C."""
    assert wiring.battery_cable(16.0, 1.0, 20.0) == pytest.approx(2.42)
    assert wiring.battery_cable(16.0, 1.0, 60.0) == pytest.approx(2.42 * 1.1572)


def test_a_wire_gauge_goes_by_its_copper() -> None:
    """A metre of 6 AWG, 13.302 mm²: 1.2962 mΩ solid (ASTM B258, IEC 60028), 2 % more stranded."""
    with pytest.raises(NotWorked, match="no section of IEC 60228"):
        wiring.battery_cable(13.302, 1.0, 20.0)
    ohm = wiring.battery_cable_other(13.302, 1.0, 20.0)
    assert ohm == pytest.approx(2.0 * 1.02 * 1.2962, rel=1e-3)


@pytest.mark.parametrize("section_mm2", [0.3, 301.0])
def test_outside_the_table_a_cable_is_unknown(section_mm2: float) -> None:
    """No extrapolation, and no silent clamp."""
    with pytest.raises(NotWorked):
        wiring.battery_cable_other(section_mm2, 1.0, 20.0)


@pytest.mark.parametrize("section_mm2", [0.5, 300.0])
def test_the_first_and_last_section_are_the_tables_own(section_mm2: float) -> None:
    """IEC 60228, class 5, runs from 0.5 to 300 mm²; what stands in it is not worked out."""
    assert wiring.battery_cable(section_mm2, 1.0, 20.0) > 0
    with pytest.raises(NotWorked):
        wiring.battery_cable_other(section_mm2, 1.0, 20.0)


def test_a_drop_is_ohms_law_and_a_share_of_nominal() -> None:
    """60 A through 10 mΩ cost 0.6 V, 1.25 % of 48 V."""
    assert wiring.drop(60.0, 10.0) == pytest.approx(0.6)
    assert wiring.drop_percent(0.6, 48.0) == pytest.approx(1.25)


def test_the_air_about_the_cables_is_never_cooler_than_the_tables() -> None:
    """Currents are given for 30 °C: a cool country makes no thicker cable."""
    assert wiring.air() == wiring.air(12.0) == 30.0
    assert wiring.air(44.0) == 44.0


@pytest.mark.parametrize(
    ("ratings", "weakest"),
    [
        pytest.param(
            {"fuse_A": 60.0, "connector_A": 90.0, "contactor_A": 80.0}, "main fuse", id="fuse"
        ),
        pytest.param({"fuse_A": 60.0, "connector_A": 50.0}, "pack connector", id="plug"),
        pytest.param({"contactor_A": 80.0, "connector_A": 90.0}, "contactor", id="contactor"),
    ],
)
def test_the_weakest_part_is_named(ratings: dict[str, float], weakest: str) -> None:
    """Who is told that something is too weak wants to know what."""
    assert wiring.path_weakest(**ratings) == weakest


def test_of_nothing_told_nothing_is_the_weakest() -> None:
    """No part is blamed for want of a figure."""
    with pytest.raises(NotWorked):
        wiring.path_weakest()
