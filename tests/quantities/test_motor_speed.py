"""The motor's speeds, from their definitions."""

from __future__ import annotations

import math

import pytest
from gonogo.quantities import motor, motor_speed
from gonogo.quantities.operand import EXACT, NO_MORE, NotWorked
from hypothesis import given
from hypothesis import strategies as st

from .test_book import book


@given(st.floats(5, 500), st.integers(1, 40), st.floats(100, 9000))
def test_flux_times_speed_is_the_back_emf(kv: float, pairs: int, rpm: float) -> None:
    """Flux linkage and kv are one property said twice: e = √3 · λ · ω, line to line, peak."""
    omega = 2.0 * math.pi * rpm / 60.0 * pairs
    line_V = math.sqrt(3.0) * motor.flux_linkage(kv, pairs) * omega
    assert motor_speed.back_emf(rpm, kv) == pytest.approx(line_V)


@pytest.mark.parametrize(
    ("rpm", "kv", "volts"),
    [
        pytest.param(60.0, 60.0, 1.0, id="the definition: one volt at kv rpm"),
        pytest.param(0.0, 60.0, 0.0, id="none at a standstill"),
    ],
)
def test_back_emf_is_speed_over_kv(rpm: float, kv: float, volts: float) -> None:
    """kv turns speed into volts, with nothing else in between."""
    assert motor_speed.back_emf(rpm, kv) == pytest.approx(volts)


def test_no_load_speed_is_kv_times_the_volts_that_reach_the_motor() -> None:
    """A kv 50 motor that gets 95 % of 80 V turns at 3800 rpm."""
    assert motor_speed.no_load(0.95, 50.0, 80.0) == pytest.approx(3800.0)


def test_without_weakening_the_pack_ends_the_speed_before_a_high_limit() -> None:
    """And a limit below what the pack gives ends it sooner."""
    assert motor_speed.reachable(4788.0, 0.0, 24000.0) == 4788.0
    assert motor_speed.reachable(4788.0, 0.0, 4000.0) == 4000.0
    assert motor_speed.reachable(4788.0, 0.0) == 4788.0


def test_with_weakening_only_the_limit_ends_the_speed() -> None:
    """Field weakening is there to pass the pack's voltage."""
    with pytest.raises(NotWorked, match="weakening"):
        motor_speed.reachable(4788.0, 1.0, 6000.0)
    assert motor_speed.reachable_weakened(6000.0, 1.0) == 6000.0
    with pytest.raises(NotWorked, match="off"):
        motor_speed.reachable_weakened(6000.0, 0.0)


@pytest.mark.parametrize("ratio", [1.0, 5.0])
def test_a_hill_turns_the_motor_at_road_speed_times_the_ratio(ratio: float) -> None:
    """At 60 km/h a wheel of 2 m goes round 500 times a minute, and a chain turns what it drives."""
    assert motor_speed.turned_downhill(60.0, ratio, 2.0) == pytest.approx(500.0 * ratio)


def test_a_one_way_clutch_keeps_the_hill_from_the_motor() -> None:
    """The wheel runs on while the motor stands."""
    with pytest.raises(NotWorked, match="clutch"):
        motor_speed.turned_downhill(60.0, 5.0, 2.0, True)
    assert motor_speed.max_turned(4788.0) == 4788.0
    assert motor_speed.max_turned(4788.0, 5520.0) == 5520.0


def test_electrical_turns_are_mechanical_ones_times_the_pole_pairs() -> None:
    """The controller has to follow these, and has a limit of its own."""
    assert motor_speed.electrical(4000.0, 4) == 16000.0
    assert motor_speed.electrical_of_motor(4000.0, 4) == 16000.0


LIMIT = {"settings.max_rpm": 6000.0}
NO_LOAD = {"motor.kv_rpm_per_V": 60.0, "pack.full_V": 84.0}


@pytest.mark.parametrize(
    ("told", "rpm", "side"),
    [
        pytest.param({**LIMIT, "settings.field_weakening_A_rms": 20.0}, 6000.0, EXACT, id="on"),
        pytest.param(
            {**LIMIT, **NO_LOAD, "settings.field_weakening_A_rms": 0.0}, 4788.0, EXACT, id="off"
        ),
        pytest.param({**NO_LOAD, "settings.field_weakening_A_rms": 0.0}, 4788.0, EXACT, id="none"),
        pytest.param({**LIMIT, **NO_LOAD}, 6000.0, NO_MORE, id="not told"),
        pytest.param({**LIMIT, "settings.field_weakening_A_rms": 0.0}, 6000.0, NO_MORE, id="kv"),
    ],
)
def test_what_is_reached_is_exact_where_all_is_told(
    told: dict[str, float], rpm: float, side: str
) -> None:
    """Where field weakening or kv is not told, the limit is still one that holds."""
    reached = book(told).operand("motor.reachable_rpm")
    assert reached.value == pytest.approx(rpm)
    assert reached.side == side


def test_without_a_limit_weakening_has_no_end() -> None:
    """Nothing says how fast that motor turns."""
    told = {**NO_LOAD, "settings.field_weakening_A_rms": 20.0}
    assert not book(told).operand("motor.reachable_rpm").known
