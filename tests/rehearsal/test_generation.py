"""Uncontrolled generation: our closed forms against a rectifier that is switched in time."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest
from gonogo.quantities.operand import NotWorked
from gonogo.rehearsal.generation import (
    BY_REACTANCE,
    UNBROKEN,
    charged_share,
    charging_time,
    generated_current,
    generated_force,
    generation,
    slipping_force,
)
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]

FLUX_Vs, HENRY, OMEGA = 0.03, 60e-6, 3000.0
LINE_V = math.sqrt(3.0) * OMEGA * FLUX_Vs
ANGLES = (0.0, -2.0 * math.pi / 3.0, 2.0 * math.pi / 3.0)
# The winding, and pack and cable, against a reactance of 0.18 ohm.
OHMS = [(0.008, 0.0), (0.03, 0.0), (0.008, 0.03), (0.18, 0.0)]


def switched_A(pack_V: float, ohm: float, loop_ohm: float) -> float:
    """Mean DC A of three windings, each between the rails by the sign of its current, run by scipy."""
    turn_s = 2.0 * math.pi / OMEGA

    def rates(time_s: float, state: Sequence[float]) -> list[float]:
        amperes = state[:3]
        battery_A = sum(map(abs, amperes)) / 2.0
        bus_V = pack_V + loop_ohm * battery_A
        ends = [bus_V / 2.0 * math.tanh(one / 0.05) for one in amperes]
        star = sum(ends) / 3.0
        emf = [OMEGA * FLUX_Vs * math.cos(OMEGA * time_s + angle) for angle in ANGLES]
        flows = [
            (e - ohm * i - (end - star)) / HENRY
            for e, i, end in zip(emf, amperes, ends, strict=True)
        ]
        return [*flows, battery_A]

    settled_s = turn_s * max(3, math.ceil(6.0 * HENRY / ohm / turn_s))
    before = solve_ivp(rates, (0.0, settled_s), [0.0] * 4, rtol=1e-6, atol=1e-6, method="LSODA")
    span = (settled_s, settled_s + turn_s)
    start = [*before.y[:3, -1], 0.0]
    after = solve_ivp(rates, span, start, rtol=1e-6, atol=1e-6, method="LSODA")
    return float(after.y[3, -1]) / turn_s


@pytest.mark.parametrize(("ohm", "loop_ohm"), OHMS)
@pytest.mark.parametrize("over", [1.5, 1.8, 2.5])
def test_a_steady_current_is_that_of_a_switched_circuit(
    over: float, ohm: float, loop_ohm: float
) -> None:
    """Where the current never stops, within 5 %."""
    pack_V = LINE_V / over
    ours = generation(OMEGA, pack_V, FLUX_Vs, ohm, HENRY, loop_ohm)
    assert ours.battery_A == pytest.approx(switched_A(pack_V, ohm, loop_ohm), rel=0.05)


@pytest.mark.parametrize(("ohm", "loop_ohm"), OHMS)
@pytest.mark.parametrize("over", [1.05, 1.15, 1.25, 1.35])
def test_pulses_are_no_more_than_ours(over: float, ohm: float, loop_ohm: float) -> None:
    """Near the pack's voltage a bound from above, by less than 8 % of the short-circuit current."""
    pack_V = LINE_V / over
    ours = generation(OMEGA, pack_V, FLUX_Vs, ohm, HENRY, loop_ohm).battery_A
    switched = switched_A(pack_V, ohm, loop_ohm)
    short_A = 3.0 / math.pi * OMEGA * FLUX_Vs / math.hypot(ohm, OMEGA * HENRY)
    assert 0.98 * switched <= ours <= switched + 0.08 * short_A


def test_half_a_wave_ends_where_it_began() -> None:
    """Six steps of U/3, 2U/3 and U/3 over half a turn have the area 4πU/9; a cosine of E has 2E."""
    steps = [1.0 / 3.0, 2.0 / 3.0, 1.0 / 3.0]
    area = sum(step * math.pi / 3.0 for step in steps)
    assert pytest.approx(area / 2.0) == BY_REACTANCE


def test_below_the_pack_nothing_flows_and_just_above_hardly_anything() -> None:
    """A diode conducts while the back-EMF between two lines is above the pack."""
    with pytest.raises(NotWorked):
        generation(OMEGA, LINE_V, FLUX_Vs, 0.008, HENRY)
    assert generation(OMEGA, 0.999 * LINE_V, FLUX_Vs, 0.008, HENRY).battery_A < 1.0
    assert UNBROKEN > 1.0


@pytest.mark.parametrize("over", [1.1, 1.3, 2.0])
def test_more_of_anything_in_the_way_is_less_current(over: float) -> None:
    """Inductance, winding, pack and cable each hold it down; a fuller pack too."""
    pack_V = LINE_V / over
    least = generation(OMEGA, pack_V, FLUX_Vs, 0.008, HENRY, 0.02).battery_A
    assert generation(OMEGA, pack_V, FLUX_Vs, 0.008, 1.2 * HENRY, 0.02).battery_A < least
    assert generation(OMEGA, pack_V, FLUX_Vs, 0.012, HENRY, 0.02).battery_A < least
    assert generation(OMEGA, pack_V, FLUX_Vs, 0.008, HENRY, 0.03).battery_A < least
    assert generation(OMEGA, 1.02 * pack_V, FLUX_Vs, 0.008, HENRY, 0.02).battery_A < least


def test_what_a_hill_generates_is_in_balance() -> None:
    """Shaft power is that into the pack and the heat; force × speed is the shaft's power."""
    omega = 6000.0 * 2.0 * math.pi / 60.0 * 5
    ours = generation(omega, 60.0, 0.0184, 0.008, 60e-6)
    assert ours.shaft_W == pytest.approx(ours.battery_A * 60.0 + 1.5 * 0.008 * ours.phase_A**2)
    motor = 6000.0, 60.0, 0.0184, 8.0, 60.0, 5, 1.0
    assert generated_current(*motor) == pytest.approx(ours.battery_A)
    speed = 6000.0 / 60.0 / 7.0 * 1.96
    assert generated_force(*motor, 7.0, 1.96) * speed == pytest.approx(ours.shaft_W)
    cold = generation(omega, 60.0, 1.04 * 0.0184, 0.008, 60e-6)
    assert generated_current(*motor[:-1], 1.04) == pytest.approx(cold.battery_A)
    leaded = generation(omega, 60.0, 0.0184, 0.008, 60e-6, 0.03)
    assert generated_current(*motor, 30.0) == pytest.approx(leaded.battery_A)


def test_a_rider_brakes_it_off() -> None:
    """72 km/h down to three quarters, 5 m/s, at half of 4 m/s²: 2.5 s after 10 s; 72 A for 12.5 s of 25 Ah."""
    assert charging_time(72.0, 80.0, 60.0, 400.0, 100.0) == pytest.approx(12.5)
    assert charged_share(72.0, 12.5, 25.0) == pytest.approx(1.0)
    assert charging_time(72.0, 60.0, 60.0, 400.0, 100.0) == pytest.approx(10.0)
    with pytest.raises(NotWorked):
        charging_time(72.0, 80.0, 60.0, 0.0, 100.0)


def test_a_wheel_that_slips_is_braked_less() -> None:
    """At 5400 of 6000 rpm, by the power of that speed; once below the pack's voltage by nothing."""
    motor = 60.0, 0.0184, 8.0, 60.0, 5, 1.0, 7.0, 1.96
    assert slipping_force(6000.0, *motor) == pytest.approx(generated_force(5400.0, *motor))
    assert slipping_force(6000.0, *motor) < generated_force(6000.0, *motor)
    assert slipping_force(6000.0, 95.0, *motor[1:]) == 0.0
