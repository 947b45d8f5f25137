"""The controller's input when the pack is lost in regen."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities.bus_peak import (
    charged_peak,
    contactor_peak,
    drive_peak,
    drive_winding_energy,
    quick_trip_peak,
    regen_winding_energy,
    saturated_drive_peak,
    trip_peak,
    winding_energy_without_current,
    winding_energy_without_inductance,
)
from gonogo.quantities.operand import EXACT, NO_LESS

from .test_book import book

MALLOW_J = 0.75 * 500e-6 * 50.0**2  # by hand: 500 µH, 50 A peak, 0.9375 J


@pytest.mark.parametrize("degrees", [0.0, 17.0, 30.0, 90.0])
def test_three_balanced_currents_hold_the_same_energy_at_every_moment(degrees: float) -> None:
    """½·L·i² of each of three sine currents 120° apart, added up at the moment they are cut off."""
    phases = [50.0 * math.cos(math.radians(degrees - 120.0 * phase)) for phase in range(3)]
    held_J = sum(500e-6 * ampere**2 / 2.0 for ampere in phases)
    assert held_J == pytest.approx(MALLOW_J)
    assert regen_winding_energy(50.0 / math.sqrt(2.0), 500.0) == pytest.approx(held_J)


def test_the_windings_empty_into_the_capacitors_as_integrated() -> None:
    """Star-connected windings through the diodes, step by step: no formula for the energy is used.

    Phase a carries +50 A and b and c −25 A each. a's diode leads to the plus of the bus, those of b and c
    from its minus, so the star point settles where the currents still add up to nothing.
    """
    henry, farad, volts, time_s = 500e-6, 1.5e-3, 58.0 + 4.0 * 2.0 / 1.5, 1e-8
    flowing_A = 50.0
    while flowing_A > 0.0:
        # U = −L·dia/dt − (L/2)·dia/dt, b and c in parallel
        flowing_A -= volts / (1.5 * henry) * time_s
        volts += flowing_A / farad * time_s
    assert volts == pytest.approx(72.5, abs=0.05)
    assert trip_peak(54.6, 58.0, 4.0, 1500.0, 2.0, MALLOW_J) == pytest.approx(volts, rel=1e-4)


def test_a_stated_reaction_stands_in_the_place_of_either_assumed_one() -> None:
    """A datasheet that says how fast its trip is leaves nothing to be assumed."""
    worked = [
        peak(84.0, 90.0, 40.0, 2000.0, 9.0, 0.0, 0.5) for peak in (trip_peak, quick_trip_peak)
    ]
    assert worked == pytest.approx([100.0, 100.0])
    assert quick_trip_peak(84.0, 90.0, 40.0, 2000.0, 0.25, 0.0) == pytest.approx(95.0)


@pytest.mark.parametrize(
    ("trip_V", "peak_V"),
    [
        pytest.param(math.inf, 84.0 + 50.0, id="no trip: 20 A for 5 ms into 2 mF"),
        pytest.param(90.0, 90.0 + 20.0, id="a trip: 20 A for 2 ms from it on"),
        pytest.param(70.0, 84.0 + 20.0, id="a trip below the full pack: from the full pack on"),
        pytest.param(120.0, 84.0 + 50.0, id="a trip that comes after the enable wire"),
    ],
)
def test_an_open_contactor_is_answered_by_the_enable_wire_or_the_trip(
    trip_V: float, peak_V: float
) -> None:
    """Whichever ends regen first; the windings come on top of either."""
    assert contactor_peak(84.0, 20.0, 2000.0, 5.0, 2.0, 0.0, trip_V) == pytest.approx(peak_V)
    with_windings = contactor_peak(84.0, 20.0, 2000.0, 5.0, 2.0, 1.0, trip_V)
    assert with_windings == pytest.approx(math.sqrt(peak_V**2 + 1000.0))


def test_nothing_in_the_windings_leaves_the_voltage_as_it_is() -> None:
    """And the charge of 1 J into 2 mF from nothing is √1000 V."""
    assert charged_peak(90.0, 0.0, 2000.0) == 90.0
    assert charged_peak(0.0, 1.0, 2000.0) == pytest.approx(math.sqrt(1000.0))


def test_windings_of_unknown_inductance_are_left_out_and_said_to_be() -> None:
    """What charge alone does is sure; that the windings add nothing is not."""
    told = {
        "pack.full_V": 54.6,
        "settings.over_voltage_trip_V": 58.0,
        "settings.regen.battery_current_A": 4.0,
        "settings.regen.phase_current_A_rms": 30.0,
        "controller.input_capacitance_uF": 1500.0,
    }
    without = book(told).operand("controller.trip_peak_V")
    assert (without.side, without.number) == (NO_LESS, pytest.approx(58.0 + 8.0 / 1.5))
    assert without.missing == {"motor.phase_inductance_uH"}
    known = book({**told, "motor.phase_inductance_uH": 500.0}).operand("controller.trip_peak_V")
    assert known.side == EXACT
    by_battery = {key: value for key, value in told.items() if not key.endswith("A_rms")}
    assert book(by_battery).operand("controller.trip_peak_V").side == NO_LESS
    assert winding_energy_without_inductance(30.0) == winding_energy_without_current(4.0) == 0.0


def test_the_current_of_full_drive_empties_into_capacitors_that_the_drive_has_emptied_first() -> (
    None
):
    """Step by step: constant power out of the capacitors down to the undervoltage, then the diodes.

    No formula for an energy is used: the drive takes 4 kW, the magnets' voltage is left out.
    """
    henry, farad, volts, time_s = 100e-6, 2e-3, 84.0, 1e-7
    while volts > 40.0:
        volts -= 4000.0 / volts / farad * time_s
    flowing_A = 250.0 * math.sqrt(2.0)  # at the top of phase a
    while flowing_A > 0.0:
        flowing_A -= volts / (1.5 * henry) * time_s
        volts += flowing_A / farad * time_s
    stored_J = drive_winding_energy(250.0, 100.0)
    assert drive_peak(40.0, stored_J, 2000.0) == pytest.approx(volts, rel=1e-3)


def test_windings_that_saturate_lift_the_bus_no_more_than_those_that_do_not() -> None:
    """Of a share of one both are the same, of half of it the squares above the start are halved."""
    assert saturated_drive_peak(40.0, 6.0, 2000.0, 1.0) == drive_peak(40.0, 6.0, 2000.0)
    above = [
        peak**2 - 1600.0
        for peak in (saturated_drive_peak(40.0, 6.0, 2000.0, 0.5), drive_peak(40.0, 6.0, 2000.0))
    ]
    assert above[0] == pytest.approx(above[1] / 2.0)
