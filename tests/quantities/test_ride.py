"""Road speeds and the power that holds them."""

from __future__ import annotations

import pytest
from gonogo.quantities import ride


@pytest.mark.parametrize("speed", [ride.speed_at_limit, ride.no_load_speed, ride.reverse_speed])
def test_road_speed_is_turns_of_the_wheel_times_its_way(speed) -> None:  # type: ignore[no-untyped-def]
    """5000 rpm by 10 on 2 m: 500 turns a minute, 1 km a minute, 60 km/h."""
    assert speed(5000.0, 10.0, 2.0) == pytest.approx(60.0)


def test_power_on_the_level_is_rolling_and_air() -> None:
    """100 kg at 10 m/s: 9.80665 N of rolling at 1 %, 30.625 N of air over half a square metre."""
    watt = ride.power_at_limit(36.0, 60.0, 40.0, 0.01, 0.5)
    assert watt == pytest.approx((9.80665 + 30.625) * 10.0)
