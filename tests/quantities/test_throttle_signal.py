"""The throttle's signal: supply, ground loss, wires pulled, and what is assumed until measured."""

from __future__ import annotations

import math

import pytest
from gonogo.documents.location import Place
from gonogo.documents.profile import Given
from gonogo.documents.schema import allowances
from gonogo.quantities import throttle_signal
from gonogo.quantities.book import Book
from hypothesis import given
from hypothesis import strategies as st

VOLTS = st.floats(0.1, 4.9)


def book(**told: object) -> Book:
    """What is told of a throttle; `__` stands for a dot."""
    place = Place("bench.yaml", 1, 1)
    names = {name.replace("__", "."): value for name, value in told.items()}
    givens = {
        name: Given(name, value, name, value, 1.0, place)  # type: ignore[arg-type]
        for name, value in names.items()
    }
    house = {name: entry.default for name, entry in allowances().items()}
    return Book(givens, house, "2026-11-25")


def test_a_supply_that_is_measured_is_exact() -> None:
    """What a label says may be off by what a regulator is off."""
    assert book(throttle__supply_V=5.0).operand("throttle.supply_least_V").number == pytest.approx(
        4.85
    )
    measured = book(throttle__supply_V=5.0, readings__throttle__supply_V=5.02)
    assert measured.operand("throttle.supply_least_V").value == 5.02


@pytest.mark.parametrize(
    ("kind", "limit_V"), [("hall", 4.55), ("dual_hall", 4.55), ("potentiometer", 4.25)]
)
def test_the_highest_limit_lies_under_what_the_lost_ground_gives(kind: str, limit_V: float) -> None:
    """A track drops more than a hall sensor; the supply is not measured."""
    found = book(throttle__supply_V=5.0, throttle__kind=kind).entry("throttle.fault_above_max_V")
    assert found.value == pytest.approx(limit_V)


def test_of_a_throttle_without_a_kind_the_drop_is_not_known() -> None:
    """It is asked for, not guessed."""
    found = book(throttle__supply_V=5.0).entry("throttle.fault_above_max_V")
    assert found.value is None
    assert found.operand.missing == {"throttle.kind"}


def test_an_unmeasured_throttle_is_held_against_the_highest_rest() -> None:
    """A fifth of the supply, or as far from its top where the voltage falls."""
    upright = book(throttle__supply_V=5.0, settings__throttle__start_V=1.05)
    assert upright.operand("throttle.assumed_clearance_V").number == pytest.approx(0.05)
    falling = book(
        throttle__supply_V=5.0, settings__throttle__start_V=4.1, settings__throttle__full_V=1.0
    )
    assert falling.operand("throttle.assumed_clearance_V").number == pytest.approx(-0.1)


@pytest.mark.parametrize("wire", ["ground", "signal", "supply"])
@pytest.mark.parametrize(
    ("reading_V", "margin_V"),
    [(4.96, 0.46), (4.5, 0.0), (2.4, -1.43), (0.96, 0.01), (0.97, 0.0), (0.02, 0.95)],
)
def test_a_lost_wire_is_detected_past_a_limit_or_short_of_the_start(
    wire: str, reading_V: float, margin_V: float
) -> None:
    """On a limit or at the start it is not; each wire by its own reading."""
    told = book(
        settings__throttle__start_V=0.97,
        settings__throttle__full_V=4.0,
        settings__throttle__lost_below_V=0.5,
        settings__throttle__lost_above_V=4.5,
        **{f"readings__throttle__open_{wire}_V": reading_V},
    )
    assert told.operand(f"throttle.open_{wire}_margin_V").number == pytest.approx(margin_V)


@given(VOLTS, VOLTS, VOLTS, VOLTS)
def test_an_inverted_throttle_is_detected_like_its_mirror_image(
    reading_V: float, start_V: float, below_V: float, above_V: float
) -> None:
    """Voltages counted down from a 5 V supply give the same margin."""
    upright = throttle_signal.open_margin(reading_V, start_V, below_V, above_V)
    turned = throttle_signal.open_margin(
        5.0 - reading_V, 5.0 - start_V, 5.0 - above_V, 5.0 - below_V, True
    )
    assert turned == pytest.approx(upright, abs=1e-9)


@given(VOLTS, VOLTS)
def test_without_limits_only_the_start_stops_the_drive(reading_V: float, start_V: float) -> None:
    """A limit that is not set detects nothing."""
    alone = throttle_signal.open_margin(reading_V, start_V)
    assert alone == start_V - reading_V
    assert math.isfinite(alone)


def test_a_limit_that_is_none_detects_nothing() -> None:
    """`none` is told, and is no voltage."""
    found = book(
        settings__throttle__start_V=0.97,
        settings__throttle__lost_above_V=None,
        readings__throttle__open_ground_V=4.9,
    ).entry("throttle.open_ground_margin_V")
    assert found.value == pytest.approx(-3.93)


def test_one_wire_pulled_is_a_bound_on_three() -> None:
    """The smallest margin of three is no more than the one that is known."""
    one = book(
        settings__throttle__start_V=0.97,
        settings__throttle__lost_above_V=4.5,
        readings__throttle__open_ground_V=4.52,
    ).entry("throttle.open_wire_margin_V")
    assert one.value == pytest.approx(0.02)
    assert one.operand.side == "no more than"
    assert one.operand.missing == {
        "readings.throttle.open_signal_V",
        "readings.throttle.open_supply_V",
    }
