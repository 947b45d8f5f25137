"""Consequences, margins and follow-ups: what a change does to the vehicle and to whoever owns it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest
from gonogo.comparison.comparison import Comparison
from gonogo.comparison.consequence import THRESHOLD, Consequence
from gonogo.comparison.followup import causes
from gonogo.documents.schema import canonical

from .revision import Plain, changed, compared

pytestmark = pytest.mark.usefixtures("frozen")
Alter = Callable[[Mapping[str, Any]], Comparison]


def told_of(compared: Comparison, name: str, mode: str = "") -> Consequence:
    """One worked quantity that moved."""
    (found,) = [one for one in compared.consequences if (one.quantity, one.mode) == (name, mode)]
    return found


@pytest.mark.parametrize(
    ("changes", "name", "old", "new"),
    [
        # battery current / capacity of 6 × 5 Ah
        ({"settings.battery_current_A": 90}, "pack.c_rate_per_h", 75 / 30, 90 / 30),
        # rpm / kv of 70 rpm per volt, downhill 15 % faster than the limit
        ({"settings.max_rpm": 4400}, "motor.back_emf_V", 4000 * 1.15 / 70, 4400 * 1.15 / 70),
        # rpm / 8.6 × 1.98 m × 60 / 1000
        ({"settings.max_rpm": 4300}, "ride.speed_at_limit_km_h", 55.2558, 59.4),
        # start less the highest rest reading of 0.84 V
        ({"settings.throttle.start_V": 1.0}, "throttle.clearance_V", 0.14, 0.16),
        # 3 × I² × R of 7 mohm
        ({"settings.phase_current_A_rms": 100}, "motor.copper_loss_W", 840.0, 210.0),
        # 16 cells of 4.2 V to 15 of them
        ({"pack.series": 15}, "pack.full_V", 67.2, 63.0),
    ],
)
def test_worked_quantities_that_move_are_told(
    alter: Alter, changes: Mapping[str, Any], name: str, old: float, new: float
) -> None:
    """Nobody rides 95 A; they ride the sag, the torque and the heat of it."""
    found = told_of(alter(changes), name)
    assert found.old == pytest.approx(old, abs=5e-4)
    assert found.new == pytest.approx(new, abs=5e-4)


def test_less_than_the_threshold_is_not_told(alter: Alter) -> None:
    """4000 to 4030 rpm is under one percent; 4000 to 4050 is above it."""
    assert THRESHOLD == 0.01
    assert alter({"settings.max_rpm": 4030}).consequences == ()
    assert told_of(alter({"settings.max_rpm": 4050}), "motor.back_emf_V").share == 0.0125


def test_what_cannot_be_worked_out_any_more_is_told(alter: Alter) -> None:
    """Without the cells' resistance nobody knows the sag."""
    found = told_of(alter({"pack.cell.resistance_mohm": None}), "pack.sag_V")
    assert found.old == pytest.approx(3.52, abs=0.01) and found.new is None


def test_what_only_repeats_a_setting_is_marked(alter: Alter) -> None:
    """The fastest rpm is the highest rpm, which is among the changes."""
    told = alter({"settings.max_rpm": 4400})
    assert told_of(told, "motor.reachable_rpm").restates
    assert not told_of(told, "motor.back_emf_V").restates


def test_a_mode_is_told_of_where_it_moves_otherwise(bike: Plain) -> None:
    """Sport has a current of its own: a change of the base does not reach it."""
    old = changed(bike, {"modes.sport.battery_current_A": 80})
    told = compared(old, changed(old, {"pack.cell.resistance_mohm": 20}))
    assert told_of(told, "pack.sag_V").old < told_of(told, "pack.sag_V", "sport").old
    names = [one.quantity for one in told.consequences if one.mode == "sport"]
    assert "pack.resistance_mohm" not in names


def test_margins_come_with_their_rule_the_tightest_first(alter: Alter) -> None:
    """The rule that will be met next stands at the top."""
    margins = alter({"settings.battery_current_A": 80}).margins
    left = [one.new.share for one in margins if one.new.share is not None]
    assert left == sorted(left)
    found = {one.rule.id: one for one in margins}["battery-current-above-cells"]
    assert (found.old.room, found.new.room, found.by) == (15, 10, -5)
    assert (found.new.limit, found.new.upper, found.unit) == (90, True, "A")


def test_a_margin_speaks_in_the_key_that_was_entered(bike: Plain) -> None:
    """Whoever enters peak reads peak."""
    old = changed(
        bike, {"settings.phase_current_A_rms": None, "settings.phase_current_A_peak": 280}
    )
    told = compared(old, changed(old, {"settings.phase_current_A_peak": 300}))
    found = {one.rule.id: one for one in told.margins}["phase-current-above-controller"]
    assert found.unit == "A_peak"
    assert found.new.room == pytest.approx(350 * 2**0.5 - 300)


def test_margins_that_stay_are_not_told(alter: Alter) -> None:
    """Only what shrank or grew."""
    names = {one.rule.id for one in alter({"settings.throttle.ramp_ms": 200}).margins}
    assert names == set()


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"settings.pole_pairs": 6}, "motor identification"),
        ({"settings.direction": "reversed"}, "regen below 10 km/h"),
        ({"settings.throttle.start_V": 1.0}, "each wire pulled"),
        ({"motor.temperature_sensor": "pt1000"}, "warm against a thermometer"),
        ({"wiring.fuse.rated_A": 90}, "fuse, cable and protection board"),
        ({"pack.series": 15}, "charger"),
        ({"drivetrain.tyre": "90/90-18"}, "speed shown"),
        ({"settings.max_rpm": 4200}, "back-EMF"),
    ],
)
def test_a_change_asks_for_work(alter: Alter, changes: Mapping[str, Any], words: str) -> None:
    """Every kind of change in the catalogue of follow-ups."""
    follow_ups = alter(changes).follow_ups
    assert any(words in one.do for one in follow_ups)
    assert set().union(*(one.changed for one in follow_ups)) == set(changes)


def test_a_value_that_went_down_asks_for_less(alter: Alter) -> None:
    """A slower motor needs no check of its back-EMF."""
    assert not any("back-EMF" in one.do for one in alter({"settings.max_rpm": 3900}).follow_ups)


def test_a_mode_below_the_base_asks_for_nothing_raised(alter: Alter) -> None:
    """It is new, but slower than what was ridden before."""
    slow = alter({"modes.wet.max_rpm": 3000}).follow_ups
    fast = alter({"modes.race.max_rpm": 4500}).follow_ups
    assert not any("back-EMF" in one.do for one in slow)
    assert any("back-EMF" in one.do for one in fast)


def test_every_follow_up_hangs_on_something_that_can_change() -> None:
    """A misspelt name would never ask for anything."""
    for cause in causes():
        for name in cause.when_changed.union(*cause.when_together):
            known = name.endswith(".part") or any(
                quantity == name or quantity.startswith(f"{name}.") for quantity in canonical()
            )
            assert known, name
        assert cause.do.endswith(".") and cause.because.endswith(".")
