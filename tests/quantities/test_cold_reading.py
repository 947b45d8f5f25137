"""The cold reading: what it is held against."""

from __future__ import annotations

import pytest
from gonogo.quantities import cold_reading

from .test_book import HOUSE, book

AIR = {"readings.ambient_degC": 17.0}
CONTROLLER = {"readings.temperature.controller_degC": 18.0}


@pytest.mark.parametrize(
    ("told", "reference_degC", "allowance"),
    [
        pytest.param({**AIR, **CONTROLLER}, 18.0, "cold", id="the controller before the air"),
        pytest.param(AIR, 17.0, "ambient", id="the air where the controller shows nothing"),
    ],
)
def test_a_cold_motor_is_held_against_the_nearer_body(
    told: dict[str, float], reference_degC: float, allowance: str
) -> None:
    """The controller stood as long as the motor did; the air has changed since."""
    found = book(told)
    assert found.operand("readings.cold_reference_degC").value == reference_degC
    allowed, fault = (HOUSE[f"house.{allowance}_difference{key}_K"] for key in ("", "_fault"))
    assert found.operand("readings.cold_allowed_K").value == allowed
    assert found.operand("readings.cold_fault_K").value == fault


def test_plug_and_wires_come_before_the_setting() -> None:
    """A sensor that fits no kind is broken, and no setting mends it."""
    assert "first" in cold_reading.remedy("no usual kind of sensor")
    assert cold_reading.remedy("pt1000").endswith("the reading fits pt1000")
