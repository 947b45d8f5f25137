"""Slips undone: by the definition of each, a value is led back to the one that was meant."""

from __future__ import annotations

from typing import Any

import pytest
from gonogo.documents.given import Given
from gonogo.documents.location import Place
from gonogo.documents.schema import properties
from gonogo.quantities.book import Book
from gonogo.suspicion.slip_rows import slip_table
from gonogo.suspicion.undone import undone


def values(slip: str, key: str, entered: Any, **known: float) -> list[Any]:
    row = next(row for row in slip_table().slips if row.slip == slip)
    entry = properties()[key]
    given = {
        name.replace("__", "."): Given(
            name.replace("__", "."), value, name, value, 1.0, Place("", 0, 0)
        )
        for name, value in known.items()
    }
    return [one.entered for one in undone(row, entry, entered, Book(given, {}, "2026-11-25"))]


@pytest.mark.parametrize(
    ("slip", "key", "entered", "meant"),
    [
        pytest.param(
            "magnets-for-pole-pairs", "motor.pole_pairs", 14, 7, id="14 magnets are 7 pairs"
        ),
        pytest.param(
            "kv-on-another-basis", "motor.kv_rpm_per_V", 103.9, 60.0, id="phase for line: √3"
        ),
        pytest.param(
            "kv-on-another-basis", "motor.kv_rpm_per_V", 84.9, 60.0, id="rms for peak: √2"
        ),
        pytest.param("peak-for-rms", "settings.phase_current_A_rms", 212.1, 150.0, id="150 A × √2"),
        pytest.param(
            "fahrenheit-for-celsius", "readings.ambient_degC", 59, 15.0, id="59 °F, by definition"
        ),
        pytest.param(
            "diameter-for-circumference", "drivetrain.circumference_mm", 424, 1332.0, id="by π"
        ),
        pytest.param("digits-exchanged", "settings.max_rpm", 5400, 4500.0, id="54 for 45"),
        pytest.param("factor-of-ten", "pack.cell.capacity_Ah", 49, 4.9, id="a decimal point"),
        pytest.param("stray-sign", "vehicle.min_ambient_degC", -8, 8.0, id="a minus too many"),
        pytest.param("stray-sign", "vehicle.min_ambient_degC", 8, -8.0, id="a minus left out"),
        pytest.param("digit-too-many", "settings.battery_current_A", 145, 45.0, id="one before"),
        pytest.param("digit-too-many", "settings.battery_current_A", 445, 45.0, id="one twice"),
        pytest.param("digit-too-many", "motor.kv_rpm_per_V", 62.5, 6.5, id="one inside"),
        pytest.param("digit-misread", "pack.parallel", 3, 8, id="a worn 8"),
        pytest.param("digit-misread", "motor.kv_rpm_per_V", 16.5, 76.5, id="a 7 without its bar"),
        pytest.param("cells-miscounted", "pack.series", 19, 20, id="one cell short"),
    ],
)
def test_what_was_meant_is_among_the_values(slip: str, key: str, entered: Any, meant: Any) -> None:
    """The rounded number comes back as the round one: nobody enters 59.987."""
    found = values(slip, key, entered)
    assert any(value == pytest.approx(meant, rel=1e-9) for value in found), found


def test_a_gauge_is_the_cross_section_of_the_standard() -> None:
    """ASTM B258, table 1: gauge 4 is 21.15 mm², 10 is 5.261 mm²."""
    key = "wiring.battery_cable_mm2"
    assert values("gauge-for-mm2", key, 4) == [pytest.approx(21.15, rel=1e-3)]
    assert values("gauge-for-mm2", key, 10) == [pytest.approx(5.261, rel=1e-3)]
    assert values("gauge-for-mm2", key, 4.5) == []


def test_a_quantity_can_be_the_factor() -> None:
    """Volts of a cell in the field of a pack of 20, and electrical speed by 7 pole pairs."""
    low = values("cell-for-pack", "settings.low_voltage.cutoff_V", 3.1, pack__series=20.0)
    assert low == [pytest.approx(62.0)]
    fast = values("electrical-for-mechanical", "settings.max_rpm", 28000, motor__pole_pairs=7.0)
    assert fast == [pytest.approx(4000.0)]


def test_what_the_key_does_not_take_is_never_proposed() -> None:
    """A count stays whole, a value inside its range."""
    assert values("magnets-for-pole-pairs", "motor.pole_pairs", 7) == []
    assert all(
        0.3 <= value <= 1.0 for value in values("factor-of-ten", "drivetrain.efficiency", 0.9)
    )


def test_teeth_are_turned_stage_by_stage() -> None:
    """One stage the other way about, or all of them."""
    stages = [
        {"driving_teeth": 40, "driven_teeth": 10},
        {"driving_teeth": 12, "driven_teeth": 30},
    ]
    found = values("teeth-exchanged", "drivetrain.stages", stages)
    assert [{"driving_teeth": 10, "driven_teeth": 40}, stages[1]] in found
    assert len(found) == 3


def test_a_slip_has_its_own_name() -> None:
    """300 for 30 is no exchange of digits but a decimal point, and 15 was never written 015."""
    key = "settings.battery_current_A"
    assert values("digits-exchanged", key, 300) == []
    assert values("digits-exchanged", key, 105) == [150.0]
    assert values("digit-too-many", key, 300) == []
    assert 30.0 in values("factor-of-ten", key, 300)


def test_a_sign_turns_where_the_entry_can_be_below_zero() -> None:
    """No count, current or rating is proposed below its range."""
    assert values("stray-sign", "settings.battery_current_A", 45) == []


@pytest.mark.parametrize(
    ("slip", "stages", "shown", "meant"),
    [
        pytest.param("stage-left-out", [(16, 58)], 10.875, [(16, 58), (10, 30)], id="58/16 · 3"),
        pytest.param(
            "stage-too-many",
            [(18, 54), (18, 54), (16, 58)],
            10.875,
            [(18, 54), (16, 58)],
            id="once twice",
        ),
        pytest.param("teeth-other-than-shown", [(12, 89)], 8.167, [(12, 98)], id="98/12"),
        pytest.param("teeth-other-than-shown", [(21, 98)], 8.167, [(12, 98)], id="the small wheel"),
    ],
)
def test_stages_reduce_by_what_the_display_is_set_to(
    slip: str, stages: list[tuple[int, int]], shown: float, meant: list[tuple[int, int]]
) -> None:
    """A reduction is the product of driven over driving teeth; the display holds it once more."""

    def entered(pairs: list[tuple[int, int]]) -> list[dict[str, int]]:
        return [{"driving_teeth": one, "driven_teeth": other} for one, other in pairs]

    found = values(slip, "drivetrain.stages", entered(stages), settings__speed_shown__ratio=shown)
    assert entered(meant) in found
