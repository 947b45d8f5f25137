"""What a brake has to take, and what regen leaves on a full pack, worked by hand."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities import brakes
from gonogo.quantities.ride import GRAVITY_m_per_s2


@pytest.mark.parametrize(
    ("words", "count"),
    [
        pytest.param(("disc", "disc"), 2, id="front and rear"),
        pytest.param(("drum", "parking"), 1, id="a lock slows nobody"),
        pytest.param(("electromagnetic",), 0, id="it holds where the vehicle stands"),
        pytest.param(("foot",), 1, id="a shoe"),
    ],
)
def test_only_what_slows_a_rider_is_counted(words: tuple[str, ...], count: int) -> None:
    """A parking brake pulled at speed throws the rider."""
    assert brakes.brake_count(words) == count


def test_kinetic_energy_is_that_of_the_fall_that_gives_the_speed() -> None:
    """Energy conservation: falling h metres gives m g h, and the speed √(2 g h)."""
    km_h = 3.6 * math.sqrt(2.0 * GRAVITY_m_per_s2 * 5.0)
    assert brakes.kinetic(80.0, km_h) == pytest.approx(80.0 * GRAVITY_m_per_s2 * 5.0)


def test_a_ride_begins_with_what_the_charger_gave() -> None:
    """A charger of more volts is stopped by the BMS, one of fewer ends below the full pack."""
    assert brakes.charged(84.0, 90.0) == 84.0
    assert brakes.charged(84.0, 80.0) == 80.0


@pytest.mark.parametrize(
    ("charged_V", "share"),
    [(79.0, 1.0), (80.0, 1.0), (81.0, 0.75), (83.0, 0.25), (84.0, 0.0), (85.0, 0.0)],
)
def test_regen_falls_from_its_taper_to_its_stop(charged_V: float, share: float) -> None:
    """A straight line from 80 to 84 V."""
    assert brakes.regen_left(charged_V, 84.0, 80.0) == pytest.approx(share)


def test_regen_at_speed_is_held_by_the_battery_current_limit() -> None:
    """20 A into 50 V are 1 kW, at 10 m/s 100 N; at 2 m/s the phase current is the limit, 300 N."""
    assert brakes.charged_regen(300.0, 50.0, 36.0, 20.0) == pytest.approx(100.0)
    assert brakes.charged_regen(300.0, 50.0, 7.2, 20.0) == pytest.approx(300.0)
    assert brakes.charged_regen(300.0, 50.0, 36.0) == pytest.approx(300.0)
    assert brakes.motor_brake(0.5, 300.0, 100.0) == pytest.approx(1.5)


def test_brakes_are_counted_by_what_they_can_do() -> None:
    """A shoe slows no fast vehicle, a rim takes up little heat, and a lock slows nothing."""
    fitted = ["disc", "rim", "coaster", "foot", "parking", "electromagnetic"]
    count = (brakes.brake_count, brakes.firm_brake_count, brakes.heat_proof_brake_count)
    assert [one(fitted) for one in count] == [4.0, 3.0, 1.0]
