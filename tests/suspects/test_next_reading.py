"""The next reading: information in bits by its definition, and what counts as told apart."""

from __future__ import annotations

import math

import pytest
from gonogo.suspicion.evidence import heavy_tailed
from gonogo.suspicion.next_reading import Predicted, best_reading, gain_bits, is_told_apart


@pytest.mark.parametrize(
    ("weights", "values", "bits"),
    [
        pytest.param((0.5, 0.5), ("forward", "backward"), 1.0, id="a fair coin is one bit"),
        pytest.param((0.25,) * 4, ("a", "b", "c", "d"), 2.0, id="four alike are two bits"),
        pytest.param((0.5, 0.5), ("hall", "hall"), 0.0, id="the same word says nothing"),
        pytest.param((0.9, 0.1), ("yes", "no"), 0.469, id="0.9 and 0.1: 0.469 bit"),
    ],
)
def test_words_give_the_entropy_of_their_shares(
    weights: tuple[float, ...], values: tuple[str, ...], bits: float
) -> None:
    """Shannon's entropy; 0.469 bit for 0.9 is in every table of it."""
    told = [Predicted(value) for value in values]
    assert gain_bits(weights, told) == pytest.approx(bits, abs=5e-4)


def test_numbers_far_apart_are_words_and_equal_ones_say_nothing() -> None:
    """Between lies what a meter leaves open."""
    far = gain_bits((0.5, 0.5), [Predicted(0.0, 1.0), Predicted(100.0, 1.0)])
    near = gain_bits((0.5, 0.5), [Predicted(0.0, 1.0), Predicted(2.0, 1.0)])
    same = gain_bits((0.5, 0.5), [Predicted(5.0, 1.0), Predicted(5.0, 1.0)])
    assert far == pytest.approx(1.0, abs=1e-3)
    assert same == pytest.approx(0.0, abs=1e-3)
    # ±1 with unit noise: capacity of the binary-input Gaussian channel at 0 dB, 0.486 bit
    # (Moon, Error Correction Coding, 2nd edition 2021, 1.12, from memory)
    assert near == pytest.approx(0.486, abs=0.005)


def test_what_says_nothing_gains_nothing() -> None:
    """A reading that only one hypothesis predicts does not decide between them."""
    assert gain_bits((0.5, 0.5), [Predicted(1.0, 0.1), None]) == 0.0
    assert not is_told_apart(Predicted(1.0, 0.1), None)
    assert not is_told_apart(Predicted(1.0, 0.1), Predicted(1.15, 0.1))
    assert is_told_apart(Predicted(1.0, 0.1), Predicted(1.25, 0.1))


def test_the_reading_with_the_largest_gain_is_next() -> None:
    """Of two that tell apart the one that a meter reads more surely."""
    first = {"a": Predicted(1.0, 0.2), "b": Predicted(1.0, 0.01)}
    second = {"a": Predicted(1.5, 0.2), "b": Predicted(1.5, 0.01)}
    as_it_is = {"a": Predicted(1.5, 0.2), "b": Predicted(1.5, 0.01)}
    found = best_reading((0.6, 0.3, 0.1), (first, second, as_it_is), {"b": "V"}, frozenset("b"))
    assert found is not None
    assert (found.measure, found.unit, found.separates, found.expected, found.again) == (
        "b",
        "V",
        (0, 1),
        (1.0, 1.5),
        True,
    )


def test_a_residual_has_a_heavy_tail() -> None:
    """Student's distribution of 4 degrees: density 3/8 in the middle, 3/8 · 2^(-5/2) at 2."""
    assert heavy_tailed(2.0) == pytest.approx(math.log(0.375 / 0.0662913), abs=1e-4)
    assert heavy_tailed(30.0) < 0.5 * 30.0**2
