"""Bursts: how long they last, and what ends them."""

from __future__ import annotations

import pytest
from gonogo.quantities import burst
from gonogo.quantities.operand import NotWorked

from .test_book import book


@pytest.mark.parametrize(
    ("sensor", "fitted", "acts"),
    [
        ("pt1000", "pt1000", True),
        ("pt1000", "", True),
        ("pt1000", "kty84-130", False),
        ("pt1000", "none", False),
        ("none", "pt1000", False),
        ("ntc-10k-3435", "ntc-10k", True),
        ("ntc-47k-4050", "ntc-10k", False),
    ],
)
def test_a_stop_acts_by_the_sensor_that_is_fitted(sensor: str, fitted: str, acts: bool) -> None:
    """Set to another kind it reads nonsense; without a sensor it reads an open input."""
    assert burst.watched_warm(sensor, 120.0, 71.0, 70.0, fitted) is acts
    assert burst.watched(sensor, 120.0, 19.0, 18.0, 8.0, fitted) is acts


def test_a_stop_that_no_reading_was_compared_with_is_not_known_to_act() -> None:
    """A kind that is only claimed may be on a wire that is off."""
    with pytest.raises(NotWorked):
        burst.watched("pt1000", 120.0, 27.0, 18.0, 8.0, "pt1000")
    with pytest.raises(NotWorked):
        burst.unwatched_by_another("pt1000", "pt1000")


@pytest.mark.parametrize(
    "unwatched",
    [
        burst.unwatched_without_limit,
        burst.unwatched_without_kind,
        burst.unwatched_without_sensor,
    ],
)
def test_what_is_not_there_watches_nothing(unwatched: object) -> None:
    """And of what is there this alone says nothing."""
    assert callable(unwatched)
    assert unwatched("none") is False
    with pytest.raises(NotWorked):
        unwatched("pt1000")


def test_a_clock_ends_a_burst_if_it_is_quick_enough() -> None:
    """60 s where the motor withstands 20 s protect nothing."""
    assert burst.burst_ends(False, 10.0, 30.0)
    assert not burst.burst_ends(False, 60.0, 20.0)
    assert not burst.burst_ends(False)
    assert burst.burst_ends(True)
    assert burst.burst_ends_in_time(30.0, 10.0)
    with pytest.raises(NotWorked, match="longer"):
        burst.burst_ends_in_time(20.0, 60.0)


def test_a_climb_takes_no_more_than_the_limit() -> None:
    """It stalls instead."""
    assert burst.climb_current(314.0, 150.0) == 150.0
    assert burst.climb_current(112.0, 250.0) == 112.0


SET = {"settings.temperature.motor.sensor": "pt1000", "settings.temperature.motor.stop_degC": 120.0}
WARM = {
    "readings.temperature.warm.motor_shown_degC": 71.0,
    "readings.temperature.warm.reference_degC": 70.0,
}
TIMED = {
    "settings.phase_current_burst_s": 10.0,
    "settings.phase_current_A_rms": 250.0,
    "controller.phase_current_A_rms": 350.0,
    "motor.phase_current_A_rms": 120.0,
    "motor.phase_current_burst_A_rms": 250.0,
}


@pytest.mark.parametrize(
    ("told", "absent", "ends"),
    [
        pytest.param({**SET, **WARM}, (), True, id="a stop"),
        pytest.param(SET, (), None, id="a stop compared with no reading"),
        pytest.param({"motor.temperature_sensor": "none"}, (), False, id="no sensor fitted"),
        pytest.param(
            {"settings.temperature.motor": "none"},
            ("settings.temperature.motor",),
            False,
            id="no limit",
        ),
        pytest.param({**SET, "motor.temperature_sensor": "pt100"}, (), False, id="another kind"),
        pytest.param({}, (), None, id="nothing told"),
        pytest.param(
            {**TIMED, "motor.phase_current_burst_s": 20.0},
            (),
            True,
            id="a clock, else nothing told",
        ),
        pytest.param({**TIMED, "motor.phase_current_burst_s": 5.0}, (), None, id="a slow clock"),
        pytest.param(
            {**TIMED, "motor.temperature_sensor": "none", "motor.phase_current_burst_s": 5.0},
            (),
            False,
            id="a slow clock and no sensor",
        ),
    ],
)
def test_a_burst_ends_where_something_that_is_told_ends_it(
    told: dict[str, object], absent: tuple[str, ...], ends: bool | None
) -> None:
    """What nobody told is asked for, and never taken for a motor that is watched."""
    assert book(told, absent).operand("motor.burst_ends").value is ends
