"""The road: weight, climbs, push, grip and load, each against mechanics worked by hand."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities import ride, road
from gonogo.quantities.operand import EXACT, NO_LESS, NO_MORE, NotWorked

from .test_book import book


def test_a_standing_vehicle_asks_for_no_power() -> None:
    """Even on a hill."""
    assert ride.power_W(200.0, 0.0, 0.02, 0.7, 1.2, grade_percent=20.0) == 0.0


@pytest.mark.parametrize(
    ("grade_percent", "newton"),
    [
        pytest.param(0.0, 10.0, id="on the level only rolling"),
        pytest.param(75.0, 608.0, id="3-4-5: 60 % of the weight, and 80 % of the rolling"),
        pytest.param(100.0, (1000.0 + 10.0) / math.sqrt(2.0), id="45 degrees"),
    ],
)
def test_a_climb_takes_its_share_of_the_weight(grade_percent: float, newton: float) -> None:
    """A grade is rise by run, as on the road sign: 100 % is 45 degrees and not straight up."""
    assert road.hold(1000.0, grade_percent, 0.01) == pytest.approx(newton)


def test_a_rider_who_pedals_takes_it_off_and_never_turns_it_round() -> None:
    """100 W at 6 km/h are 60 N."""
    assert road.hold(1000.0, 75.0, 0.01, road.pedal(100.0, 6.0)) == pytest.approx(548.0)
    assert road.hold(1000.0, 0.0, 0.01, road.pedal(500.0, 6.0)) == 0.0


def test_the_current_that_holds_gives_the_torque_that_holds() -> None:
    """Round the circle: what holds 450 N pushes with 450 N."""
    ampere = road.hold_current(450.0, 1.96, 7.0, 0.92, 0.195)
    assert road.push(0.195 * ampere, 7.0, 0.92, 1.96) == pytest.approx(450.0)


def test_one_g_is_all_the_weight() -> None:
    """980.665 N push 100 kg with 1 g."""
    assert road.push_share(980.665, road.weight(100.0)) == pytest.approx(100.0)


def test_the_law_counts_the_label_and_the_workshop_the_peak() -> None:
    """A pedelec of 250 W draws more for seconds, and is lawful."""
    assert road.rated_power(250.0, "street") == 250.0
    with pytest.raises(NotWorked):
        road.rated_power(250.0, "private_land")
    assert road.shaft_power(10.0, 42.0, 2.0, 0.9, 0.8) == pytest.approx(288.0)


def test_a_rider_not_told_leaves_weight_at_no_less() -> None:
    """The vehicle alone is known: so much and more has to be held and stopped."""
    look_up = book({"vehicle.mass_kg": 90.0}).operand
    assert look_up("ride.weight_N").side == NO_LESS
    assert look_up("ride.grip_N").side == NO_LESS
    assert look_up("ride.weight_N").missing == {"vehicle.rider_kg"}


def test_a_vehicle_that_carries_nobody_weighs_what_it_weighs() -> None:
    """A mowing robot: its mass is exact, and so is the power at its limit."""
    told: dict[str, float | str] = {
        "vehicle.mass_kg": 90.0,
        "vehicle.rolling_resistance": 0.02,
        "vehicle.drag_area_m2": 0.5,
        "ride.speed_at_limit_km_h": 10.0,
    }
    robot = book({**told, "vehicle.rider_kg": None}).operand
    assert (robot("ride.total_kg").value, robot("ride.total_kg").side) == (90.0, EXACT)
    assert robot("ride.power_at_limit_W").side == EXACT
    assert book(told).operand("ride.power_at_limit_W").side == NO_LESS


def test_losses_not_told_are_a_bound_behind_a_chain_and_none_in_a_hub() -> None:
    """A chain takes some of the push, nobody said how much; a hub is the wheel."""
    chain = book({"drivetrain.ratio": 7.0}).operand("drivetrain.efficiency_to_wheel")
    hub = book({"drivetrain.ratio": 1.0}).operand("drivetrain.efficiency_to_wheel")
    assert (chain.value, chain.side, chain.missing) == (1.0, NO_MORE, {"drivetrain.efficiency"})
    assert (hub.value, hub.side) == (1.0, EXACT)


def test_without_the_packs_resistance_power_is_bounded_by_its_full_volts() -> None:
    """10 A out of 42 V with nine tenths and eight tenths of it left."""
    told = {
        "settings.battery_current_A": 10.0,
        "pack.full_V": 42.0,
        "house.efficiency_controller": 0.9,
        "house.efficiency_motor": 0.8,
    }
    found = book(told).operand("ride.shaft_power_W")
    assert (found.number, found.side) == (pytest.approx(302.4), NO_MORE)
