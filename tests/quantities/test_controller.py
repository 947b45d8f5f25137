"""The controller."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities import controller, motor
from gonogo.quantities.operand import ABSENT, EXACT, NO_MORE, Operand

from .test_book import book


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


PHASE = {"settings.regen.phase_current_A_rms": 150.0}
BATTERY = {"settings.regen.battery_current_A": 20.0}


@pytest.mark.parametrize(
    ("told", "on"),
    [
        ({**PHASE, **BATTERY}, True),
        (PHASE, True),
        (BATTERY, True),
        ({**PHASE, "settings.regen.battery_current_A": 0.0}, False),
        ({**BATTERY, "settings.regen.phase_current_A_rms": 0.0}, False),
        ({}, None),
    ],
)
def test_regen_is_on_unless_a_limit_is_nought(told: dict[str, float], on: bool | None) -> None:
    """What nobody told is not off."""
    assert book(told).operand("controller.regen_on").value is on


def test_where_there_is_no_regen_nothing_is_asked_of_it() -> None:
    """`regen: none` is an answer."""
    without = book({}, ("settings.regen",))
    assert without.operand("controller.regen_on").side == ABSENT
    assert without.operand("controller.regen_battery_A").side == ABSENT


def test_a_phase_limit_alone_sends_root_one_and_a_half_of_it_into_the_pack() -> None:
    """3 · V/√6 · I = V · I_dc, the most that full modulation gives; the motor may give less."""
    constant = motor.torque_constant(60.0)
    full = controller.regen_battery_by_phase(150.0, constant, 5520.0, 8.0, 72.0)
    assert full == pytest.approx(math.sqrt(1.5) * 150.0)
    slow = controller.regen_battery_by_phase(150.0, constant, 1000.0, 8.0, 72.0)
    shaft_W = constant * 150.0 * 2.0 * math.pi * 1000.0 / 60.0
    assert slow == pytest.approx((shaft_W - 540.0) / 72.0)
    assert controller.regen_battery_by_phase(150.0, constant, 10.0, 800.0, 72.0) == 0.0


@pytest.mark.parametrize(
    ("told", "amperes", "side"),
    [
        ({**PHASE, **BATTERY}, 20.0, EXACT),
        (BATTERY, 20.0, EXACT),
        ({**BATTERY, "settings.regen.phase_current_A_rms": 0.0}, 0.0, EXACT),
        (PHASE, math.sqrt(1.5) * 150.0, NO_MORE),
    ],
)
def test_the_battery_current_of_regen_is_its_limit_or_what_the_phases_give(
    told: dict[str, float], amperes: float, side: str
) -> None:
    """A controller that limits the phases alone still fills the pack."""
    found = book(told).operand("controller.regen_battery_A")
    assert found.value == pytest.approx(amperes)
    assert found.side == side


def test_regen_has_no_more_phase_current_than_the_controller() -> None:
    """Where its limit is not entered; where it is, that counts."""
    told = {"controller.phase_current_A_rms": 300.0}
    assert book(told).operand("controller.regen_phase_A_rms") == Operand(
        300.0, NO_MORE, frozenset({"settings.regen.phase_current_A_rms"})
    )
    told["settings.regen.phase_current_A_rms"] = 80.0
    assert book(told).operand("controller.regen_phase_A_rms") == Operand(80.0)
