"""Numbers: their noise, their rounding, and how far one lies inside its limits."""

from __future__ import annotations

import math
from decimal import ROUND_HALF_UP, Decimal

import pytest
from gonogo.expressions.arithmetic import rounded as rounded_operand
from gonogo.quantities import number
from gonogo.quantities.operand import Operand
from hypothesis import given
from hypothesis import strategies as st

FINITE = st.floats(-1e9, 1e9, allow_nan=False)


@given(FINITE | st.integers(-10_000, 10_000).map(lambda halves: halves / 2))
def test_halves_are_rounded_away_from_zero(value: float) -> None:
    """As the decimal library rounds half up, which is by size; and so in every rule as well."""
    expected = int(Decimal(value).quantize(Decimal(1), ROUND_HALF_UP))
    assert number.nearest_whole(value) == expected == rounded_operand(Operand(value)).value


@pytest.mark.parametrize("value", [0.49999999999999994, -0.49999999999999994])
def test_just_under_a_half_is_nought(value: float) -> None:
    """Adding a half first would make it one."""
    assert number.nearest_whole(value) == 0


@given(st.integers(0, 20_000), st.sampled_from([0.01, 0.1, 1.0, 5.0, 10.0]))
def test_a_value_on_a_step_is_on_it_from_both_sides(steps: int, step: float) -> None:
    """2.3 V by steps of 0.1 V are 23 steps, whatever binary makes of it."""
    entered = float(f"{steps * step:.2f}")
    assert number.floor(entered / step) == number.ceiling(entered / step) == steps


@given(st.floats(0.0, 1e5))
def test_between_two_steps_floor_and_ceiling_part(value: float) -> None:
    """A limit is moved inwards and never past what it was."""
    low, high = number.floor(value), number.ceiling(value)
    assert low <= value + 1e-3 and high >= value - 1e-3
    assert high - low == (0 if math.isclose(value, round(value), rel_tol=1e-9, abs_tol=1e-9) else 1)


@given(FINITE)
def test_a_tidy_number_is_near_the_number(value: float) -> None:
    """Ten digits are more than any meter has, and a whole number has no fraction."""
    told = number.tidy(value)
    assert number.near(told, value)
    assert isinstance(told, int) == float(told).is_integer()


@pytest.mark.parametrize(
    ("limit", "step", "slack"),
    [
        pytest.param(200.0, 1.0, 1e-3, id="a thousandth of a step"),
        pytest.param(200.0, 0.0, 2e-7, id="noise where there is no step"),
        pytest.param(-200.0, 0.0, 2e-7, id="below zero as above"),
        pytest.param(0.0, 0.0, 1e-12, id="about zero next to nothing"),
    ],
)
def test_a_limit_is_passed_by_more_than_noise(limit: float, step: float, slack: float) -> None:
    """1.13 − 1.03 is not less than 0.10."""
    assert number.overlooked(limit, step) == pytest.approx(slack, rel=1e-12)


@pytest.mark.parametrize(
    ("value", "low", "high", "margin", "share"),
    [
        pytest.param(90.0, None, 120.0, 30, 0.25, id="below a highest"),
        pytest.param(150.0, None, 120.0, -30, -0.25, id="past it"),
        pytest.param(50.0, 40.0, None, 10, 0.25, id="above a lowest"),
        pytest.param(45.0, 40.0, 60.0, 5, 0.125, id="the nearer end counts"),
        pytest.param(58.0, 40.0, 60.0, 2, 0.0333, id="be it the upper"),
        pytest.param(0.13, None, 0.96 - 0.83, 0, 0.0, id="noise is no margin"),
        pytest.param(1.0, 0.0, None, 1, None, id="no share of nought"),
        pytest.param(1.0, None, None, None, None, id="no limit, no margin"),
        pytest.param(-3.0, -4.0, None, 1, 0.25, id="of a limit below zero by its size"),
    ],
)
def test_a_margin_is_the_way_to_the_nearer_limit(
    value: float,
    low: float | None,
    high: float | None,
    margin: float | None,
    share: float | None,
) -> None:
    """A finding, a window and a comparison tell the same distance."""
    assert number.margin_inside(value, low, high) == margin
    assert number.share_of_limit(value, low, high) == share


@pytest.mark.parametrize(
    ("value", "places", "told"),
    [(0.03125, 4, 0.0313), (-0.03125, 4, -0.0313), (1.005, 2, 1.01), (2.0, 3, 2.0)],
)
def test_decimals_are_rounded_as_whole_numbers_are(value: float, places: int, told: float) -> None:
    """A share of 3.125 % is told as 3.13 %, on both sides of nought."""
    assert number.rounded_to(value, places) == told


@pytest.mark.parametrize(
    ("value", "is_number"), [(1, True), (1.5, True), (True, False), ("1", False)]
)
def test_a_truth_is_no_number(value: object, is_number: bool) -> None:
    """Python would add `yes` to two amperes."""
    assert number.is_number(value) is is_number
