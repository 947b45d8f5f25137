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

INCOMPLETE = "incomplete"  # no rule had refused it, one had only asked

# What no stage waits for, why, and which rules alone see it: without it they have nothing to judge.
ALONE: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "hardly any label says it": {
        "controller.input_capacitance_uF": (
            "anti-spark-before-contactor",
            "drive-bus-rise-bms",
            "precharge-leaves-rush",
            "regen-bus-rise-bms",
            "regen-without-trip",
        ),
        "controller.max_electrical_rpm": ("controller-electrical-speed-unlikely",),
        "controller.over_voltage_trip_ms": ("regen-bus-rise-bms", "regen-bus-rise-contactor"),
        "controller.phase_current_A_rms": ("climb-without-end",),
        "motor.insulation_class": ("motor-stop-sensor-error-above-insulation",),
        "motor.magnet_grade": (INCOMPLETE,),
        "motor.max_rpm": (
            "downhill-above-rotor",
            "rated-speed-above-rotor",
            "speed-above-rotor",
        ),
        "motor.temperature_sensor": (
            "burst-without-end",
            "motor-sensor-kind-wrong",
        ),
        "pack.cell.peak_A": (
            "cell-peak-unlikely",
            "drive-with-loads-above-cells-peak",
        ),
        "pack.resistance_mohm": ("fuse-breaking-below-short-circuit",),
    },
    "a figure of the house stands for it": {
        "drivetrain.efficiency": (
            "push-above-weight",
            "stalls-on-grade",
        ),
        "vehicle.driven_load_percent": ("tips-backward-on-grade",),
        "vehicle.wheelbase_mm": ("tips-backward-on-grade",),
    },
    "what only a claim beside it contradicted": {
        "drivetrain.ratio": (
            "downhill-back-emf",
            "push-above-weight",
            "ratio-differs-from-teeth",
            "speed-shown-ratio-off",
        ),
        "motor.internal_ratio": (
            INCOMPLETE,
            "axle-above-torque-arms",
            "axle-without-torque-arm",
        ),
        "motor.kv_rpm_per_V": (
            "downhill-back-emf",
            "motor-current-above-label",
            "no-load-kv-off",
            "winding-resistance-unlikely",
        ),
        "motor.no_load_A": ("no-load-current-high",),
        "motor.phase_current_A_rms": (
            "burst-current-unlikely",
            "burst-time-unlikely",
            "motor-label-above-current",
        ),
        "motor.phase_current_burst_A_rms": ("burst-time-unlikely",),
        "motor.phase_inductance_uH": (
            "drive-bus-rise-bms",
            "identified-inductance-off",
            "regen-bus-rise-bms",
            "regen-bus-rise-contactor",
        ),
        "motor.phase_to_neutral_mohm": (
            "identified-resistance-off",
            "winding-resistance-unlikely",
        ),
        "motor.rated_power_W": (
            "motor-current-above-label",
            "motor-label-above-current",
        ),
        "motor.rated_rpm": (
            "climb-without-end",
            "rated-speed-above-rotor",
            "rated-speed-unlikely",
            "winding-resistance-unlikely",
        ),
        "pack.bms.cell_high_V": ("bms-high-below-full",),
        "pack.bms.continuous_A": ("bms-trip-unlikely",),
        "pack.bms.series": ("bms-series-differs",),
        "pack.bms.trip_A": (
            "bms-trip-below-continuous",
            "bms-trip-unlikely",
            "drive-with-loads-above-bms-trip",
        ),
        "pack.capacity_Ah": (
            "pack-capacity-unlikely",
            "vehicle-mass-below-pack",
        ),
        "pack.cell.charge_A": (
            "charger-current-above-pack",
            "entered-twice-differs",
        ),
        "pack.cell.full_V": (
            "bms-high-below-full",
            "cell-full-above-chemistry",
            "fuse-voltage-below-pack",
            "over-voltage-trip-below-full",
        ),
        "pack.drive_while_charging": ("charging-allowed-but-blocked",),
        "pack.nominal_V": ("pack-nominal-off", "vehicle-mass-below-pack"),
        "readings.cell_groups_V": (
            "cell-group-above-full",
            "cell-group-below-minimum",
            "cell-groups-apart",
            "cell-groups-count-differs",
            "cell-groups-sum-off",
            "cell-sense-wire-open",
        ),
        "readings.charging_blocked": (
            "charging-allowed-but-blocked",
            "driving-while-charging-not-blocked",
        ),
        "readings.identification.found.flux_linkage_mVs": ("identified-flux-off",),
        "readings.identification.found.kv_rpm_per_V": ("identified-kv-off",),
        "readings.identification.found.offset_forward_deg": (
            "identified-offsets-differ",
            "identified-offsets-opposed",
        ),
        "readings.identification.found.offset_reverse_deg": (
            "identified-offsets-differ",
            "identified-offsets-opposed",
        ),
        "readings.identification.found.phase_inductance_uH": ("identified-inductance-off",),
        "readings.identification.found.phase_to_neutral_mohm": ("identified-resistance-off",),
        "readings.identification.found.same_in_both_directions": ("identified-order-differs",),
        "readings.identification.motor_unloaded": (
            "identification-motor-loaded",
            INCOMPLETE,
        ),
        "readings.identification.wheel_off_ground": ("identification-wheel-on-ground",),
        "readings.no_load.battery_A": (
            "no-load-current-high",
            "no-load-current-zero",
        ),
        "readings.no_load.electrical_Hz": ("pole-pairs-differ-from-no-load",),
        "readings.no_load.rpm": ("no-load-kv-off",),
        "readings.no_load.throttle": ("no-load-kv-off",),
        "readings.noticed": (
            "noticed-brakes-on-release",
            "noticed-creeps-at-rest",
            "noticed-cuts-out",
            "noticed-hot",
            "noticed-hums-still",
            "noticed-jerks-at-start",
            "noticed-one-direction-better",
            "noticed-pushes-after-release",
            "noticed-rough",
            "noticed-signal-fault-shown",
            "noticed-sparks-at-plug",
        ),
        "readings.pack_state": ("pack-reading-full-other-count",),
        "readings.ambient_degC": ("controller-cold-reading-off", "controller-colder-than-air"),
        "readings.soaked_h": ("cold-readings-differ", "controller-cold-reading-off"),
        "readings.steps_failed": ("ride-step-failed",),
        "readings.temperature.controller_degC": (
            "cold-readings-differ",
            "controller-cold-reading-off",
            "controller-colder-than-air",
        ),
        "readings.temperature.warm.motor_shown_degC": (
            "warm-reading-high",
            "warm-reading-low",
        ),
        "readings.temperature.warm.reference_degC": (
            "warm-reading-high",
            "warm-reading-low",
            "warm-reading-not-warm",
        ),
        "readings.throttle.full_V": (
            "throttle-full-past-reading",
            "throttle-full-reading-above-supply",
            "throttle-readings-rise-but-said-to-fall",
            "throttle-upper-fault-limit-near-full-reading",
        ),
        "readings.throttle.supply_V": (
            "throttle-supply-off",
            "throttle-supply-outside-hall",
        ),
        "readings.tried.brake_cut": ("brake-cut-none-but-tried",),
        "readings.tried.key_switch": ("key-switch-none-but-tried",),
        "readings.tried.kill_switch": ("kill-switch-none-but-tried",),
        "readings.tried.seat_switch": ("seat-switch-tried-differs",),
        "throttle.brake_cut": ("brake-cut-none-but-tried",),
        "throttle.supply_V": (
            "throttle-full-reading-above-supply",
            "throttle-supply-off",
        ),
        "wiring.battery_cable_m": ("stalls-on-grade",),
        "wiring.battery_cable_mm2": (
            "battery-cable-rating-unlikely",
            "fuse-above-cable",
            "stalls-on-grade",
        ),
        "wiring.battery_cable_stated_A": ("fuse-above-cable",),
        "wiring.phase_cable_mm2": ("phase-cable-rating-unlikely",),
        "wiring.phase_cable_stated_A": ("phase-current-above-phase-cable",),
    },
    "a part that may not be there": {
        "drivetrain.torque_arms": (
            "axle-above-torque-arms",
            "axle-without-torque-arm",
        ),
        "drivetrain.tyre": (
            "circumference-off-marking",
            "tyre-none-but-marked",
            "tyre-without-speed-letter",
            "wheels-none-but-tyre",
        ),
        "drivetrain.tyre_load_index": (
            INCOMPLETE,
            "wheel-load-above-tyre",
        ),
        "drivetrain.tyre_speed_symbol": (
            "speed-above-tyre",
            "tyre-none-but-marked",
        ),
        "pack.charger": (
            "charge-fuse-above-lead",
            "charge-fuse-above-plug",
            "charge-lead-without-fuse",
            "charger-current-above-lead",
            "charger-current-above-lead-fuse",
            "charger-current-above-plug",
            "charger-regulates-too-little",
            "charging-above-cells",
            "charging-below-cells",
            "charging-on-escape-route",
        ),
        "wiring.contactor": (
            "battery-current-above-contactor",
            "contactor-voltage-below-pack",
            INCOMPLETE,
        ),
        "wiring.key_switch": (
            INCOMPLETE,
            "key-switch-none-but-tried",
            "key-switch-opens-nothing",
            "nothing-cuts-the-power",
            "regen-bus-rise-contactor",
        ),
        "wiring.loads": (
            INCOMPLETE,
            "blades-without-seat-switch",
            "drive-with-loads-above-bms",
            "drive-with-loads-above-bms-trip",
            "drive-with-loads-above-cells",
            "drive-with-loads-above-cells-peak",
            "drive-with-loads-above-fuse",
            "drive-with-loads-heats-pack",
            "load-above-own-cable",
            "load-above-own-fuse",
            "load-fuse-above-own-cable",
            "load-without-fuse",
            "loads-above-pack",
            "loads-above-wiring",
        ),
        "wiring.precharge.kind": ("precharge-peak-above-resistor",),
        "wiring.precharge.load_A": (
            "precharge-leaves-rush",
            "precharge-load-above-resistor",
        ),
        "wiring.precharge.resistor_W": ("precharge-pulse-rating-unlikely",),
        "wiring.precharge.resistor_pulse_J": ("precharge-pulse-rating-unlikely",),
        "wiring.seat_switch": (
            INCOMPLETE,
            "regen-bus-rise-contactor",
        ),
    },
    "untold it is what nearly all are": {
        "motor.type": ("motor-type-not-judged",),
        "throttle.rest_position": ("throttle-rest-not-between-ends",),
        "throttle.signal_on_opening": ("throttle-readings-rise-but-said-to-fall",),
    },
    "a setting that the controller may not have": {
        "settings.max_rpm": (
            "max-rpm-out-of-reach",
            "pole-pairs-none-with-speed-setting",
        ),
        "settings.regen.phase_current_A_rms": ("regen-limits-disagree",),
        "settings.speed_shown": (
            "speed-shown-circumference-off",
            "speed-shown-ratio-off",
        ),
        "settings.temperature.controller": (
            "controller-stop-above-max",
            "controller-stop-without-rating",
            "controller-taper-not-below-stop",
        ),
        "settings.temperature.motor": ("motor-taper-not-below-stop",),
        "settings.throttle.ramp_down_ms": ("throttle-ramp-down-long",),
        "settings.throttle.ramp_ms": ("throttle-ramp-abrupt",),
        "settings.throttle.tracks_apart_percent": ("throttle-tracks-far-apart",),
    },
    "by whom and on what it is ridden: a ride has its own eyes": {
        "vehicle.mass_kg": (
            "parking-brake-missing",
            "push-above-weight",
            "regen-above-grip",
            "stalls-on-grade",
            "vehicle-mass-below-pack",
        ),
        "vehicle.max_ambient_degC": ("ambient-out-of-order",),
        "vehicle.max_downhill_km_h": (
            "downhill-above-rotor",
            "downhill-above-tyre",
            "downhill-back-emf-near",
        ),
        "vehicle.min_ambient_degC": ("ambient-out-of-order",),
        "vehicle.power_limit_W": ("power-above-limit",),
        "vehicle.rider_kg": (
            INCOMPLETE,
            "push-above-weight",
            "regen-above-grip",
            "rider-mass-unlikely",
            "rider-none-but-ridden",
            "stalls-on-grade",
        ),
        "vehicle.speed_limit_km_h": ("speed-above-limit",),
        "vehicle.steepest_grade_percent": (
            "climb-without-end",
            "parking-brake-missing",
            "stalls-on-grade",
            "tips-backward-on-grade",
        ),
        "vehicle.towed_kg": (
            INCOMPLETE,
            "braked-trailer-too-heavy",
            "stalls-on-grade",
            "trailer-without-brake",
        ),
        "vehicle.wet": ("regen-above-grip",),
        "vehicle.wheels": (
            "driven-wheels-above-wheels",
            "parking-brake-missing",
            "reverse-too-fast",
            "stalls-on-grade",
            "tips-backward-on-grade",
            "wheels-none-but-tyre",
        ),
    },
}
SEEN_BY = {name: set(rules) for told in ALONE.values() for name, rules in told.items()}

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
        twice |= {"motor.phase_to_neutral_mohm"}
    # nor is a stop whose display nobody compared: the motor then has to be within its rating
    if "cold-readings-differ" in {one.rule.id for one in judgement.not_checked}:
        twice |= {"settings.temperature.motor", "settings.temperature.motor.stop_degC"}
    return twice


def what_decides(judgement: Judgement) -> list[str]:
    """The entries without which a danger or fault might not be seen, or an open gate be passed."""
    refusing = (one for one in judgement.findings if one.severity in STOPS and not one.waived)
    rules = [finding.rule for finding in refusing]
    names = {name.removeprefix(IN_BASE) for rule in rules for name in rule.reads}
    roots = frozenset().union(*(rests_on(name) for name in names))
    refused = {rule.id for rule in rules} or {INCOMPLETE}
    return [
        name
        for name in sorted(judgement.profile.givens)
        if not refused <= alone_seen(name)
        and (not rules or any(within(name, root) for root in roots))
    ]


def alone_seen(name: str) -> set[str]:
    """The rules that may lose sight of what they see when an entry is left out."""
    return set().union(*(rules for entry, rules in SEEN_BY.items() if within(name, entry)))


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
