"""Ratios of polynomials: where they are zero, however many places that is."""

from __future__ import annotations

from functools import reduce

import pytest
from gonogo.expressions.ratio import (
    Polynomial,
    Ratio,
    polynomial_product,
    ratio_product,
    ratio_sum,
    value,
    zeros,
)
from hypothesis import example, given
from hypothesis import strategies as st

HALVES = st.integers(-200, 200).map(lambda count: count / 2)


@given(st.lists(HALVES, min_size=1, max_size=5, unique=True), st.sampled_from([-3.0, 0.25, 1.0]))
@example([32.0, 53.0, 53.5, 54.0], -3.0)  # close together, the turns between count as zero too
def test_every_zero_is_found(places: list[float], factor: float) -> None:
    """A polynomial made of its zeros has those and none elsewhere."""
    parts: list[Polynomial] = [(-place, 1.0) for place in places]
    whole = reduce(polynomial_product, parts, (factor,))
    found = zeros(whole, -60.25, 60.25)
    assert found == sorted(found)
    for place in places:
        near = [at for at in found if at == pytest.approx(place, abs=1e-3)]
        assert bool(near) == (-60.25 < place < 60.25)
    assert all(min(abs(at - place) for place in places) < 0.5 for at in found)


def test_a_zero_that_only_touches_is_found() -> None:
    """(x − 3)² is never below zero, and zero at 3."""
    found = zeros((9.0, -6.0, 1.0), 0.0, 10.0)
    assert found and all(at == pytest.approx(3.0, abs=1e-6) for at in found)


@pytest.mark.parametrize("polynomial", [(), (2.0,), (1.0, 0.0, 1.0)])
def test_what_is_never_or_always_zero_has_no_places(polynomial: Polynomial) -> None:
    """Nothing happens there."""
    assert zeros(polynomial, -10.0, 10.0) == []


@given(st.lists(HALVES, max_size=4), st.lists(HALVES, min_size=1, max_size=3), HALVES)
def test_a_ratio_is_worked_out_as_numbers_are(
    above: list[float], below: list[float], place: float
) -> None:
    """Added, taken and multiplied, it has the value of the sums."""
    if not any(below) or value(tuple(below), place) == 0:
        return
    one, other = Ratio(tuple(above), tuple(below)), Ratio((1.0, 2.0))
    a, b = one.at(place), other.at(place)
    assert ratio_sum(one, other).at(place) == pytest.approx(a + b, rel=1e-6, abs=1e-6)
    assert ratio_sum(one, other, -1.0).at(place) == pytest.approx(a - b, rel=1e-6, abs=1e-6)
    assert ratio_product(one, other).at(place) == pytest.approx(a * b, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize(
    ("ratio", "direction"),
    [
        (Ratio(()), 0),
        (Ratio((4.0,)), 0),
        (Ratio((4.0, 1.0)), 1),
        (Ratio((4.0, 1.0), (-2.0,)), -1),
        (Ratio((4.0, 1.0, 1.0)), None),
        (Ratio((4.0,), (1.0, 1.0)), None),
    ],
)
def test_a_line_has_a_direction(ratio: Ratio, direction: int | None) -> None:
    """Rising, falling, level; of anything else nothing is said."""
    assert ratio.direction == direction
