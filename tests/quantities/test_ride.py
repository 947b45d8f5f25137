"""Road speeds and the power that holds them."""

from __future__ import annotations

import pytest
from gonogo.quantities import ride


@pytest.mark.parametrize("speed", [ride.speed_at_limit, ride.reverse_speed, ride.reachable_speed])
def test_road_speed_is_turns_of_the_wheel_times_its_way(speed) -> None:  # type: ignore[no-untyped-def]
    """5000 rpm by 10 on 2 m: 500 turns a minute, 1 km a minute, 60 km/h."""
    assert speed(5000.0, 10.0, 2.0) == pytest.approx(60.0)


def test_power_on_the_level_is_rolling_and_air() -> None:
    """100 kg at 10 m/s: 9.80665 N of rolling at 1 %, 30.625 N of air over half a square metre."""
    watt = ride.power_at_limit(36.0, 100.0, 0.01, 0.5)
    assert watt == pytest.approx((9.80665 + 30.625) * 10.0)


@pytest.mark.parametrize(
    ("grade_percent", "rolling"),
    [pytest.param(5.0, 0.01, id="a gentle hill"), pytest.param(75.0, 0.02, id="3-4-5")],
)
def test_a_coasting_vehicle_neither_gains_nor_loses(grade_percent: float, rolling: float) -> None:
    """At the speed it coasts to, the power of rolling, air and hill is nought."""
    km_h = ride.coast(150.0 * 9.80665, grade_percent, rolling, 0.5)
    watt = ride.power_W(150.0, km_h / 3.6, rolling, 0.5, 1.225, grade_percent=-grade_percent)
    assert watt == pytest.approx(0.0, abs=1e-6)


def test_a_hill_that_rolling_holds_lets_nothing_run() -> None:
    """2 % of rolling resistance on a grade of 1 %."""
    assert ride.coast(1000.0, 1.0, 0.02, 0.5) == 0.0


@pytest.mark.parametrize(
    ("arguments", "km_h"),
    [
        pytest.param((80.0, 1.15, 60.0, 110.0), 92.0, id="a fast drive runs over its own speed"),
        pytest.param((30.0, 1.15, 60.0, 110.0), 60.0, id="a slow one reaches the house figure"),
        pytest.param((30.0, 1.15, 60.0, 41.0), 41.0, id="but no more than it coasts to"),
        pytest.param((30.0, 1.15, 60.0), 60.0, id="nobody knows to what it coasts"),
    ],
)
def test_downhill_is_the_larger_of_drive_and_hill(
    arguments: tuple[float, ...], km_h: float
) -> None:
    """A road turns the motor faster than its limit, and the limit does not slow it."""
    assert ride.downhill(*arguments) == pytest.approx(km_h)


@pytest.mark.parametrize(("held", "km_h"), [(45.0, 80.0), (90.0, 90.0)])
def test_a_promise_to_brake_does_not_slow_the_drive(held: float, km_h: float) -> None:
    """Whoever brakes downhill still rides as fast as the drive goes on the level."""
    assert ride.downhill_held(held, 80.0) == km_h


@pytest.mark.parametrize(
    ("shown_mm", "shown_ratio", "percent"),
    [
        pytest.param(2000.0, 8.0, 0.0, id="as it is"),
        pytest.param(1900.0, 8.0, 5.0, id="a smaller wheel reads low"),
        pytest.param(2000.0, 6.4, -25.0, id="a shorter gear reads high"),
        pytest.param(1900.0, 7.6, 0.0, id="both make up for each other"),
    ],
)
def test_a_display_counts_by_what_it_is_told(
    shown_mm: float, shown_ratio: float, percent: float
) -> None:
    """UN R39: it must never read below the true speed."""
    low = ride.speed_shown_low(shown_mm, shown_ratio, 2.0, 8.0)
    assert low == pytest.approx(percent, abs=1e-9)
