"""Interval arithmetic: whatever numbers lie inside, the true result lies inside the interval's."""

from __future__ import annotations

from fractions import Fraction

import pytest
from gonogo.tolerances.interval import (
    Interval,
    interval_difference,
    interval_power,
    interval_product,
    interval_quotient,
    interval_root,
    interval_size,
    interval_sum,
)
from hypothesis import given
from hypothesis import strategies as st

NUMBERS = st.floats(-1e6, 1e6, allow_nan=False, allow_subnormal=False)


@st.composite
def intervals_with_a_member(draw: st.DrawFn) -> tuple[Interval, float]:
    """An interval and a number inside it."""
    low, inside, high = sorted(draw(st.tuples(NUMBERS, NUMBERS, NUMBERS)))
    return Interval(low, high), inside


def holds_exactly(interval: Interval, number: Fraction) -> bool:
    """Whether an interval holds a number that no float rounds."""
    return Fraction(interval.low) <= number <= Fraction(interval.high)


@given(intervals_with_a_member(), intervals_with_a_member())
def test_sums_differences_and_products_hold_the_exact_result(
    one: tuple[Interval, float], other: tuple[Interval, float]
) -> None:
    """Held against fractions, which round nothing."""
    (a, x), (b, y) = one, other
    exact_x, exact_y = Fraction(x), Fraction(y)
    assert holds_exactly(interval_sum(a, b), exact_x + exact_y)
    assert holds_exactly(interval_difference(a, b), exact_x - exact_y)
    assert holds_exactly(interval_product(a, b), exact_x * exact_y)


@given(intervals_with_a_member(), intervals_with_a_member())
def test_a_quotient_holds_the_exact_result_and_is_anything_about_nought(
    one: tuple[Interval, float], other: tuple[Interval, float]
) -> None:
    """A divisor that may be nought says nothing of the quotient, and never raises."""
    (a, x), (b, y) = one, other
    quotient = interval_quotient(a, b)
    if b.low <= 0.0 <= b.high:
        assert (quotient.low, quotient.high) == (float("-inf"), float("inf"))
    else:
        low, high = quotient
        exact = Fraction(x) / Fraction(y)
        assert low == float("-inf") or Fraction(low) <= exact
        assert high == float("inf") or exact <= Fraction(high)


@given(intervals_with_a_member(), st.integers(2, 4))
def test_a_power_holds_the_exact_result(one: tuple[Interval, float], exponent: int) -> None:
    """Of an even power nothing below nought is left."""
    a, x = one
    power = interval_power(a, exponent)
    assert holds_exactly(power, Fraction(x) ** exponent)
    assert exponent % 2 or power.low >= 0.0


@given(intervals_with_a_member())
def test_a_root_and_a_size_hold_the_exact_result(one: tuple[Interval, float]) -> None:
    """The root is held by its square, since it is no fraction."""
    a, x = one
    size = interval_size(a)
    assert size.holds(abs(x))
    root = interval_root(size)
    assert Fraction(root.low) ** 2 <= abs(Fraction(x)) <= Fraction(root.high) ** 2


@pytest.mark.parametrize(
    ("a", "b", "low", "high"),
    [
        pytest.param(Interval(-2.0, 3.0), Interval(-1.0, 4.0), -8.0, 12.0, id="both signs"),
        pytest.param(Interval(1.0, 2.0), Interval(3.0, 4.0), 3.0, 8.0, id="above nought"),
        pytest.param(Interval(-2.0, -1.0), Interval(3.0, 4.0), -8.0, -3.0, id="below nought"),
    ],
)
def test_a_product_is_no_wider_than_its_ends(
    a: Interval, b: Interval, low: float, high: float
) -> None:
    """Worked by hand from the four products of the ends."""
    assert interval_product(a, b) == pytest.approx((low, high), rel=1e-12)
