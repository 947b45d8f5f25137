"""What may happen to a verdict when one entry is moved or taken away."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from gonogo.documents.loading import load
from gonogo.documents.profile import Given, Profile
from gonogo.documents.schema import canonical
from gonogo.judgement.catalogue import catalogue
from gonogo.judgement.evaluation import Ruling, book_of, ruling
from gonogo.judgement.explanation import roots_given
from gonogo.judgement.finding import Judgement
from gonogo.judgement.judge import judge
from gonogo.judgement.rule import STOPS
from gonogo.quantities.book import IN_BASE
from gonogo.quantities.number import is_number
from gonogo.quantities.registry import rests_on

from .test_hazards import CASES, SOUND, placed

DAY = "2026-11-25"
WORKSHOP = Path(__file__).parents[2] / "examples" / "workshop" / "vehicles"
HIDDEN = 10  # of what could hide a broken limit, each tenth entry is taken away

# What no stage waits for, and why: without it only what it alone could show is not seen.
OPTIONAL: Mapping[str, tuple[str, ...]] = {
    "a part that may not be there": (
        "pack.charger",
        "drivetrain.tyre",
        "wiring.contactor",
        "wiring.key_switch",
        "wiring.loads",
        "wiring.precharge",
    ),
    "hardly any label says it": (
        "controller.input_capacitance_uF",
        "controller.max_degC",
        "controller.max_electrical_rpm",
        "controller.phase_current_A_rms",
        "motor.magnet_grade",
        "pack.cell.peak_A",
        "controller.over_voltage_trip_ms",
        "motor.insulation_class",
        "motor.max_rpm",
        "motor.phase_current_A_rms",
        "motor.temperature_sensor",
        "pack.bms.cell_low_V",
        "pack.cell.resistance_mohm",
        "pack.resistance_mohm",
        "wiring.fuse.breaking_A",
    ),
    "by whom and on what it is ridden: a ride has its own eyes": (
        "vehicle.drag_area_m2",
        "vehicle.driven_",
        "vehicle.mass_kg",
        "vehicle.max_",
        "vehicle.min_ambient_degC",
        "vehicle.name",
        "vehicle.pedal_power_W",
        "vehicle.power_limit_W",
        "vehicle.rider_kg",
        "vehicle.rolling_resistance",
        "vehicle.speed_limit_km_h",
        "vehicle.steepest_grade_percent",
        "vehicle.wet",
        "vehicle.wheel",
    ),
    "a figure of the house stands for it": (
        "drivetrain.efficiency",
        "wiring.battery_cable_insulation_degC",
        "wiring.phase_cable_insulation_degC",
    ),
    "the usual value of the chemistry stands for it": ("pack.cell.charge_from_degC",),
    "what only a claim beside it contradicted": (
        "readings.charging_blocked",
        "readings.identification.found",
        "readings.identification.motor_unloaded",
        "readings.identification.wheel_off_ground",
        "drivetrain.ratio",
        "motor.kv_rpm_per_V",
        "motor.phase_inductance_uH",
        "motor.phase_to_neutral_mohm",
        "pack.drive_while_charging",
        "motor.no_load_A",
        "motor.rated_rpm",
        "pack.bms.trip_A",
        "motor.rated_power_W",
        "pack.bms.cell_high_V",
        "pack.cell.capacity_Ah",
        "pack.cell.charge_A",
        "pack.cell.chemistry",
        "pack.cell.full_V",
        "pack.cells_charge_A",
        "pack.nominal_V",
        "pack.series",
        "readings.ambient_degC",
        "readings.no_load",
        "readings.noticed",
        "readings.pack_state",
        "readings.soaked_h",
        "readings.temperature",
        "readings.throttle.full_V",
        "readings.throttle.second_",
        "readings.throttle.supply_V",
        "readings.tried",
        "throttle.supply_V",
        "wiring.battery_cable_m",
        "wiring.battery_cable_mm2",
        "wiring.battery_cable_stated_A",
        "wiring.phase_cable_mm2",
        "wiring.phase_cable_stated_A",
    ),
    "a lever or pedal told by its switch stands for it": ("vehicle.brakes",),
    "untold it is what nearly all are": (
        "motor.type",
        "throttle.rest_position",
        "throttle.signal_on_opening",
    ),
    "a setting that the controller may not have": (
        "settings.throttle.ramp_ms",
        "settings.throttle.tracks_apart_percent",
        "settings.max_rpm",
        "settings.regen.phase_current_A_rms",
        "settings.reverse_rpm",
        "settings.speed_shown",
        "settings.temperature.controller",
    ),
}
EXEMPT = tuple(name for names in OPTIONAL.values() for name in names)

# Limits of current, speed and heat: less of them is more careful.
LIMITS = tuple(
    name
    for name, entry in canonical().items()
    if name.startswith("settings.") and entry.unit in ("A", "A_rms", "rpm", "degC")
)


def judged(profile: Profile) -> Judgement:
    return judge(profile, catalogue(), DAY)


def without(profile: Profile, name: str) -> Profile:
    """The profile as if one entry, and all below it, had never been written; of no motor."""
    givens = {
        key: given
        for key, given in profile.givens.items()
        if key != name and not key.startswith(f"{name}.")
    }
    motors = {motor: without(view, name) for motor, view in profile.motors.items()}
    return replace(profile, givens=givens, absent=profile.absent - {name}, motors=motors)


def moved(profile: Profile, name: str, factor: float) -> Profile:
    """The profile with one number times a factor, in the base settings; of each motor that has it."""
    motors = {motor: moved(view, name, factor) for motor, view in profile.motors.items()}
    given = profile.givens.get(name)
    if given is None:
        return replace(profile, motors=motors)
    changed_to = replace(given, value=given.number * factor, entered=given.number * factor)
    return replace(profile, givens={**profile.givens, name: changed_to}, motors=motors)


@cache
def sound() -> Mapping[str, Profile]:
    """Every build that is GO, by the name of its file."""
    profiles = {path.stem: load(path) for path in (*SOUND, *sorted(WORKSHOP.glob("*.yaml")))}
    return {name: build for name, build in profiles.items() if judged(build).verdict == "go"}


SOUND_NAMES = sorted(sound())


def test_there_are_builds_to_move() -> None:
    """A property of nothing would always hold."""
    assert len(sound()) >= 16


@pytest.mark.parametrize(
    "case", [case for case in CASES if case["expect"] != "go"], ids=lambda case: str(case["id"])
)
def test_to_say_less_is_no_way_to_a_go(case: Mapping[str, Any], tmp_path: Path) -> None:
    """Whoever leaves an entry out is asked for it, not let go."""
    profile = load(placed(case, tmp_path))
    before = judged(profile)
    if before.verdict not in ("no-go", "incomplete"):
        return
    for name in what_decides(before):
        if name in claims(before):
            continue
        assert judged(without(profile, name)).verdict not in ("go", "go-with-waivers"), name


def claims(judgement: Judgement) -> set[str]:
    """What is wrong only beside other entries, which hold where it is left out."""
    twice = {one.quantity for one in judgement.findings if one.rule.subject == "twice"}
    # a winding resistance that nobody measured is no claim: the motor's current then stands alone
    beside = judgement.profile.givens.get("motor.phase_current_A_rms")
    if beside and "winding-resistance-unlikely" in {one.rule.id for one in judgement.findings}:
        return twice | {"motor.phase_to_neutral_mohm"}
    return twice


def what_decides(judgement: Judgement) -> list[str]:
    """The entries without which a danger or fault might not be seen, or an open gate be passed."""
    rules = [finding.rule for finding in judgement.findings if finding.severity in STOPS]
    names = {name.removeprefix(IN_BASE) for rule in rules for name in rule.reads}
    roots = frozenset().union(*(rests_on(name) for name in names))
    return [
        name
        for name in sorted(judgement.profile.givens)
        if not name.startswith(EXEMPT) and (not rules or any(within(name, root) for root in roots))
    ]


def within(name: str, other: str) -> bool:
    """Whether one of the two is the other, or a section that holds it."""
    return name == other or name.startswith(f"{other}.") or other.startswith(f"{name}.")


def test_a_lower_limit_makes_no_danger() -> None:
    """Who turns a vehicle down is not refused for it, but for order and for what it cannot do."""
    tried = 0
    for profile in sound().values():
        before = stopping(judged(profile))
        for name in LIMITS:
            given = profile.givens.get(name)
            if given is None or not is_number(given.value) or not given.value:
                continue
            for factor in (0.9, 0.5, 0.1):
                after = stopping(judged(moved(profile, name, factor)))
                new = {rule for rule in after - before if not may_flag_lower(rule)}
                assert not new, (profile.name, name, factor)
                tried += 1
    assert tried > 50


def stopping(judgement: Judgement) -> set[str]:
    return {finding.rule.id for finding in judgement.findings if finding.severity in STOPS}


def may_flag_lower(rule: str) -> bool:
    return catalogue().rules[rule].may_flag_lower is not None


@pytest.mark.parametrize("build", SOUND_NAMES)
def test_twice_past_a_limit_is_never_a_go(build: str) -> None:
    """Whatever entry it is that was mistyped, the limit that it breaks is seen, and not to be hidden."""
    profile = sound()[build]
    tried = 0
    for name, factor in past_limits(profile):
        mistyped = moved(profile, name, factor)
        after = judged(mistyped)
        assert after.verdict != "go", (name, factor)
        others = [other for other in what_decides(after) if other != name]
        for other in others[tried % HIDDEN :: HIDDEN]:
            assert judged(without(mistyped, other)).verdict != "go", (name, factor, other)
        tried += 1
    assert tried > 10


def past_limits(profile: Profile) -> Iterator[tuple[str, float]]:
    """Each given number, with the factor that brings what is judged to twice its limit."""
    book = book_of(profile, DAY)
    seen: set[tuple[str, float]] = set()
    for rule in catalogue().about("profile"):
        if rule.of is None or rule.condition is not None or rule.gravest not in STOPS:
            continue
        if rule.modes == "any" and profile.modes:
            continue  # another mode may do
        decided = ruling(rule, book)
        if decided.outcome != "clear":
            continue
        for name in roots_given(book, [rule.of]):
            given = profile.givens.get(name)
            factor = factor_past(decided)
            if given is None or factor is None or not is_number(given.value) or not given.value:
                continue
            if not in_range(name, given, factor) or (name, factor) in seen:
                continue
            after = ruling(rule, book_of(moved(profile, name, factor), DAY))
            if after.outcome == "flagged" and after.severity in STOPS:
                seen.add((name, factor))
                yield name, factor


def factor_past(decided: Ruling) -> float | None:
    """What a value has to be multiplied by to lie at twice its upper limit, half its lower one."""
    value = decided.of.value if decided.of is not None else None
    if not is_number(value) or value <= 0:
        return None
    for end, by in ((decided.high, 2.0), (decided.low, 0.5)):
        if end is not None and is_number(end.value) and end.value > 0:
            return by * end.value / value
    return None


def in_range(name: str, given: Given, factor: float) -> bool:
    """Whether such a value can be entered at all."""
    entry = canonical()[name]
    entered = given.number * factor / (entry.factor or 1.0)
    low, high = entry.lowest, entry.highest
    return (low is None or entered >= low) and (high is None or entered <= high)
