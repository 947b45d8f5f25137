"""The motor's heat: a winding and a case that come out where their ratings say, and honest spans."""

from __future__ import annotations

import math

import pytest
from gonogo.riding.heat import (
    Lumps,
    MotorRatings,
    copper_heat,
    lumps_of,
    seconds_to_temperatures,
    time_spans,
)

RATED = MotorRatings(
    phase_ohm=0.01,
    continuous_A_rms=100.0,
    limit_degC=155.0,
    burst_A_rms=250.0,
    burst_s=30.0,
    mass_kg=9.0,
    winding_s=60.0,
)


def test_with_all_entries_there_is_one_motor() -> None:
    (lumps,) = lumps_of(RATED)
    assert lumps.winding_J_per_K * lumps.inner_K_per_W == pytest.approx(60.0)
    assert lumps.winding_J_per_K + lumps.case_J_per_K == pytest.approx(9.0 * 460.0)


def test_the_continuous_current_settles_at_the_limit() -> None:
    """By its definition: 115 K over both resistances, at the copper's resistance when that hot."""
    (lumps,) = lumps_of(RATED)
    hot_W = 3.0 * 0.01 * (1.0 + 0.00393 * 135.0) * 100.0**2
    assert hot_W * (lumps.inner_K_per_W + lumps.outer_K_per_W) == pytest.approx(115.0)


def test_the_burst_current_reaches_the_limit_after_the_burst_time() -> None:
    """15 %: the fit takes the copper's mean resistance and leaves the case at rest."""
    (lumps,) = lumps_of(RATED)
    (seconds,) = seconds_to_temperatures(lumps, 0.01, [(250.0, 0.0)], 40.0, [155.0])
    assert seconds == pytest.approx(30.0, rel=0.15)


def test_a_winding_alone_warms_as_an_exponential() -> None:
    """A case without end at 40 °C and copper of little change: ΔT = P·R·(1 − e^(−t/τ)); 2 %."""
    lumps = Lumps(500.0, 1e12, 0.12, 1e-3)
    watt = copper_heat(0.01, 100.0, 45.0)
    target_K = watt * 0.12 * (1.0 - math.exp(-0.5))
    assert target_K == pytest.approx(15.6, abs=0.1)
    current = 100.0 * math.sqrt(watt / copper_heat(0.01, 100.0, 47.0))
    (seconds,) = seconds_to_temperatures(lumps, 0.01, [(current, 0.0)], 40.0, [40.0 + target_K])
    assert seconds == pytest.approx(0.5 * 60.0, rel=0.02)


def test_a_case_that_holds_no_heat_is_only_a_longer_way_to_the_air() -> None:
    """Both resistances in a row and one exponential; steps of the winding's own pace ran away here."""
    watt = copper_heat(0.01, 100.0, 47.0)
    target_K = watt * 0.12 * (1.0 - math.exp(-0.5))
    lumps = Lumps(500.0, 0.01, 0.06, 0.06)
    (seconds,) = seconds_to_temperatures(lumps, 0.01, [(100.0, 0.0)], 40.0, [40.0 + target_K])
    assert seconds == pytest.approx(0.5 * 60.0, rel=0.02)


def test_a_current_that_falls_may_cool_the_winding_while_the_case_still_warms() -> None:
    """By the same two lumps stepped one by one: a hundredth of the step, a plain Euler."""
    lumps, phase_ohm = Lumps(400.0, 3000.0, 0.15, 0.25), 0.01
    winding = case = 20.0
    step_s, step = 0.02, 0
    while winding < 80.0:
        current = 260.0 if step * step_s < 9.0 else 80.0
        across_W = (winding - case) / 0.15
        heat_W = copper_heat(phase_ohm, current, winding)
        winding += step_s * (heat_W - across_W) / 400.0
        case += step_s * (across_W - (case - 20.0) / 0.25) / 3000.0
        step += 1
    (seconds,) = seconds_to_temperatures(
        lumps, phase_ohm, [(260.0, 0.0), (80.0, 9.0)], 20.0, [80.0]
    )
    assert step * step_s > 100.0 and seconds == pytest.approx(step * step_s, rel=0.01)


def test_less_than_the_continuous_current_never_gets_there() -> None:
    assert time_spans(lumps_of(RATED), 0.01, [(95.0, 0.0)], 40.0, [155.0]) == [(None, None)]


def test_a_hotter_day_leaves_less_time() -> None:
    (lumps,) = lumps_of(RATED)
    (cool,), (hot,) = (
        seconds_to_temperatures(lumps, 0.01, [(150.0, 0.0)], air, [140.0]) for air in (10.0, 40.0)
    )
    assert cool is not None and hot is not None and hot < cool


def test_several_temperatures_are_reached_when_each_is_alone() -> None:
    """Taper and stop are told of one climb, in whatever order they are asked."""
    (lumps,) = lumps_of(RATED)
    climb = (lumps, 0.01, [(200.0, 0.0), (150.0, 20.0)], 30.0)
    asked = [140.0, 30.0, 90.0, 1000.0, 90.0]
    alone = [seconds_to_temperatures(*climb, [target])[0] for target in asked]
    together = seconds_to_temperatures(*climb, asked)
    assert together == tuple(time if time is None else pytest.approx(time) for time in alone)
    assert alone[0] is not None and alone[2] is not None and alone[2] < alone[0]
    assert (alone[1], alone[3]) == (0.0, None)


def test_the_clock_that_lowers_the_current_ends_the_warming() -> None:
    """After ten seconds the controller gives the continuous current: the limit is never reached."""
    every, currents = lumps_of(RATED), [(250.0, 0.0), (100.0, 10.0)]
    assert time_spans(every, 0.01, currents, 40.0, [155.0]) == [(None, None)]


@pytest.mark.parametrize("unknown", ["mass_kg", "winding_s", "burst_s", "limit_degC"])
def test_what_is_not_entered_opens_a_span_about_the_time(unknown: str) -> None:
    """The span of what is usual holds a usual motor."""
    currents = [(160.0, 0.0)]
    (exact,) = {*time_spans(lumps_of(RATED), 0.01, currents, 30.0, [130.0])[0]}
    opened = lumps_of(RATED._replace(**{unknown: None}))
    (span,) = time_spans(opened, 0.01, currents, 30.0, [130.0])
    assert exact is not None and span[0] is not None
    assert span[0] < exact * 1.001
    assert span[1] is None or span[1] > exact * 0.999
    assert span[0] != span[1]


def test_ratings_that_contradict_each_other_are_no_motor() -> None:
    """A winding of more heat than the whole motor's mass can hold."""
    assert lumps_of(RATED._replace(mass_kg=0.1)) == []
