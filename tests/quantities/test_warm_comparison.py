"""A warm comparison tells sensor kinds apart where the motor was warm, and counts as not taken elsewhere."""

from __future__ import annotations

import pytest
from gonogo.quantities.expected import warm_comparison
from gonogo.quantities.operand import NotWorked


def test_a_comparison_counts_from_the_least_temperature_on() -> None:
    """At the least it still counts."""
    assert warm_comparison(45.0, 45.0) == 45.0


def test_a_motor_too_cool_names_the_reading_to_take_again() -> None:
    """Somebody who warms the motor knows which reading is wanted."""
    with pytest.raises(NotWorked) as caught:
        warm_comparison(44.0, 45.0)
    assert caught.value.to_take == {"readings.temperature.warm.reference_degC"}
