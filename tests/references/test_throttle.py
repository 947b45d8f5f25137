"""Throttles: a potentiometer that loses its ground, and what linear hall parts give (data 13)."""

from __future__ import annotations

from typing import Any

import pytest
from gonogo.documents.schema import allowances
from gonogo.quantities import throttle, throttle_signal

from .reference import rows

Row = dict[str, Any]
THROTTLE = "13_throttle"
HALL: dict[str, Row] = {
    row.values[0]["quantity"]: row.values[0] for row in rows(THROTTLE, "linear_hall_parts")
}


def _allowed(name: str) -> float:
    return float(allowances()[f"house.{name}"].default)


@pytest.mark.parametrize("row", rows(THROTTLE, "track_without_ground"))
def test_a_potentiometer_without_ground_lies_past_the_highest_limit(row: Row) -> None:
    """The wiper at rest hangs on the supply by the whole track: no limit may be above that."""
    drop_V = throttle_signal.ground_loss_drop(
        "potentiometer",
        _allowed("throttle_ground_loss_drop_V"),
        _allowed("track_ground_loss_drop_V"),
    )
    assert throttle_signal.fault_above_max(row["supply_v"], drop_V) < row["signal_v"]


def test_the_drop_of_a_hall_throttle_would_miss_such_a_track() -> None:
    """Why a potentiometer has a drop of its own: 5 kilohms on 47 kilohms stay under 4.7 V."""
    signals_V = [row.values[0]["signal_v"] for row in rows(THROTTLE, "track_without_ground")]
    drop_V = _allowed("throttle_ground_loss_drop_V")
    assert min(signals_V) < throttle_signal.fault_above_max(5.0, drop_V)


def test_a_hall_throttle_without_a_field_gives_half_its_supply() -> None:
    """The drift is counted from there: none at the quiescent voltage of the data sheets."""
    quiescent = HALL["quiescent_v"]
    middle_V = (quiescent["low"] + quiescent["high"]) / 2
    assert throttle.heat_drift(middle_V, 5.0, "hall") == pytest.approx(0.0, abs=1e-9)


def test_the_zero_drift_of_the_data_sheets_is_what_the_ample_clearance_adds() -> None:
    """Over 40 K, of half the supply of 5 V."""
    share = HALL["zero_drift_percent_per_k"]["high"] / 100.0
    assert throttle.max_clearance(0.1, 5.0) - 0.1 == pytest.approx(40.0 * share * 2.5)


def test_an_assumed_rest_is_one_that_a_linear_hall_part_can_give() -> None:
    """Above its saturation, below what it gives without a field."""
    rest_V = throttle_signal.assumed_rest(5.0, _allowed("throttle_rest_max_percent"))
    assert HALL["output_v"]["low"] < rest_V < HALL["quiescent_v"]["low"]


def test_a_supply_that_is_off_is_one_that_the_parts_still_bear() -> None:
    """Less than the tolerance of a label lies within the supply of the data sheets."""
    least_V = throttle_signal.supply_least(5.0, _allowed("supply_tolerance_percent"))
    assert HALL["supply_v"]["low"] <= least_V < 5.0
