"""The physics of failures against what we did not make: integrated circuits, handbook closed forms."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import pytest
from gonogo.quantities.bus_peak import quick_trip_peak, regen_winding_energy, trip_peak
from gonogo.quantities.operand import NotWorked
from gonogo.rehearsal.broken_drive import hall_turn, two_phase_torque, winding_time
from gonogo.rehearsal.bus import (
    bus_fall,
    inrush_time,
    stated_trip_peak,
    trip_peak_time,
    weakening_rise,
    winding_dump,
)
from gonogo.rehearsal.short_circuit import (
    WARM_FACTOR,
    WALKING_km_h,
    rolling_short_force,
    short_at_top,
    short_peak,
    short_peak_speed,
    shorted_torque,
    two_shorted_torque,
)
from gonogo.rehearsal.stopping import (
    brakes_force,
    coast_down,
    drive_at_top,
    gained,
    overcharge_time,
    stuck_stop,
    weak_group,
)
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp  # type: ignore[import-untyped]

FLUX_Vs, OHM, INDUCTANCE_H, PAIRS = 0.012, 0.03, 0.0001, 10


def integrated(
    rates: Callable[[float, Sequence[float]], Sequence[float]], start: Sequence[float], end_s: float
) -> list[float]:
    """The end of a circuit's differential equations, by the library scipy."""
    done = solve_ivp(rates, (0.0, end_s), start, rtol=1e-10, atol=1e-12, method="LSODA")
    return [float(value) for value in done.y[:, -1]]


def test_the_inrush_of_an_rc_circuit_has_fallen_to_a_twentieth() -> None:
    """Circuit of source, resistor and capacitor, integrated by scipy."""
    ohm, farad, volts = 0.07, 2000e-6, 84.0
    time_s = inrush_time(1000.0 * ohm, 1e6 * farad) / 1000.0
    (left_V,) = integrated(lambda _, u: [(volts - u[0]) / ohm / farad], [0.0], time_s)
    assert (volts - left_V) / ohm == pytest.approx(volts / ohm / 20.0, rel=0.005)


def test_the_windings_of_an_lc_circuit_fill_the_capacitor() -> None:
    """Three phases as one inductance whose current rings into the capacitor, integrated by scipy.

    Its energy is that of three phases, 3 · ½ · L · I²; the peak is where the current is through zero,
    a quarter of a period after it would have been full.
    """
    henry, farad, off_V, battery_A = 100e-6, 2000e-6, 40.0, 150.0
    phase_A_rms = battery_A / math.sqrt(1.5)
    start_A = math.sqrt(3.0) * phase_A_rms  # one inductance of the same L with the energy of three
    omega = 1.0 / math.sqrt(henry * farad)
    quarter_s = math.atan2(start_A * math.sqrt(henry / farad), off_V) / omega
    volts, amperes = integrated(
        lambda _, y: [y[1] / farad, -y[0] / henry], [off_V, start_A], quarter_s
    )
    assert amperes == pytest.approx(0.0, abs=1e-3)
    assert winding_dump(off_V, battery_A, 1e6 * henry, 1e6 * farad) == pytest.approx(volts)


def test_the_bus_rises_by_charge_over_capacitance() -> None:
    """I·t = C·U: 30 A for 2 ms are 0.06 C, which are 30 V at 2000 µF; 6 V before the trip are 0.4 ms."""
    assert trip_peak(84.0, 90.0, 30.0, 2000.0, 2.0, 0.0) == pytest.approx(90.0 + 30.0)
    assert trip_peak(84.0, 90.0, 30.0, 2000.0, 2.0, 0.0, 0.5) == pytest.approx(90.0 + 7.5)
    assert trip_peak_time(84.0, 90.0, 30.0, 2000.0, 2.0) == pytest.approx(0.4 + 2.0)
    stated = stated_trip_peak(84.0, 90.0, 40.0, 2000.0, 0.5, 0.0)
    assert stated == pytest.approx(100.0)
    assert quick_trip_peak(84.0, 70.0, 128.0, 2000.0, 0.25, 0.0) == pytest.approx(100.0)


def test_the_bus_falls_as_integrated() -> None:
    """Constant current out of a capacitor, integrated by scipy."""
    time_s = bus_fall(84.0, 40.0, 110.0, 2000.0) / 1000.0
    (left_V,) = integrated(lambda _, u: [-110.0 / 2000e-6], [84.0], time_s)
    assert left_V == pytest.approx(40.0)


@given(capacitance_uF=st.floats(100.0, 9000.0), more=st.floats(1.01, 10.0))
def test_more_capacitance_rises_more_slowly(capacitance_uF: float, more: float) -> None:
    """A property: a larger bus capacitor gives every protection more time, and less voltage."""
    large_uF, winding_J = more * capacitance_uF, regen_winding_energy(80.0, 60.0)
    assert trip_peak(84.0, 90.0, 20.0, large_uF, 2.0, winding_J) < trip_peak(
        84.0, 90.0, 20.0, capacitance_uF, 2.0, winding_J
    )
    small_ms = weakening_rise(84.0, 100.0, 130.0, 90.0, capacitance_uF)
    assert weakening_rise(84.0, 100.0, 130.0, 90.0, large_uF) > small_ms
    assert bus_fall(84.0, 40.0, 60.0, large_uF) > bus_fall(84.0, 40.0, 60.0, capacitance_uF)
    assert winding_dump(40.0, 100.0, 80.0, large_uF) < winding_dump(
        40.0, 100.0, 80.0, capacitance_uF
    )
    assert stated_trip_peak(84.0, 90.0, 20.0, large_uF, 2.0, winding_J) < stated_trip_peak(
        84.0, 90.0, 20.0, capacitance_uF, 2.0, winding_J
    )


def test_a_rectifier_carries_what_its_book_says() -> None:
    """Six-pulse rectifier: the fundamental of the line current is √6/π of the direct current, rms.

    Mohan, Undeland, Robbins, Power Electronics, three-phase full-bridge rectifier, from memory: 0.78.
    Worked out from the waveform: 120° blocks of the direct current, their first Fourier coefficient.
    """
    fundamental_peak = 4.0 / math.pi * math.cos(math.pi / 6.0)
    dc_A = 100.0 / (fundamental_peak / math.sqrt(2.0))
    rise_ms = weakening_rise(84.0, 100.0, 120.0, 100.0, 2000.0)
    assert rise_ms == pytest.approx(1000.0 * 2000e-6 * 16.0 / dc_A)


def shorted_machine(omega: float) -> float:
    """Mean torque of a shorted machine by its equations in the rotor's axes, integrated by scipy."""

    def rates(_: float, amperes: Sequence[float]) -> list[float]:
        along, across = amperes
        return [
            (-OHM * along + omega * INDUCTANCE_H * across) / INDUCTANCE_H,
            (-OHM * across - omega * (INDUCTANCE_H * along + FLUX_Vs)) / INDUCTANCE_H,
        ]

    _, across = integrated(rates, [0.0, 0.0], 40.0 * INDUCTANCE_H / OHM)
    return -1.5 * PAIRS * FLUX_Vs * across


@pytest.mark.parametrize("omega", [30.0, 150.0, 300.0, 900.0, 4000.0])
def test_a_shorted_machine_brakes_as_its_equations_say(omega: float) -> None:
    """Voltage equations of the permanent-magnet machine with no voltage, run until they are steady."""
    ours = shorted_torque(omega, FLUX_Vs, OHM, INDUCTANCE_H, PAIRS)
    assert ours == pytest.approx(shorted_machine(omega), rel=1e-5)


@pytest.mark.parametrize("omega", [30.0, 300.0, 2000.0])
def test_two_shorted_phases_brake_as_their_loop_heats(omega: float) -> None:
    """The loop's current integrated in time by scipy; its mean heat is torque × speed."""

    def rates(time_s: float, state: Sequence[float]) -> list[float]:
        volts = math.sqrt(3.0) * omega * FLUX_Vs * math.sin(omega * time_s)
        return [
            (volts - 2.0 * OHM * state[0]) / (2.0 * INDUCTANCE_H),
            2.0 * OHM * state[0] ** 2,
        ]

    turn_s = 2.0 * math.pi / omega
    settled_s = turn_s * math.ceil(40.0 * INDUCTANCE_H / OHM / turn_s)
    before = integrated(rates, [0.0, 0.0], settled_s)
    after = integrated(rates, [0.0, 0.0], settled_s + turn_s)
    torque_Nm = (after[1] - before[1]) / turn_s / (omega / PAIRS)
    ours = two_shorted_torque(omega, FLUX_Vs, OHM, INDUCTANCE_H, PAIRS)
    assert ours == pytest.approx(torque_Nm, rel=1e-4)
    assert ours == pytest.approx(shorted_torque(omega, FLUX_Vs, OHM, INDUCTANCE_H, PAIRS) / 2.0)


def test_the_peak_of_a_shorted_machine_is_the_closed_form() -> None:
    """At ω = R/L, of the height 3/4 · p · λ² / L: no other speed brakes harder."""
    corner = OHM / INDUCTANCE_H
    closed_Nm = 0.75 * PAIRS * FLUX_Vs**2 / INDUCTANCE_H
    peak_Nm = shorted_torque(corner, FLUX_Vs, OHM, INDUCTANCE_H, PAIRS)
    assert peak_Nm == pytest.approx(closed_Nm)
    assert short_peak(FLUX_Vs, 1e6 * INDUCTANCE_H, PAIRS) == pytest.approx(closed_Nm / 2.0)
    others = (shorted_torque(corner * share, FLUX_Vs, OHM, INDUCTANCE_H, PAIRS) for share in SHARES)
    assert max(others) < peak_Nm
    km_h = short_peak_speed(1e3 * OHM, 1e6 * INDUCTANCE_H, PAIRS, 5.0, 2.0)
    rpm = km_h / 3.6 / 2.0 * 60.0 * 5.0
    peak_N = short_at_top(rpm, FLUX_Vs, 1e3 * OHM, 1e6 * INDUCTANCE_H, PAIRS, 5.0, 2.0)
    assert peak_N == pytest.approx(closed_Nm / 2.0 * 5.0 * 2.0 * math.pi / 2.0)


@pytest.mark.parametrize("inductance_uH", [20.0, 60.0, 100.0, 400.0])
def test_a_short_brakes_no_harder_above_walking_pace(inductance_uH: float) -> None:
    """The largest of the closed form over speeds from 6 to 60 km/h and windings from 20 to 120 °C."""
    walking = WALKING_km_h / 3.6 / 2.0 * 2.0 * math.pi * 10.0 * PAIRS
    henry = inductance_uH / 1e6
    forces = [
        shorted_torque(walking * (1.0 + 0.02 * faster), FLUX_Vs, OHM * warm, henry, PAIRS)
        * (10.0 * math.pi)
        for faster in range(451)
        for warm in (1.0, 1.1, 1.2, 1.3, WARM_FACTOR)
    ]
    ours = rolling_short_force(FLUX_Vs, 1.0, 1e3 * OHM, inductance_uH, PAIRS, 10.0, 2.0)
    assert 0.999 * max(forces) <= ours <= 1.01 * max(forces)
    cold = rolling_short_force(FLUX_Vs, 1.03, 1e3 * OHM, inductance_uH, PAIRS, 10.0, 2.0)
    assert cold == pytest.approx(1.03**2 * ours)


SHARES = (0.1, 0.5, 0.9, 1.1, 2.0, 10.0)


def test_two_phases_give_what_their_waveform_averages() -> None:
    """One current in two windings in series: √3 · |sin θ| of a phase's torque, averaged by hand."""
    steps = 3600
    mean = sum(abs(math.sin(math.pi * (n + 0.5) / steps)) for n in range(steps)) / steps
    assert two_phase_torque(1.0) == pytest.approx(math.sqrt(3.0) * mean / 1.5, rel=1e-6)


def test_a_hall_turn_is_the_way_of_a_pole_pair() -> None:
    """6 km/h are 1.6667 m/s; a wheel of 2 m on a direct motor of 20 pole pairs: 0.1 m a turn, 60 ms."""
    assert hall_turn(20, 1.0, 2.0) == pytest.approx(60.0)


@given(
    driven_A_rms=st.floats(60.0, 400.0),
    mass_kg=st.floats(2.0, 20.0),
    phase_mohm=st.floats(2.0, 60.0),
)
def test_no_winding_is_faster_than_without_cooling(
    driven_A_rms: float, mass_kg: float, phase_mohm: float
) -> None:
    """Adiabatic bound: the lightest copper, a tenth of the motor, heated without any loss of heat."""
    limit_degC = 130.0
    copper_J_per_K = 0.1 * mass_kg * 385.0
    hot_ohm = phase_mohm / 1e3 * (1.0 + 0.00393 * (limit_degC - 20.0))
    bound_s = copper_J_per_K * (limit_degC - 40.0) / (3.0 * driven_A_rms**2 * hot_ohm)
    try:
        ours_s = winding_time(driven_A_rms, 50.0, phase_mohm, limit_degC, mass_kg=mass_kg)
    except NotWorked as never:
        assert "within an hour" in str(never)
        return
    assert ours_s >= 0.99 * bound_s


def test_a_stop_against_the_drive_is_as_integrated() -> None:
    """Newton's law with a drive of the least of push and power over speed, integrated by scipy."""
    brakes_N, push_N, power_W, total_kg, top = 700.0, 500.0, 3000.0, 175.0, 20.0

    def rates(_: float, state: Sequence[float]) -> list[float]:
        drive_N = min(push_N, power_W / max(state[1], 1e-9))
        return [state[1], -(brakes_N - drive_N) / total_kg if state[1] > 0.0 else 0.0]

    done = solve_ivp(
        rates,
        (0.0, 100.0),
        [0.0, top],
        events=STOPPED,
        max_step=0.01,
    )
    ours_m = stuck_stop(3.6 * top, brakes_N, push_N, power_W, total_kg)
    assert ours_m == pytest.approx(1.5 * top + float(done.y[0, -1]), rel=1e-3)


def _speed(_: float, state: Sequence[float]) -> float:
    return state[1] - 1e-3


_speed.terminal = True  # type: ignore[attr-defined]
STOPPED = _speed


def test_simple_figures_by_hand() -> None:
    """Plain arithmetic, the numbers worked out beside each."""
    assert brakes_force(2.0, 175.0, 0.8, 0.4, False) == pytest.approx(770.0)  # 175 × 4.4
    assert brakes_force(1.0, 175.0, 0.8, 0.4, False) == pytest.approx(472.5)  # 175 × 2.7
    assert brakes_force(2.0, 100.0, 0.8, 0.4) == pytest.approx(392.266)  # 100 × 0.4 × 9.80665
    assert drive_at_top(1000.0, 5000.0, 45.0) == pytest.approx(400.0)  # 5000 W / 12.5 m/s
    assert gained(700.0, 175.0, 80.0) == pytest.approx(21.6)  # 4 m/s² × 1.5 s = 6 m/s
    assert gained(700.0, 175.0, 15.0) == pytest.approx(15.0)
    assert coast_down(36.0, 770.0, 175.0) == pytest.approx(15.0 + 175.0 * 100.0 / 2.0 / 770.0)
    assert weak_group(62.0, 20.0, 110.0, 48.0) == pytest.approx(3.1 - 0.264)
    assert overcharge_time(40.0, 8.0) == pytest.approx(900.0)  # 2 Ah at 8 A: a quarter of an hour
