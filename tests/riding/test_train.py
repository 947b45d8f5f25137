"""Several motors on one pack: forces add at the road, currents at the battery, and no limit is passed."""

from __future__ import annotations

import math

import pytest
from gonogo.riding.course import Road, cruising_range, force_curve, top_speed
from gonogo.riding.drive import BY_SPEED, Drive, fullest, newton_per_ampere, rpm_at, speed_at
from gonogo.riding.train import Train, held, pushed
from hypothesis import given, settings
from hypothesis import strategies as st

from .test_drive import PLAIN, drives

ROAD = Road(150.0, 0.015, 0.6)


def doubled(drive: Drive) -> Drive:
    """One motor of twice the currents and ratings: half the resistance and inductance a phase."""
    return drive._replace(
        phase_A_rms=2.0 * drive.phase_A_rms,
        battery_A=2.0 * drive.battery_A,
        weakening_A_rms=2.0 * drive.weakening_A_rms,
        phase_ohm=drive.phase_ohm / 2.0,
        inductance_H=drive.inductance_H / 2.0,
    )


@settings(max_examples=40, deadline=None)
@given(
    drives,
    st.floats(0.0, 90.0),
    st.sampled_from([(0.0, 0.0), (0.95, 0.85), (0.9, 0.9)]),
    st.sampled_from([math.inf, 150.0]),
)
def test_two_equal_motors_are_one_of_twice_the_current(
    drive: Drive, speed_km_h: float, low: tuple[float, float], grip_N: float
) -> None:
    """With taper, cutoff, field weakening and grip; the pack sags under both.

    Where weakening costs more sag than it gains, two that each weaken as they can settle at less
    force than one that knows of the sag: of 1,500 by chance 11 by more than 0.01 %, one by 1.8 %.
    """
    taper, cutoff = (share * drive.open_V for share in low)
    drive = drive._replace(
        taper_from_V=taper, cutoff_V=cutoff, grip_N=grip_N, loop_ohm=min(drive.loop_ohm, 0.02)
    )
    both = pushed(Train((drive, drive)), speed_km_h)
    one = fullest(doubled(drive), speed_km_h)
    if drive.weakening_A_rms > 0.0:
        assert both.force_N <= one.force_N * (1.0 + 1e-4) + 1e-3
        assert both.force_N >= one.force_N * 0.95 - 1e-3
        return
    assert both.force_N == pytest.approx(one.force_N, rel=3e-4, abs=1e-3)
    assert both.battery_A == pytest.approx(one.battery_A, rel=3e-4, abs=1e-3)
    assert both.loaded_V == pytest.approx(one.loaded_V, rel=3e-4) or one.force_N == 0.0


def test_two_equal_motors_go_as_fast_and_as_far_as_one_of_twice_the_current() -> None:
    both, one = Train((PLAIN, PLAIN)), doubled(PLAIN)
    fast, same = top_speed(both, ROAD), top_speed(one, ROAD)
    assert fast is not None and same is not None
    assert fast.speed_km_h == pytest.approx(same.speed_km_h, rel=1e-6)
    assert fast.limited_by == same.limited_by
    far = cruising_range(both, ROAD, 40.0, 20.0)
    assert far == pytest.approx(cruising_range(one, ROAD, 40.0, 20.0), rel=1e-6)
    assert [point.speed_km_h for point in force_curve(both)] == pytest.approx(
        [point.speed_km_h for point in force_curve(one)]
    )


@settings(max_examples=30, deadline=None)
@given(drives, drives, st.floats(0.0, 90.0))
def test_unlike_motors_each_keep_their_limits_and_sum_up(
    front: Drive, rear: Drive, speed_km_h: float
) -> None:
    """Unlike ratios and ratings on one pack: sums at road and battery, one voltage for both."""
    rear = rear._replace(open_V=front.open_V, loop_ohm=0.02)
    front = front._replace(loop_ohm=0.02)
    point = pushed(Train((front, rear)), speed_km_h)
    assert point.force_N == pytest.approx(sum(part.force_N for part in point.parts))
    amperes = sum(part.battery_A for part in point.parts)
    assert point.battery_A == pytest.approx(amperes)
    assert point.loaded_V == pytest.approx(front.open_V - 0.02 * amperes, rel=1e-6)
    for part, drive in zip(point.parts, (front, rear), strict=True):
        assert part.battery_A <= drive.battery_A * (1.0 + 1e-9)
        assert part.across_A_rms <= drive.phase_A_rms * (1.0 + 1e-9)
        assert part.force_N <= fullest(drive, speed_km_h).force_N * (1.0 + 1e-6) + 1e-6


def test_by_hand_at_a_standstill() -> None:
    """150 A and 100 A x 0.1949 Nm/A, through 5:1 and 8:1 with 0.92 on a wheel of 1.9 m."""
    other = PLAIN._replace(phase_A_rms=100.0, ratio=8.0)
    at_wheel = 2.0 * math.pi / 1.9 * 0.92 * math.sqrt(1.5) / (2.0 * math.pi)
    by_hand_N = at_wheel * (150.0 * 5.0 + 100.0 * 8.0)
    assert pushed(Train((PLAIN, other)), 0.0).force_N == pytest.approx(by_hand_N)


def test_past_one_motor_s_speed_the_other_pushes_alone() -> None:
    low = PLAIN._replace(ratio=10.0, max_rpm=2000.0)
    past_km_h = speed_at(low, 2000.0) + 2.0
    point = pushed(Train((PLAIN, low)), past_km_h)
    assert point.parts[1].force_N == 0.0 and point.parts[1].limited_by == BY_SPEED
    assert point.force_N == pytest.approx(fullest(PLAIN, past_km_h).force_N, rel=1e-6)
    assert rpm_at(low, past_km_h) > 2000.0


def test_at_one_throttle_each_pushes_its_share_until_it_is_held_back() -> None:
    """300 N of 150 A and 75 A through alike gears: two thirds and one third."""
    weak = PLAIN._replace(phase_A_rms=75.0)
    point = held(Train((PLAIN, weak)), 20.0, 300.0)
    assert not isinstance(point, str)
    assert [part.force_N for part in point.parts] == pytest.approx([200.0, 100.0])
    slow = weak._replace(max_rpm=rpm_at(weak, 15.0))
    alone = held(Train((PLAIN, slow)), 20.0, 300.0)
    assert not isinstance(alone, str)
    assert [part.force_N for part in alone.parts] == pytest.approx([300.0, 0.0], rel=1e-6)


def test_more_than_all_can_push_is_refused_by_name() -> None:
    most = newton_per_ampere(PLAIN) * 300.0
    assert held(Train((PLAIN, PLAIN)), 5.0, most * 1.01) == "settings.phase_current_A_rms"
    assert held(Train((PLAIN, PLAIN)), 50.0, most * 0.99) == "settings.battery_current_A"
