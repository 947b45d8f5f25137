"""Facts of the trade: common practice, no source. What builders tell each other has to come out."""

from __future__ import annotations

import pytest
from gonogo.quantities import load, motor, pack, sensor, throttle
from gonogo.quantities.curve import kinds
from gonogo.quantities.typical import typical

ROOM_degC = 20.0
FAMILIES = (
    "pt100",
    "pt1000",
    "kty81-110",
    "kty81-210",
    "kty84-130",
    "ntc-10k-3950",
    "ntc-47k-4050",
)


@pytest.mark.parametrize(("magnets", "pole_pairs"), [(20, 10), (28, 14), (56, 28)])
def test_pole_pairs_are_half_the_magnets(magnets: int, pole_pairs: int) -> None:
    """Common practice, no source."""
    assert motor.pole_pairs_from_magnets(magnets) == pole_pairs


def test_the_throttle_starts_a_tenth_of_a_volt_over_rest() -> None:
    """Common practice, no source: rest at 0.79 V, start at about 0.9 V; 0.10 to 0.15 V between."""
    assert 0.10 <= throttle.clearance(0.90, 0.79, 0.79) <= 0.15


def test_a_seventy_two_volt_pack_of_twenty_cells_stops_near_sixty_three_volts() -> None:
    """Common practice, no source: between the working minimum and the nominal volts of its cells."""
    working_V, nominal_V = (
        typical(f"pack.cell.{key}", "nmc") for key in ("working_minimum_V", "nominal_V")
    )
    assert working_V is not None and nominal_V is not None
    assert pack.nominal(20, nominal_V) == pytest.approx(72.0)
    assert pack.working_minimum(20, working_V) <= 63.0
    assert working_V <= load.cell_at_stop(63.0, 20) < nominal_V


@pytest.mark.parametrize("kind", kinds())
def test_cold_temperatures_agree_with_the_right_kind(kind: str) -> None:
    """Common practice, no source: motor, controller and air within a degree or two."""
    assert sensor.shown_for(ROOM_degC, kind, kind) == pytest.approx(ROOM_degC, abs=2.0)


@pytest.mark.parametrize(
    ("fitted", "set_to"),
    [(fitted, set_to) for fitted in FAMILIES for set_to in FAMILIES if fitted != set_to],
)
def test_a_sensor_of_another_family_is_far_off_or_off_the_scale(fitted: str, set_to: str) -> None:
    """Common practice, no source: a wrong kind is tens of degrees wrong, never a degree or two."""
    shows = sensor.shown_for(ROOM_degC, fitted, set_to)
    assert shows is None or abs(shows - ROOM_degC) > 10.0


@pytest.mark.parametrize(("fitted", "set_to"), [("kty84-130", "ntc-10k-3950")])
def test_the_usual_mix_up_shows_near_a_hundred(fitted: str, set_to: str) -> None:
    """Common practice, no source: a display set to a thermistor, silicon fitted, at room warmth."""
    assert sensor.shown_for(ROOM_degC, fitted, set_to) == pytest.approx(100.0, abs=15.0)
