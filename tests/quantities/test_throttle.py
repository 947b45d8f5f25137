"""The throttle."""

from __future__ import annotations

import pytest
from gonogo.documents.location import Place
from gonogo.documents.profile import Given
from gonogo.documents.schema import allowances
from gonogo.quantities import throttle, throttle_band
from gonogo.quantities.book import Book
from gonogo.quantities.operand import NotWorked
from hypothesis import given
from hypothesis import strategies as st

VOLTS = st.floats(0.1, 4.9)


def test_the_worst_of_several_releases_counts() -> None:
    """A sticky return spring shows in the spread of the rest readings."""
    assert throttle.rest((0.88, 0.91, 0.86)) == 0.91
    assert throttle.rest_low((0.88, 0.91, 0.86)) == 0.86


def test_one_release_is_both_highest_and_lowest() -> None:
    """A single number is a list of one."""
    assert throttle.rest(0.88) == throttle.rest_low(0.88) == 0.88


def test_clearance_is_taken_from_the_release_nearest_to_the_start() -> None:
    """Below zero the vehicle creeps with the throttle released."""
    assert throttle.clearance(1.00, 0.91, 0.86) == pytest.approx(0.09)
    assert throttle.clearance(0.90, 0.91, 0.86) == pytest.approx(-0.01)


def test_an_inverted_throttle_is_judged_by_its_lowest_release() -> None:
    """Its volts fall as it opens: of 4.10 V and 4.18 V at rest the lower is nearer to the start."""
    assert throttle.clearance(4.00, 4.18, 4.10, True) == pytest.approx(0.10)
    assert throttle.clearance(4.12, 4.18, 4.10, True) == pytest.approx(-0.02)


@pytest.mark.parametrize(
    ("rest_V", "start_V", "full_V", "clearance_V"),
    [((0.80, 0.86), 1.00, 4.0, 0.14), ((4.10, 4.18), 4.00, 0.9, 0.10)],
    ids=["upright", "inverted"],
)
def test_the_book_takes_the_release_nearest_to_the_start(
    rest_V: tuple[float, ...], start_V: float, full_V: float, clearance_V: float
) -> None:
    """Whoever enters several releases is judged by the worst of them."""
    told = {
        "readings.throttle.rest_V": rest_V,
        "readings.throttle.full_V": full_V,
        "settings.throttle.start_V": start_V,
    }
    place = Place("bench.yaml", 1, 1)
    givens = {name: Given(name, one, name, one, 1.0, place) for name, one in told.items()}
    found = Book(givens, {}, "2026-11-25").entry("throttle.clearance_V")
    assert found.value == pytest.approx(clearance_V)


@given(VOLTS, VOLTS, VOLTS, VOLTS)
def test_an_inverted_throttle_is_judged_like_its_mirror_image(
    start_V: float, full_V: float, rest_V: float, full_reading_V: float
) -> None:
    """Volts counted down from a 5 V supply give the same clearances, turned over."""
    turned = [5.0 - volts for volts in (start_V, full_V, rest_V, full_reading_V)]
    upright = (
        throttle.clearance(start_V, rest_V, rest_V),
        throttle.top_clearance(full_reading_V, full_V),
        throttle.span(start_V, full_V),
    )
    inverted = (
        throttle.clearance(turned[0], turned[2], turned[2], True),
        throttle.top_clearance(turned[3], turned[1], True),
        throttle.span(turned[0], turned[1], True),
    )
    assert inverted == pytest.approx(upright, abs=1e-9)


def test_a_throttle_is_inverted_when_its_volts_fall() -> None:
    """By its readings, or by the settings while there are none."""
    assert throttle.inverted(4.2, 0.9) and not throttle.inverted(0.9, 4.2)
    assert throttle.inverted_by_settings(4.0, 1.0) and not throttle.inverted_by_settings(1.0, 4.0)


def test_the_way_begins_at_the_release_nearest_to_the_start() -> None:
    """Of an inverted throttle that is the lowest."""
    assert throttle_band.signal_range(3.9, 0.9, 0.8) == pytest.approx(3.0)
    assert throttle_band.signal_range(0.9, 4.3, 4.2, True) == pytest.approx(3.3)


def test_the_reading_is_the_reading() -> None:
    """Nothing is done to the volts read at full throttle."""
    assert throttle.full_reading(3.62) == 3.62


@pytest.mark.parametrize("high_V", [0.83, 4.17])
def test_the_default_clearance_is_the_derived_one(high_V: float) -> None:
    """A hall throttle on 5 V, a hundredth of scatter: the same for one whose voltage falls."""
    drift_V = throttle.heat_drift(high_V, 5.0, "hall")
    least_V = throttle.min_clearance(high_V, high_V - 0.01, drift_V)
    most_V = throttle.max_clearance(least_V, 5.0)
    known = allowances()
    assert known["house.throttle_clearance_min_V"].default == round(least_V, 2)
    assert known["house.throttle_clearance_max_V"].default == round(most_V, 2)


def test_a_potentiometer_has_no_magnet_to_drift() -> None:
    """Its clearance is that of the house."""
    with pytest.raises(NotWorked):
        throttle.heat_drift(0.83, 5.0, "potentiometer")


@pytest.mark.parametrize(
    ("asked_V", "wanted_V"), [(0.07, 0.1), (0.1, 0.1), (0.13, 0.13), (0.16, 0.16), (0.22, 0.16)]
)
def test_the_wanted_clearance_is_the_derived_one_within_the_house(
    asked_V: float, wanted_V: float
) -> None:
    """Readings far apart are a worn throttle, not a reason for a start far away."""
    assert throttle_band.wanted_clearance(0.1, 0.16, asked_V) == wanted_V


def test_an_ample_clearance_covers_the_drift() -> None:
    """Where the derived band reaches further than the house, it counts."""
    assert throttle_band.ample_clearance(0.1, 0.16, 0.14) == 0.16
    assert throttle_band.ample_clearance(0.1, 0.16, 0.21) == 0.21


@pytest.mark.parametrize("asked_V", [0.07, 0.2, 0.4])
def test_a_shop_that_asks_for_more_clearance_gets_it(asked_V: float) -> None:
    """Its lower end counts even where it lies above the usual upper one, and is no dead band."""
    assert throttle_band.wanted_clearance(0.3, 0.16, asked_V) == 0.3
    assert throttle_band.ample_clearance(0.3, 0.16, asked_V) >= 0.3


def test_what_is_not_reached_is_a_share_of_the_span() -> None:
    """Full power inside the reading is reached; without a span there is no share."""
    assert throttle_band.unreached(0.2, 3.0) == 0.0
    assert throttle_band.unreached(-0.15, 3.0) == pytest.approx(5.0)
    for span_V in (0.0, -0.1):
        with pytest.raises(NotWorked):
            throttle_band.unreached(-0.1, span_V)
