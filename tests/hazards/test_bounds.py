"""Bounds found here by another way than ours, and the builds just within and just past each.

Nothing of `gonogo.quantities` is called: currents are worked out cell by cell, charges step by step,
temperatures by halving. So a slip in a formula cannot repeat itself in its test.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from .test_hazards import found, judged, wrong

NO_REGEN = {"settings": {"regen": "none"}}
PULLS = {f"open_{wire}_V": "~remove" for wire in ("ground", "signal", "supply")}


def crossing(rises: Callable[[float], float], value: float, low: float, high: float) -> float:
    """Where a rising function comes to a value, by halving."""
    for _ in range(100):
        middle = (low + high) / 2.0
        low, high = (middle, high) if rises(middle) < value else (low, middle)
    return low


def speaks(rule: str, change: dict[str, Any], folder: Path) -> bool:
    return rule in found(judged(change, folder))


def test_a_fuse_breaks_what_warm_cells_give_at_first(tmp_path: Path) -> None:
    """Cell by cell: 20 rows of 8, each of 9 mΩ at 1 kHz, on 84 V and nothing else in the way."""
    rows_ohm = [1.0 / sum(1.0 / 0.009 for _ in range(8)) for _ in range(20)]
    amperes = 84.0 / sum(rows_ohm)
    name = "fuse-breaking-below-short-circuit"
    enough = {"wiring": {"fuse": {"breaking_A": math.ceil(amperes)}}}
    short = {"wiring": {"fuse": {"breaking_A": math.floor(amperes)}}}
    assert not speaks(name, enough, tmp_path)
    assert judged(short, tmp_path).verdict == "no-go" and speaks(name, short, tmp_path)


def test_a_fuse_has_to_blow_by_what_a_warm_loop_gives_in_the_end(tmp_path: Path) -> None:
    """10 s resistance, joints of 3 mΩ, 1.4 m of 35 mm² at 60 °C: it has to be twice the fuse.

    IEC 60228 class 5: 0.554 mΩ/m at 20 °C; copper gains 0.393 % a kelvin.
    """
    cable_mohm = 2 * 0.7 * 0.554 * (1.0 + 0.00393 * 40.0)

    def most_A(cell_mohm: float) -> float:
        return 84.0 / ((20 * cell_mohm / 8 + 3.0 + cable_mohm) / 1000.0) / 2.0

    cell_mohm = crossing(lambda mohm: -most_A(mohm), -150.0, 18.0, 400.0)
    name = "fuse-slow-in-short"
    assert not speaks(name, {"pack": {"cell": {"resistance_mohm": cell_mohm - 0.5}}}, tmp_path)
    assert speaks(name, {"pack": {"cell": {"resistance_mohm": cell_mohm + 0.5}}}, tmp_path)


def charged(
    ohm: float, farad: float, volts: float, seconds: float, load_A: float = 0.0
) -> tuple[float, float]:
    """Joules in the resistor and volts on the capacitors, in ten thousand steps of Kirchhoff."""
    step_s, reached_V, heat_J = seconds / 10_000.0, 0.0, 0.0
    for _ in range(10_000):
        amperes = (volts - reached_V) / ohm
        heat_J += amperes * amperes * ohm * step_s
        reached_V = max(0.0, reached_V + (amperes - load_A) / farad * step_s)
    return heat_J, reached_V


@pytest.mark.parametrize(
    ("ohm", "time_s"),
    [
        pytest.param(100.0, 2.0, id="three time constants of 0.2 s"),
        pytest.param(400.0, 1.9, id="cut short by its time"),
        pytest.param(1500.0, 30.0, id="5 s at the most"),
    ],
)
def test_a_resistor_takes_five_times_its_watts_for_the_pulse(
    ohm: float, time_s: float, tmp_path: Path
) -> None:
    """2 mF on 84 V turn 7.06 J into heat, for min(time, 3RC, 5 s)."""
    heat_J, _ = charged(ohm, 0.002, 84.0, 40.0 * ohm * 0.002)
    least_W = heat_J / (5.0 * min(time_s, 3.0 * ohm * 0.002, 5.0))
    name = "precharge-pulse-above-resistor"
    for share, speaks_up in ((1.01, False), (0.98, True)):
        resistor = {"resistor_ohm": ohm, "resistor_W": share * least_W, "time_s": time_s}
        assert speaks(name, {"wiring": {"precharge": resistor}}, tmp_path) == speaks_up


def test_a_resistor_that_peaks_a_hundred_times_over_burns_open(tmp_path: Path) -> None:
    """Ohm: 84 V through 100 Ω are 0.84 A and 70.56 W at the first instant."""
    peak_W = 84.0 * (84.0 / 100.0)
    for share, speaks_up in ((1.01, False), (0.99, True)):
        change = {"wiring": {"precharge": {"resistor_W": share * peak_W / 100.0}}}
        assert speaks("precharge-peak-above-resistor", change, tmp_path) == speaks_up


def test_a_load_holds_the_precharge_down(tmp_path: Path) -> None:
    """Through 100 Ω and with 2 J allowed to rush into 2 mF, step by step."""

    def left_J(load_A: float) -> float:
        _, reached_V = charged(100.0, 0.002, 84.0, 2.0, load_A)
        return 0.002 * (84.0 - reached_V) ** 2 / 2.0

    most_A = crossing(left_J, 2.0, 0.0, 0.8)
    for share, speaks_up in ((0.99, False), (1.01, True)):
        change = {"wiring": {"precharge": {"load_A": share * most_A}}}
        assert speaks("precharge-leaves-rush", change, tmp_path) == speaks_up


@pytest.mark.parametrize("clutch", [False, True])
def test_the_road_turns_every_motor_without_a_clutch(clutch: bool, tmp_path: Path) -> None:
    """Metres a second, turns of the wheel, turns of the motor, 1 V for each 60 rpm and 3 % of cold."""

    def volts(km_h: float) -> float:
        wheel_per_s = km_h / 3.6 / 1.96
        return wheel_per_s * 7.0 * 60.0 / 60.0 * 1.03

    km_h = crossing(volts, 100.0, 10.0, 200.0)
    for off, speaks_up in ((-0.3, False), (0.3, not clutch)):
        change = {
            "vehicle": {"max_downhill_km_h": km_h + off},
            "motor": {"one_way_clutch": clutch, "max_rpm": 9000},
            **NO_REGEN,
        }
        assert speaks("downhill-back-emf", change, tmp_path) == speaks_up


def test_a_wiper_without_its_ground_stays_far_below_the_supply(tmp_path: Path) -> None:
    """5 kΩ at a tenth of its track against 47 kΩ: the node's currents add to nothing at 4.57 V."""

    def out_A(volts: float) -> float:
        return volts / 47_000.0 - (5.0 - volts) / (0.9 * 5_000.0)

    open_V = crossing(out_A, 0.0, 0.0, 5.0)
    assert open_V == pytest.approx(4.563, abs=0.01)
    unread = {"throttle": {"kind": "potentiometer"}, "readings": {"throttle": PULLS}}
    at_4_5 = {**unread, "settings": {"throttle": {"lost_above_V": 4.5, "full_V": 3.9}}}
    assert judged(at_4_5, tmp_path).stages["stand"] == "no-go"
    name = "throttle-open-ground-not-detected"
    for limit_V, speaks_up in ((open_V - 0.1, False), (open_V + 0.05, True)):
        pulled = {
            "throttle": {"kind": "potentiometer"},
            "settings": {"throttle": {"lost_above_V": limit_V, "full_V": 3.9}},
            "readings": {"throttle": {"open_ground_V": open_V, "full_V": 4.1}},
        }
        assert speaks(name, pulled, tmp_path) == speaks_up


def test_a_supply_by_its_label_may_be_three_percent_low(tmp_path: Path) -> None:
    """A regulator of 5 V at 4.85 V, and a hall part that stops 0.3 V short of it without ground."""
    lowest_V = 5.0 - 5.0 * 3.0 / 100.0 - 0.3
    for limit_V, verdict in ((lowest_V, "incomplete"), (lowest_V + 0.02, "no-go")):
        change = {
            "settings": {"throttle": {"lost_above_V": limit_V}},
            "readings": {"throttle": {**PULLS, "supply_V": "~remove"}},
        }
        assert judged(change, tmp_path).verdict == verdict


def beta_degC(shown_degC: float, set_B: float, fitted_B: float) -> float:
    """True temperature of one thermistor of 10 kΩ on a display set to another (IEC 60539-1)."""
    logarithm = set_B * (1.0 / (shown_degC + 273.15) - 1.0 / 298.15)
    return 1.0 / (1.0 / 298.15 + logarithm / fitted_B) - 273.15


@pytest.mark.parametrize(("stop_degC", "verdict"), [(115, "go"), (140, "incomplete")])
def test_past_the_end_of_a_curve_the_motor_is_no_cooler(
    stop_degC: float, verdict: str, tmp_path: Path
) -> None:
    """Set to B 3950 with B 3435 fitted: 129 °C at 115, within class F, but 165 °C at 140."""
    assert (beta_degC(stop_degC, 3950.0, 3435.0) <= 155.0) == (verdict == "go")
    change: dict[str, Any] = {
        "motor": {"temperature_sensor": "~remove"},
        "settings": {"temperature": {"motor": {"stop_degC": stop_degC, "taper_from_degC": 100}}},
        "readings": {"temperature": {"warm": "~remove"}},
    }
    assert judged(change, tmp_path).verdict == verdict
    del change["readings"]
    assert judged(change, tmp_path).verdict == "go"  # a warm reading settles it


def test_the_b_equation_is_good_to_two_kelvin() -> None:
    """A printed table of a part with B25/50 = 3380 K; at 100 °C the equation reads 2.1 K high."""
    printed = {0: 27219.0, 50: 4161.0, 80: 1669.0, 100: 974.0}
    off_K = {
        degC: 1.0 / (1.0 / 298.15 + math.log(ohm / 10_000.0) / 3380.0) - 273.15 - degC
        for degC, ohm in printed.items()
    }
    assert max(map(abs, off_K.values())) == pytest.approx(2.1, abs=0.05)
    assert off_K[100] > 0.0


@pytest.mark.parametrize(
    ("grade", "percent_per_K"),
    [pytest.param("SH", 0.12, id="neodymium"), pytest.param("ferrite", 0.2, id="ferrite")],
)
def test_the_coldest_day_pushes_back_the_most(
    grade: str, percent_per_K: float, tmp_path: Path
) -> None:
    """-25 °C is 45 K below the day of kv; 100 V are reached at so many turns less."""
    most_rpm = 100.0 * 60.0 / (1.0 + 45.0 * percent_per_K / 100.0)
    for off, speaks_up in ((-10.0, False), (10.0, True)):
        change = {
            "vehicle": {"min_ambient_degC": -25},
            "motor": {"magnet_grade": grade},
            "settings": {"field_weakening_A_rms": 20, "max_rpm": most_rpm + off, "regen": "none"},
        }
        assert speaks("back-emf-above-controller", change, tmp_path) == speaks_up


def test_cold_ferrite_is_the_weaker_magnet(tmp_path: Path) -> None:
    """0.4 % a kelvin of its coercivity, 40 K down: 252 of 300 A, field current at a right angle."""
    withstood_A = 300.0 * (1.0 - 0.004 * 40.0)
    along_A = (withstood_A**2 - 50.0**2) ** 0.5
    for off, speaks_up in ((-1.0, False), (1.0, True)):
        change = {
            "vehicle": {"min_ambient_degC": -20},
            "motor": {"magnet_grade": "ferrite"},
            "settings": {
                "phase_current_A_rms": along_A + off,
                "field_weakening_A_rms": 50,
                "regen": "none",
            },
        }
        assert speaks("ferrite-current-in-the-cold", change, tmp_path) == speaks_up


def test_a_power_limit_holds_from_the_full_pack(tmp_path: Path) -> None:
    """110 A out of 84 V less the drop in 48 mΩ and the cable, 0.96 and 0.85 of it at the shaft."""
    loop_ohm = (20 * 18.0 / 8 + 3.0 + 2 * 0.7 * 0.554 * (1.0 + 0.00393 * 40.0)) / 1000.0
    watts = 110.0 * (84.0 - 110.0 * loop_ohm) * 0.96 * 0.85
    assert watts > 110.0 * 72.0 * 0.96 * 0.85  # a half-full pack gives less
    for limit_W, speaks_up in ((math.ceil(watts), False), (math.floor(watts) - 5, True)):
        change = {"vehicle": {"power_limit_W": limit_W}}
        assert speaks("power-above-limit", change, tmp_path) == speaks_up


@pytest.mark.parametrize("bundled", [False, True])
@pytest.mark.parametrize(("insulation_degC", "air_degC"), [(70, 30), (70, 45), (90, 40)])
def test_a_cable_carries_what_its_heat_allows(
    insulation_degC: float, air_degC: float, bundled: bool, tmp_path: Path
) -> None:
    """25 mm² carry 129 A to 70 °C in air of 30 °C; other currents by the same loss of heat."""

    def heat(amperes: float, copper_degC: float) -> float:
        return amperes**2 * (1.0 + 0.00393 * (copper_degC - 20.0))

    per_K = heat(129.0, 70.0) / (70.0 - 30.0)
    given_off = per_K * (insulation_degC - air_degC)
    amperes = crossing(lambda a: heat(a, insulation_degC), given_off, 0.0, 400.0)
    carried_A = amperes * (0.7 if bundled else 1.0)
    for fuse_A, speaks_up in ((math.floor(carried_A + 1e-6), False), (carried_A + 1.0, True)):
        change = {
            "vehicle": {"max_ambient_degC": air_degC},
            "wiring": {
                "battery_cable_mm2": 25,
                "battery_cable_A": "~remove",
                "battery_cable_insulation_degC": insulation_degC,
                "cables_bundled": bundled,
                "fuse": {"rated_A": fuse_A},
            },
        }
        assert speaks("fuse-above-cable", change, tmp_path) == speaks_up


@pytest.mark.parametrize(
    ("start_V", "speaks_up"),
    [pytest.param(3.86, False, id="0.24 V"), pytest.param(3.84, True, id="0.26 V")],
)
def test_an_inverted_dead_band_begins_at_the_lowest_rest_reading(
    start_V: float, speaks_up: bool, tmp_path: Path
) -> None:
    """It rests at 4.10 to 4.14 V and opens downwards: from 4.10 V on nothing happens."""
    change = {
        "throttle": {"signal_on_opening": "falls"},
        "settings": {
            "throttle": {
                "start_V": start_V,
                "full_V": 1.1,
                "lost_below_V": 0.3,
                "lost_above_V": 4.5,
            }
        },
        "readings": {"throttle": {"rest_V": [4.14, 4.1, 4.12], "full_V": 0.9}},
    }
    assert speaks("throttle-dead-band", change, tmp_path) == speaks_up


@pytest.mark.parametrize("seat_mm", [254, 279, 288, 298])
def test_the_rims_called_14_inch_are_known(seat_mm: int, tmp_path: Path) -> None:
    """Four rims bear that name; a tyre of 47 mm stands 47 mm above its bead seat on either side."""
    around_mm = math.pi * (seat_mm + 47 + 47)
    for share, speaks_up in ((0.97, False), (1.3, True)):
        drivetrain = {"tyre": f"47-{seat_mm}", "circumference_mm": round(share * around_mm)}
        change = {"drivetrain": {**drivetrain, "tyre_speed_symbol": "~remove"}}
        assert speaks("circumference-off-marking", change, tmp_path) == speaks_up


@pytest.mark.parametrize(("minimum_V", "severity"), [(2.0, None), (1.9, "advice"), (1.6, "fault")])
def test_power_cells_of_nca_are_emptied_to_two_volts(
    minimum_V: float, severity: str | None, tmp_path: Path
) -> None:
    """Their datasheets end at 2.0 V; copper dissolves far below."""
    change = {
        "pack": {"cell": {"chemistry": "nca", "minimum_V": minimum_V}, "bms": {"cell_low_V": 2.5}}
    }
    told = {finding.rule.id: finding.severity for finding in judged(change, tmp_path).findings}
    assert told.get("cell-minimum-below-chemistry") == severity


@pytest.mark.parametrize(
    ("change", "asked"),
    [
        ({"wiring": {"phase_cable_mm2": "~remove", "phase_cable_A": "~remove"}}, "phase_cable_mm2"),
        ({"pack": {"cell": {"resistance_mohm": "~remove"}}}, "resistance_mohm"),
        ({"wiring": {"fuse": {"breaking_A": "~remove"}}}, "breaking_A"),
        ({"pack": {"charger": "~remove"}}, "charger.voltage_V"),
        ({"pack": {"connector_A": "~remove"}}, "connector_A"),
        ({"settings": {"reverse_rpm": "~remove"}}, "reverse_rpm"),
        ({"vehicle": {"min_ambient_degC": "~remove"}}, "min_ambient_degC"),
        (
            {
                "motor": {"insulation_class": "~remove"},
                "settings": {"temperature": {"motor": {"stop_degC": 131}}},
            },
            "insulation_class",
        ),
    ],
    ids=lambda part: part if isinstance(part, str) else "",
)
def test_what_could_hide_a_danger_is_asked_for(
    change: dict[str, Any], asked: str, tmp_path: Path
) -> None:
    """Left out it is no finding, and no leave to ride: one entry is named."""
    judgement = judged(change, tmp_path)
    assert (judgement.verdict, wrong(judgement)) == ("incomplete", [])
    missing = {name for one in judgement.not_checked if one.gate for name in one.missing}
    assert {name.endswith(asked) for name in missing} == {True}


def test_a_bicycle_is_not_asked_for_its_reverse(tmp_path: Path) -> None:
    """Its drive has none."""
    change = {
        "drivetrain": {"tyre": "62-559", "circumference_mm": 2090, "tyre_speed_symbol": "none"},
        "settings": {"reverse_rpm": "~remove", "speed_shown": {"circumference_mm": 2090}},
    }
    open_rules = {one.rule.id for one in judged(change, tmp_path).not_checked if one.gate}
    assert "reverse-too-fast" not in open_rules
