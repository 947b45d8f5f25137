"""The controller."""

from __future__ import annotations

import pytest
from gonogo.quantities import controller


def test_power_is_battery_current_times_loaded_volts() -> None:
    """60 A at 45 V are 2700 W, whatever the phases carry."""
    assert controller.power(60.0, 45.0) == 2700.0


def test_phase_to_battery_is_rms_over_dc() -> None:
    """The two limits are different amperes."""
    assert controller.phase_to_battery(150.0, 60.0) == 2.5


@pytest.mark.parametrize(
    ("uF", "room_V", "amperes", "ms"),
    [
        pytest.param(1000.0, 20.0, 20.0, 1.0, id="1 mF, 20 V, 20 A: one millisecond"),
        pytest.param(1000.0, 0.0, 20.0, 0.0, id="no room, no time"),
    ],
)
def test_a_cut_pack_leaves_the_bus_rising_by_charge_over_capacity(
    uF: float, room_V: float, amperes: float, ms: float
) -> None:
    """How long the controller has to notice before its transistors are over-volted."""
    assert controller.bus_rise(uF, 60.0 + room_V, 60.0, amperes) == pytest.approx(ms)
