"""Three vehicles rehearsed with a pocket calculator: a trail bike, a kart and a moped.

Each number is worked out here, in the order of a handbook, from the entries of the files, and takes
nothing from gonogo. Cold magnets give 3 % more back-EMF; grip is 0.4 in the wet.
"""

from __future__ import annotations

from functools import cache
from math import pi, sqrt
from pathlib import Path

import gonogo
import pytest
from gonogo.rehearsal.rehearse import Failure

ROOT = Path(__file__).parents[2]
VEHICLES = ROOT / "examples" / "workshop" / "vehicles"
FILES = {
    "bike": ROOT / "tests" / "hazards" / "base.yaml",
    "kart": VEHICLES / "teasel.yaml",
    "moped": VEHICLES / "yarrow.yaml",
}
COLD, REACTION_s = 1.03, 1.5

# The trail bike: 20 cells of 4.2 V, 2000 µF, 100 V at most, kv 60, 5 pole pairs, 12 to 84 teeth.
BIKE_RPM = 0.95 * 60 * 84  # below its limit of 4800 rpm: what the full pack gives
BIKE_m_per_s = BIKE_RPM / 60 / 7 * 1.96
BIKE_PUSH_N = sqrt(1.5) * 60 / (2 * pi * 60) * 250 * 7 * 0.92 * 2 * pi / 1.96
BIKE_FLUX_Vs = 60 / (2 * pi * 60 * sqrt(3) * 5)
BIKE_REGEN_A = 80.0
# The kart: 22 cells of 4.2 V, 5600 µF, 130 V at most, kv 55, 15 to 60 teeth, 320 A peak.
KART_PUSH_N = sqrt(1.5) * 60 / (2 * pi * 55) * 320 / sqrt(2) * 4 * 0.95 * 2 * pi / 0.858
KART_H, KART_REGEN_A = 70e-6, 160 / sqrt(2)
# The moped: 72 V full, 3300 µF, hub motor of 10.5 rpm/V and 23 pole pairs, a wheel of 1.33 m.
MOPED_m_per_s = 545 / 60 * 1.33
MOPED_PUSH_N = sqrt(1.5) * 60 / (2 * pi * 10.5) * 80 * 2 * pi / 1.33
MOPED_BRAKES_N = 200 * 0.4 * 9.80665

EFFECTS = [
    ("bike", "bms-opens-in-regen", "controller.max_V", 100.0, 1000 * 0.002 * (100 - 84) / 20),
    (
        "bike",
        "bms-opens-in-regen",
        "controller.trip_peak_V",
        sqrt((90 + 20 * 0.002 / 0.002) ** 2 + 3 * 60e-6 * BIKE_REGEN_A**2 / 0.002),
        1000 * 0.002 * (90 - 84) / 20 + 2,
    ),
    ("bike", "bms-opens-at-top-speed", "failure.bus_fall_ms", 1000 * 0.002 * (84 - 40) / 110, None),
    (
        "bike",
        "bms-opens-at-top-speed",
        "failure.winding_dump_V",
        sqrt(40**2 + 3 * 60e-6 * (110 / sqrt(1.5)) ** 2 / 0.002),
        1000 * 0.002 * (84 - 40) / 110,
    ),
    ("bike", "outputs-off-at-top-speed", "failure.top_back_emf_V", BIKE_RPM / 60 * COLD, 0),
    (
        "bike",
        "outputs-off-downhill",
        "failure.downhill_back_emf_V",
        1.15 * BIKE_RPM / 60 * COLD,
        0,
    ),
    (
        "bike",
        "two-phases-shorted",
        "failure.short_peak_N",
        3 / 8 * 5 * BIKE_FLUX_Vs**2 / 60e-6 * 7 * 2 * pi / 1.96,
        0,
    ),
    (
        "bike",
        "two-phases-shorted",
        "failure.short_peak_km_h",
        0.008 / 60e-6 / 5 / 7 * 1.96 / (2 * pi) * 3.6,
        None,
    ),
    ("bike", "stuck-throttle", "failure.gained_km_h", BIKE_PUSH_N / 175 * REACTION_s * 3.6, 1500),
    (
        "bike",
        "chain-off",
        "failure.coast_down_m",
        BIKE_m_per_s * REACTION_s + 175 * BIKE_m_per_s**2 / 2 / (175 * 4.4),
        None,
    ),
    ("bike", "hall-signal-lost", "failure.hall_turn_ms", 1000 * 1.96 / (6 / 3.6) / 7 / 5, None),
    (
        "bike",
        "phase-open",
        "failure.two_phase_Nm",
        0.7351 * BIKE_PUSH_N * 1.96 / (2 * pi * 7 * 0.92),
        0,
    ),
    ("bike", "weakest-cell", "failure.weak_group_V", 62 / 20 - 110 * (0.018 / 8 + 0.003 / 20), 0),
    ("bike", "over-charge", "failure.overcharge_s", 0.05 * 8 * 5 / 8 * 3600, None),
    ("bike", "precharge-fails", "wiring.precharge_energy_J", 0.002 * 84**2 / 2, 3 * 0.0489 * 2),
    ("kart", "bms-opens-in-regen", "controller.max_V", 130.0, 1000 * 0.0056 * (130 - 92.4) / 30),
    (
        "kart",
        "bms-opens-in-regen",
        "controller.trip_peak_V",
        sqrt((104 + 30 * 0.002 / 0.0056) ** 2 + 3 * KART_H * KART_REGEN_A**2 / 0.0056),
        1000 * 0.0056 * (104 - 92.4) / 30 + 2,
    ),
    ("kart", "bms-opens-in-field-weakening", "failure.top_back_emf_V", 4700 / 55 * COLD, 0),
    ("kart", "stuck-throttle", "failure.gained_km_h", KART_PUSH_N / 206 * REACTION_s * 3.6, 1500),
    ("kart", "over-charge", "failure.overcharge_s", 0.05 * 2 * 30 / 20 * 3600, None),
    ("kart", "precharge-fails", "wiring.precharge_energy_J", 0.0056 * 92.4**2 / 2, None),
    ("moped", "outputs-off-at-top-speed", "failure.top_back_emf_V", 545 / 10.5 * COLD, 0),
    ("moped", "stuck-throttle", "failure.gained_km_h", MOPED_PUSH_N / 200 * REACTION_s * 3.6, 1500),
    (
        "moped",
        "brake-cut-dead",
        "failure.coast_down_m",
        MOPED_m_per_s * REACTION_s + 200 * MOPED_m_per_s**2 / 2 / MOPED_BRAKES_N,
        None,
    ),
    ("moped", "hall-signal-lost", "failure.hall_turn_ms", 1000 * 1.33 / (6 / 3.6) / 23, None),
    ("moped", "over-charge", "failure.overcharge_s", 0.05 * 38 / 5 * 3600, None),
]


@cache
def rehearsed(vehicle: str) -> dict[str, Failure]:
    failures = gonogo.rehearse(FILES[vehicle], as_of="2026-11-25")[""]
    return {failure.failure: failure for failure in failures}


@pytest.mark.parametrize(
    ("vehicle", "failure", "quantity", "value", "after_ms"),
    [pytest.param(*one, id=f"{one[0]}: {one[1]}, {one[2]}") for one in EFFECTS],
)
def test_what_a_failure_does(
    vehicle: str, failure: str, quantity: str, value: float, after_ms: float | None
) -> None:
    """The number, and when it is there."""
    (effect,) = [one for one in rehearsed(vehicle)[failure].effect if one.quantity == quantity]
    assert effect.value == pytest.approx(value, rel=1e-3)
    if after_ms is not None:
        assert effect.after_ms == pytest.approx(after_ms, rel=2e-3)


SETTLED = [
    # 4.96 V lies above 4.5 V, 0.02 V and 0.04 V below 0.5 V; the supply of 5 V above 4.5 V
    ("bike", "throttle-ground-open", True, "settings.throttle.lost_above_V", 100),
    ("bike", "throttle-signal-open", True, "settings.throttle.lost_below_V", 100),
    ("bike", "throttle-supply-open", True, "settings.throttle.lost_below_V", 100),
    ("bike", "throttle-shorted-to-supply", True, "settings.throttle.lost_above_V", 100),
    # 110 V is above 100 V if the trip needs 2 ms, 92.5 V below it if it needs a quarter: nobody knows
    ("bike", "bms-opens-in-regen", None, None, None),
    ("bike", "stuck-throttle", True, "throttle.brake_cut", 1500),
    # 236.8 N of braking, 251.2 N with cold magnets, against a grip of 0.8 on 60 % of 175 kg: 823.8 N
    ("bike", "two-phases-shorted", True, "rider", 1500),
    # 82.2 V and 94.5 V against 100 V
    ("bike", "outputs-off-at-top-speed", True, "controller.max_V", 0),
    ("bike", "outputs-off-downhill", True, "controller.max_V", 0),
    # 7.1 J rush in, more than 2 J; a resistor of its own that nobody watches
    ("bike", "precharge-fails", False, None, None),
    # 4788 rpm against 6000 rpm, and two brakes
    ("bike", "chain-off", True, "motor.max_rpm", 0),
    # 250 A set against 120 A continuous, and no burst clock is entered
    ("bike", "motor-sensor-reads-cold", None, None, None),
    # 114.7 V at the end of the trip's 2 ms against 130 V: after 2.17 ms + 2 ms
    ("kart", "bms-opens-in-regen", True, "settings.over_voltage_trip_V", 4.1653),
    # 88.0 V against 130 V
    ("kart", "bms-opens-in-field-weakening", True, "controller.max_V", 0),
    ("kart", "contactor-welds", True, "wiring.kill_switch.opens", 1500),
    # lead blocks without a BMS: 53.6 V over 30 cells are 1.79 V before their sag
    ("moped", "weakest-cell", False, None, None),
    # the kill switch opens the contactor alone, so the brake switch has to cut the drive
    ("moped", "contactor-welds", True, "throttle.brake_cut", 1500),
    ("moped", "fuse-opens", True, "wiring.fuse.rated_V", 0),
]


@pytest.mark.parametrize(
    ("vehicle", "failure", "covered", "caught_by", "within_ms"),
    [pytest.param(*one, id=f"{one[0]}: {one[1]}") for one in SETTLED],
)
def test_what_catches_a_failure(
    vehicle: str,
    failure: str,
    covered: bool | None,
    caught_by: str | None,
    within_ms: float | None,
) -> None:
    """Whether something does, what, and how soon."""
    found = rehearsed(vehicle)[failure]
    assert (found.covered, found.caught_by) == (covered, caught_by)
    assert found.within_ms == (None if within_ms is None else pytest.approx(within_ms, rel=1e-4))


def test_what_cannot_happen_is_left_out() -> None:
    """A kart with an encoder loses no hall signal; a moped without regen brakes by no motor."""
    assert "hall-signal-lost" not in rehearsed("kart")
    assert "bms-opens-in-regen" not in rehearsed("moped")
    assert "chain-off" not in rehearsed("moped")
    assert "bms-opens-in-field-weakening" not in rehearsed("bike")
    assert "throttle-second-track-off" not in rehearsed("bike")
