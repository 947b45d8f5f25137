"""The work that a change makes necessary, by the follow-ups that come with gonogo."""

from __future__ import annotations

import pytest

from .revision import Plain, changed, compared

IDENTIFY, CHARGER = "motor identification", "charger"


def works(bike: Plain, old: dict[str, object], new: dict[str, object]) -> str:
    """All that is to be done, in one text."""
    before = changed(bike, old)
    return " ".join(one.do for one in compared(before, changed(before, new)).follow_ups)


@pytest.mark.parametrize(
    ("old", "new", "asks"),
    [
        pytest.param({"motor.phase_current_A_rms": 80}, {"motor.phase_current_A_rms": 90}, False, id="a corrected rating"),
        pytest.param({"controller.battery_current_A": 100}, {"controller.battery_current_A": 90}, False, id="of the controller"),
        pytest.param({"motor.magnets": 10}, {"motor.magnets": 14}, True, id="another rotor"),
        pytest.param({"motor.kv_rpm_per_V": 60, "motor.max_rpm": 5000}, {"motor.kv_rpm_per_V": 80, "motor.max_rpm": 7000}, True, id="another motor in its place"),
    ],
)  # fmt: skip
def test_a_motor_is_identified_again_where_it_is_another(
    bike: Plain, old: dict[str, object], new: dict[str, object], asks: bool
) -> None:
    """A figure put right turns no rotor."""
    assert (IDENTIFY in works(bike, old, new)) is asks


def test_a_charger_is_checked_where_the_pack_takes_another_charge(bike: Plain) -> None:
    """What its cells give says nothing about how they are charged."""
    assert CHARGER not in works(bike, {}, {"pack.cell.continuous_A": 11})
    assert CHARGER in works(bike, {}, {"pack.parallel": 5})
