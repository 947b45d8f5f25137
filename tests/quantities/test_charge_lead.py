"""The lead between charger and pack."""

from __future__ import annotations

import pytest
from gonogo.quantities.charge_lead import charge_lead, charge_lead_most
from gonogo.quantities.operand import NotWorked


@pytest.mark.parametrize(
    ("section_mm2", "carries_A"),
    [
        pytest.param(1.0, 19.0, id="a row of the table (DIN VDE 0298-4, table 11)"),
        pytest.param(0.75, 15.0, id="the thinnest row"),
        pytest.param(0.5, 15.0, id="thinner than all: no more than the thinnest"),
        pytest.param(1.2, 19.0, id="between two rows: the thinner one"),
    ],
)
def test_a_lead_carries_what_the_table_says(section_mm2: float, carries_A: float) -> None:
    """A lead that gets warm is found by its section, before it is felt."""
    assert charge_lead(section_mm2) == pytest.approx(carries_A)
    assert charge_lead_most(section_mm2) > carries_A


def test_warm_air_leaves_less() -> None:
    """0.79 at 45 °C for PVC (DIN VDE 0298-4, table 17); the form of IEC 60287 comes within 1 %."""
    assert charge_lead(1.0, 45.0) == pytest.approx(0.79 * 19.0, rel=0.01)


def test_air_as_warm_as_the_insulation_leaves_nothing() -> None:
    """No current is worked out where the lead is too hot without one."""
    with pytest.raises(NotWorked):
        charge_lead(1.0, 70.0)
