"""What phase current a motor withstands in bursts, and for how long."""

from __future__ import annotations

import pytest
from gonogo.quantities import burst, motor_burst
from gonogo.quantities.operand import NotWorked


@pytest.mark.parametrize(
    ("current_A_rms", "seconds"),
    [
        pytest.param(300.0, 20.0, id="the burst rating itself"),
        pytest.param(200.0, 20.0 * 8.0 / 3.0, id="(9 - 1) / (4 - 1) of it"),
        pytest.param(500.0, 20.0 * 8.0 / 24.0, id="(9 - 1) / (25 - 1) of it"),
    ],
)
def test_heat_above_the_continuous_one_fills_the_same_copper(
    current_A_rms: float, seconds: float
) -> None:
    """I² − I₀² for so long, whatever the current: 100 A for ever, 300 A for 20 s."""
    assert motor_burst.allowed_burst(20.0, 300.0, 100.0, current_A_rms) == pytest.approx(seconds)
    assert burst.climb(20.0, 300.0, 100.0, current_A_rms) == pytest.approx(seconds)


def test_up_to_the_continuous_current_a_burst_has_no_end() -> None:
    """And a burst rating below the continuous one is no rating."""
    with pytest.raises(NotWorked, match="the continuous current needs no time limit"):
        motor_burst.allowed_burst(20.0, 300.0, 100.0, 100.0)
    with pytest.raises(NotWorked, match="not above"):
        burst.climb(20.0, 100.0, 100.0, 200.0)


@pytest.mark.parametrize(
    ("current_A_rms", "seconds"),
    [
        pytest.param(150.0, 60.0, id="1.5 times the continuous current: half of two minutes"),
        pytest.param(200.0, 60.0 * 1.25 / 3.0, id="(2.25 - 1) / (4 - 1) of it"),
    ],
)
def test_a_motor_without_a_burst_rating_withstands_the_usual_excess(
    current_A_rms: float, seconds: float
) -> None:
    """IEC 60034-1, 9.3, from memory: 1.5 times for two minutes; a small motor is given half."""
    allowed_s = motor_burst.allowed_burst_untold(60.0, 1.5, 100.0, current_A_rms)
    assert allowed_s == pytest.approx(seconds)


def test_a_shop_that_allows_no_excess_allows_no_burst() -> None:
    """An overload factor of 1 is its word."""
    with pytest.raises(NotWorked, match="no excess"):
        motor_burst.allowed_burst_untold(60.0, 1.0, 100.0, 150.0)


def test_a_burst_rating_goes_before_what_is_guessed_of_it() -> None:
    """A datasheet, then twice the continuous rating, then eight times what the label says."""
    assert motor_burst.burst_bound(300.0) == 300.0
    assert motor_burst.burst_bound_continuous(2.0, 120.0) == 240.0
    assert motor_burst.burst_bound_label(8.0, 16.0) == 128.0
