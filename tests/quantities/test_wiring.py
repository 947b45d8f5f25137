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
    for works_out in (
        lambda: wiring.battery_cable_other(section_mm2, 1.0, 20.0),
        lambda: wiring.battery_cable_current(section_mm2),
        lambda: wiring.battery_cable_current_at_least(section_mm2),
    ):
        with pytest.raises(NotWorked):
            works_out()


@pytest.mark.parametrize("section_mm2", [0.5, 300.0])
def test_the_first_and_last_section_are_the_tables_own(section_mm2: float) -> None:
    """IEC 60228, class 5, runs from 0.5 to 300 mm²; what stands in it is not worked out."""
    assert wiring.battery_cable(section_mm2, 1.0, 20.0) > 0
    with pytest.raises(NotWorked):
        wiring.battery_cable_other(section_mm2, 1.0, 20.0)


def test_a_cable_between_two_sections_carries_at_least_the_smaller_one() -> None:
    """8.4 mm² is more than 6 mm², by how much the table does not say."""
    assert wiring.battery_cable_current_at_least(8.366) == wiring.battery_cable_current(6.0) == 54.0
    assert wiring.phase_cable_current_at_least(8.366) == wiring.phase_cable_current(6.0)
    with pytest.raises(NotWorked):
        wiring.phase_cable_current(8.366)


def test_a_drop_is_ohms_law_and_a_share_of_nominal() -> None:
    """60 A through 10 mΩ cost 0.6 V, 1.25 % of 48 V."""
    assert wiring.drop(60.0, 10.0) == pytest.approx(0.6)
    assert wiring.drop_percent(0.6, 48.0) == pytest.approx(1.25)
