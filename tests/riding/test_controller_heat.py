"""The controller's heat: it comes out where its ratings say, and honest spans beside the motor's."""

from __future__ import annotations

import math

import pytest
from gonogo.riding.controller_heat import Body, ControllerRatings, bodies_of, seconds_until
from gonogo.riding.hill import NOT_WITHIN, ControllerMinutes, Hill, first_of

RATED = ControllerRatings(most_A_rms=220.0, continuous_A_rms=90.0, burst_s=60.0, max_degC=85.0)


def stepped(body: Body, current_A_rms: float, air_degC: float, target_degC: float) -> float:
    """The same in steps of 10 ms: what warms is what comes in less what goes out."""
    degC, seconds = air_degC, 0.0
    end_K = body.rise_K * (current_A_rms / body.continuous_A_rms) ** body.power
    while degC < target_degC:
        degC += 0.01 * (end_K - (degC - air_degC)) / body.time_s
        seconds += 0.01
    return seconds


def test_the_rating_is_carried_for_the_burst_time_and_the_continuous_current_for_good() -> None:
    """By their definitions, from the air in which the ratings hold."""
    for body in bodies_of(RATED):
        air_degC = RATED.max_degC - body.rise_K
        seconds = seconds_until(body, [(220.0, 0.0)], air_degC, 85.0)
        assert seconds == pytest.approx(60.0)
        assert seconds_until(body, [(90.0, 0.0)], air_degC, 85.0) is None
        assert seconds_until(body, [(90.1, 0.0)], air_degC, 85.0) is not None


def test_the_time_is_that_of_the_overload_characteristic() -> None:
    """IEC 60255-149, cold: t = τ·ln(I² / (I² − k²)), where the current warms by Joule's law."""
    body = Body(300.0, 45.0, 100.0, 2.0)
    expected = 300.0 * math.log(180.0**2 / (180.0**2 - 100.0**2))
    assert seconds_until(body, [(180.0, 0.0)], 40.0, 85.0) == pytest.approx(expected)


@pytest.mark.parametrize("current_A_rms", [120.0, 150.0, 220.0])
def test_the_closed_form_is_that_of_small_steps(current_A_rms: float) -> None:
    for body in bodies_of(RATED):
        seconds = seconds_until(body, [(current_A_rms, 0.0)], 30.0, 70.0)
        assert seconds == pytest.approx(stepped(body, current_A_rms, 30.0, 70.0), abs=0.1)


def test_a_clock_that_lowers_the_current_comes_before_the_heat() -> None:
    body = Body(100.0, 45.0, 90.0, 2.0)
    alone = seconds_until(body, [(200.0, 0.0)], 40.0, 80.0)
    assert alone is not None and alone > 15.0
    assert seconds_until(body, [(200.0, 0.0), (60.0, 10.0)], 40.0, 80.0) is None
    late = seconds_until(body, [(200.0, 0.0), (100.0, 10.0)], 40.0, 80.0)
    assert late is not None and late > alone


def test_air_as_hot_as_the_taper_leaves_no_time() -> None:
    body = Body(100.0, 45.0, 90.0, 2.0)
    assert seconds_until(body, [(10.0, 0.0)], 70.0, 70.0) == 0.0


def test_a_continuous_rating_that_is_the_maximum_says_nothing_of_time() -> None:
    assert list(bodies_of(RATED._replace(continuous_A_rms=220.0))) == []


@pytest.mark.parametrize(
    ("motor", "controller", "first"),
    [
        ((2.0, 3.0), (4.0, 5.0), "motor"),
        ((4.0, 5.0), (2.0, 3.0), "controller"),
        ((4.0, 5.0), (2.0, 4.5), ""),
        ((4.0, None), (2.0, 3.0), "controller"),
        ((4.0, None), (5.0, 6.0), ""),
    ],
)
def test_one_tapers_first_only_where_the_spans_lie_apart(
    motor: tuple[float, float | None], controller: tuple[float, float | None], first: str
) -> None:
    hill = Hill(8.0, to_taper_min=motor, controller=ControllerMinutes(controller))
    assert hill.tapers_first == first


def test_what_never_gets_hot_comes_after_what_does() -> None:
    cool = Hill(8.0, reason=NOT_WITHIN, controller=ControllerMinutes((2.0, 3.0), (4.0, 5.0)))
    assert cool.tapers_first == "controller"
    unknown = ControllerMinutes(missing=frozenset({"controller.max_degC"}))
    assert Hill(8.0, to_taper_min=(2.0, 3.0), controller=unknown).tapers_first == ""


def test_of_two_controllers_the_hotter_counts_and_one_that_is_not_known_keeps_it_open() -> None:
    slow, fast = (
        ControllerMinutes((6.0, 9.0), (8.0, 12.0)),
        ControllerMinutes((2.0, 3.0), (4.0, 5.0)),
    )
    both = first_of([Hill(8.0, controller=slow), Hill(8.0, controller=fast)])
    assert both.controller == fast
    open_ = ControllerMinutes(missing=frozenset({"controller.max_degC"}))
    assert first_of([Hill(8.0, controller=fast), Hill(8.0, controller=open_)]).controller == open_
