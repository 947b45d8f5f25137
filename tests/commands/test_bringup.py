"""`gonogo bringup`: a simulated vehicle answers the questions, sound or with one fault planted."""

from __future__ import annotations

import io
import json
import shutil
from collections.abc import Callable, Mapping
from importlib.resources import files
from pathlib import Path
from typing import Any

import gonogo
import pytest
import typer
from gonogo.commands import bringup
from gonogo.documents.error import EditError, UsageError
from gonogo.documents.schema import properties
from gonogo.judgement.bring_up import bring_up_plan
from gonogo.judgement.bring_up_steps import BringUpStep, bring_up_steps, tick_of
from gonogo.judgement.planned_step import STEPS_DONE
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

ROOT = Path(__file__).parents[2]
WORKSHOP = ROOT / "examples" / "workshop"
DAY = "2026-11-25"
Vehicle = Mapping[str, str]


@pytest.fixture
def burdock(tmp_path: Path) -> Path:
    """A sound vehicle of the workshop before anything was read."""
    shutil.copytree(WORKSHOP, tmp_path / "workshop")
    path = tmp_path / "workshop" / "vehicles" / "burdock.yaml"
    text = path.read_text("utf-8")
    path.write_text(text[: text.index("\nreadings:")] + "\n", "utf-8")
    return path


@pytest.fixture
def sound(burdock: Path) -> Vehicle:
    """What a meter and a display show on it: its own readings, where it was sound."""
    judged = gonogo.load(WORKSHOP / "vehicles" / "burdock.yaml")
    read = {
        name: _as_typed(given.entered)
        for name, given in judged.givens.items()
        if name.startswith("readings.")
    }
    return {
        **read,
        "readings.isolation_kohm": "2000",
        "readings.series_counted": str(judged.value("pack.series")),
        "readings.noticed": "none",
        "readings.tried.kill_switch": "controller_enable, contactor",
        "readings.tried.key_switch": "controller_enable, contactor",
        "readings.tried.brake_cut": "cut",
        "readings.tried.lost_throttle": "cut",
    }


def _as_typed(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return ", ".join(map(str, value)) if isinstance(value, list | tuple) else str(value)


AGAIN = "Measure again: a new value, or Enter to stop here. "
MOST_QUESTIONS = 150


def answering(vehicle: Vehicle, asked: list[str]) -> Callable[[str], str]:
    """Somebody who measures what is asked for; ticks and settings are answered with yes."""
    readings = {_question(name): name for step in bring_up_steps() for name in _entries(step)}

    def answer(question: str) -> str:
        asked.append(question)
        assert len(asked) < MOST_QUESTIONS, asked[-3:]
        last = question.split("\n")[-1]
        if last.startswith(AGAIN):
            return ""
        known = (name for asks, name in readings.items() if last.startswith(asks))
        name = next(known, None)
        return "yes" if name is None else vehicle.get(name, "")

    return answer


def _entries(step: BringUpStep) -> list[str]:
    return [reading.entry for reading in step.readings]


def _question(name: str) -> str:
    from gonogo.commands.entry_questions import entry_question

    return entry_question(name).asks


def brought_up(path: Path, vehicle: Vehicle) -> tuple[int, str, list[str]]:
    """The status, the screen and the questions of a whole bring-up."""
    asked: list[str] = []
    out = io.StringIO()
    status = bringup.run(path, {}, as_of=DAY, ask=answering(vehicle, asked), out=out)
    return status, out.getvalue(), asked


def test_a_sound_vehicle_is_brought_up_to_a_ride(burdock: Path, sound: Vehicle) -> None:
    """Every step done, every reading in the file, and the verdict that of the whole profile."""
    status, screen, _ = brought_up(burdock, sound)
    assert status == 0, screen
    judgement = gonogo.check(burdock, DAY)
    assert judgement.verdict == "go", [one.message for one in judgement.findings]
    read = {name for name in judgement.profile.givens if name.startswith("readings.")}
    assert {"readings.throttle.rest_V", "readings.no_load.rpm", "readings.taken"} <= read
    again, _, asked = brought_up(burdock, sound)
    assert again == 0 and all("none: it cannot be read" in question for question in asked)
    without = {name: "none" for step in bring_up_steps() for name in _entries(step)} | sound
    assert brought_up(burdock, without)[0] == 0
    again, _, asked = brought_up(burdock, sound)
    assert (again, asked) == (0, [])


FOUND = "readings.identification.found."
FAULTS: list[tuple[str, dict[str, str], str]] = [
    ("the throttle sticks", {"readings.throttle.rest_V": "0.85, 1.6"}, "rest"),
    ("kv on another basis", {"readings.no_load.rpm": "2130"}, "kv"),
    ("the motor sensor of another kind", {"readings.temperature.motor_degC": "98"}, "sensor"),
    ("the ground wire not detected", {"readings.throttle.open_ground_V": "3.9"}, "ground"),
    ("a swapped pair of sensor wires", {"readings.no_load.battery_A": "9.5"}, "sensor"),
    ("the wheel turns backward", {"readings.wheel_turned": "backward"}, "backward"),
    ("the frame is live", {"readings.isolation_kohm": "1.2"}, "frame"),
    ("the kill switch opens nothing", {"readings.tried.kill_switch": "nothing"}, "kill switch"),
    ("the brake levers cut nothing", {"readings.tried.brake_cut": "nothing"}, "brake"),
    ("line for phase", {FOUND + "phase_to_neutral_mohm": "36"}, "line to line"),
    ("a flux on another basis", {FOUND + "flux_linkage_mVs": "60"}, "kv"),
    ("another motor's inductance", {FOUND + "phase_inductance_uH": "2000"}, "inductance"),
    (
        "a swapped pair found by the identification",
        {FOUND + "offset_forward_deg": "40", FOUND + "offset_reverse_deg": "160"},
        "swapped",
    ),
    ("another order in reverse", {FOUND + "same_in_both_directions": "no"}, "order"),
    ("it hums", {"readings.noticed": "hums_still"}, "hums"),
    ("it runs rough", {"readings.noticed": "rough, hot"}, "rough"),
    ("it creeps", {"readings.noticed": "creeps_at_rest"}, "at rest"),
    ("another number of cells", {"readings.pack_V": "64.2"}, "cells"),
    ("an empty cell group", {"readings.cell_groups_V": "3.5, 2.1, 3.5"}, "group"),
]


@pytest.mark.parametrize(("fault", "shows", "word"), FAULTS, ids=[one[0] for one in FAULTS])
def test_a_planted_fault_ends_the_bring_up(
    fault: str, shows: dict[str, str], word: str, burdock: Path, sound: Vehicle
) -> None:
    """At the step that shows it, in words that name it; nothing that comes later is asked for."""
    status, screen, asked = brought_up(burdock, {**sound, **shows})
    assert status == 1, fault
    told = screen[-2500:].lower()
    assert "stop here" in told and word in told, screen[-2500:]
    assert asked[-1].startswith("Measure again")
    assert gonogo.check(burdock, DAY).verdict == "no-go"


def test_what_shows_in_a_later_step_is_added(burdock: Path, sound: Vehicle) -> None:
    """A spark at first, then the roll cuts out: both are kept, and the work ends there."""
    asked: list[str] = []
    answer = answering(sound, asked)
    noticed = iter(["sparks_at_plug", "none", "cuts_out"])

    def noticing(question: str) -> str:
        if question.split("\n")[-1].startswith(_question("readings.noticed")):
            return next(noticed)
        return answer(question)

    text = burdock.read_text("utf-8").replace("precharge: {kind: built_in}", "precharge: none")
    burdock.write_text(text, "utf-8")
    out = io.StringIO()
    assert bringup.run(burdock, {}, as_of=DAY, ask=noticing, out=out) == 1
    assert gonogo.load(burdock).value("readings.noticed") == ("sparks_at_plug", "cuts_out")
    assert "roll" not in (gonogo.load(burdock).value(STEPS_DONE) or ())
    assert not list(noticed) and "Stop here" in out.getvalue()


def test_what_was_answered_is_there_after_an_interruption(burdock: Path, sound: Vehicle) -> None:
    """And the bring-up goes on where it was; all other bytes are as they were."""
    before = burdock.read_bytes()
    asked: list[str] = []
    answer = answering(sound, asked)

    def interrupted(question: str) -> str:
        if len(asked) > 4:
            raise typer.Abort
        return answer(question)

    with pytest.raises(typer.Abort):
        bringup.run(burdock, {}, as_of=DAY, ask=interrupted, out=io.StringIO())
    after = burdock.read_bytes()
    assert after.startswith(before.rstrip(b"\n")) and b"isolation_kohm: 2000" in after
    status, _, later = brought_up(burdock, sound)
    assert status == 0
    assert not any(question.startswith("Isolation") for question in later)


def test_a_profile_changed_meanwhile_is_left_alone(burdock: Path, sound: Vehicle) -> None:
    """Somebody saved it from an editor: noticed, and nothing overwritten."""
    asked: list[str] = []
    answer = answering(sound, asked)

    def meddled(question: str) -> str:
        if len(asked) == 3:
            burdock.write_bytes(burdock.read_bytes() + b"# by hand\n")
        return answer(question)

    with pytest.raises(EditError, match="changed since"):
        bringup.run(burdock, {}, as_of=DAY, ask=meddled, out=io.StringIO())
    assert burdock.read_bytes().endswith(b"# by hand\n")


@pytest.mark.parametrize(
    ("typed", "reason"),
    [
        ("-3", "expected a number"),
        ("7.5", "cannot be"),  # beyond the supply
        ("nan", "expected a number"),
        ("900 mV", None),  # a unit that can be turned is no slip
        ("0,9", "point"),
    ],
)
def test_a_reading_that_cannot_be_is_asked_again(
    typed: str, reason: str | None, burdock: Path, sound: Vehicle
) -> None:
    asked: list[str] = []
    answer = answering(sound, asked)
    tried: list[str] = []

    def slipping(question: str) -> str:
        if question.startswith(_question("readings.throttle.rest_V")) and not tried:
            tried.append(question)
            return typed
        return answer(question)

    bringup.run(burdock, {}, as_of=DAY, ask=slipping, out=io.StringIO())
    again = [one for one in asked if _question("readings.throttle.rest_V") in one]
    assert bool(again) == (reason is not None)
    assert reason is None or reason in again[0]


@pytest.mark.parametrize(
    "profile", sorted(WORKSHOP.glob("vehicles/*.yaml")), ids=lambda one: one.stem
)
def test_every_example_has_a_plan(profile: Path) -> None:
    """In each format; a machine's fits its schema, a screen its terminal."""
    schema = json.loads(files("gonogo.schemas").joinpath("bringup.schema.json").read_text("utf-8"))
    for form in bringup.PLAN_FORMATS:
        out = io.StringIO()
        assert bringup.run(profile, {}, True, form, as_of=DAY, out=out) in (0, 1, 4)
        text = out.getvalue()
        if form == "json":
            Draft202012Validator(schema).validate(json.loads(text))
        elif form == "text":
            assert max(map(len, text.splitlines())) <= 80


def test_readings_come_from_options_and_files_too(burdock: Path, tmp_path: Path) -> None:
    out = io.StringIO()
    given = {"readings.pack_V": 53.1, "readings.throttle.rest_V": [0.88, 0.9]}
    assert bringup.run(burdock, given, as_of=DAY, out=out) == 4
    assert gonogo.load(burdock).value("readings.throttle.rest_V") == (0.88, 0.9)
    bench = tmp_path / "bench.yaml"
    bench.write_text("readings: {throttle: {full_V: 4.16}}\n", "utf-8")
    assert bringup.answers_in(bench) == {"readings.throttle.full_V": 4.16}
    bench.write_text("throttle: {full_V: 4.16}\n", "utf-8")
    with pytest.raises(UsageError, match="readings"):
        bringup.answers_in(bench)


def test_what_is_expected_is_known_before_it_is_measured() -> None:
    """The band of a reading does not move with the reading itself, and holds a sound one."""
    profile = gonogo.load(WORKSHOP / "vehicles" / "burdock.yaml")
    whole = {one.entry.path: one for step in bring_up_plan(profile, DAY) for one in step.readings}
    for name, reading in whole.items():
        bare = _without(profile, name)
        before = {one.entry.path: one for step in bring_up_plan(bare, DAY) for one in step.readings}
        assert before[name].expect == reading.expect, name
        assert not reading.stops and not reading.is_outside, name


def _without(profile: Any, name: str) -> Any:
    from dataclasses import replace

    givens = {key: given for key, given in profile.givens.items() if key != name}
    return replace(profile, givens=givens)


def test_the_steps_fit_their_schema() -> None:
    """Each says what to do, the caution that belongs to it and when to stop; none stands twice."""
    schema = json.loads((ROOT / "schemas" / "bring-up-steps.schema.json").read_text("utf-8"))
    with (ROOT / "rules" / "bring-up.yaml").open(encoding="utf-8") as file:
        steps = YAML(typ="safe").load(file)
    Draft202012Validator(schema).validate(steps)
    names = [step.step for step in bring_up_steps()]
    assert len(names) == len(set(names))
    for number, step in enumerate(bring_up_steps()):
        assert set(step.after) <= set(names[:number]), step.step  # none waits for a later one


def test_what_turns_waits_for_all_that_makes_it_safe() -> None:
    """Followed back, each step with a turning motor comes after the switches and the throttle's wires."""
    steps = {step.step: step for step in bring_up_steps()}

    def before(name: str) -> set[str]:
        return set(steps[name].after).union(*(before(one) for one in steps[name].after))

    safe = {"isolation", "polarity", "pack-voltage", "throttle-rest", "throttle-wires"}
    turning = [step.step for step in steps.values() if step.turns]
    assert {"identification", "direction", "no-load", "roll"} <= set(turning)
    for name in turning:
        assert safe | {"kill-switch"} <= before(name), name
    assert {"brake-cut", "no-load", "charging"} <= before("roll")


@pytest.mark.parametrize(
    ("build", "words"),
    [
        ("wiring: {precharge: {kind: resistor, resistor_ohm: 100}}\n", "Not known: "),
        (
            "controller: {input_capacitance_uF: 2000}\n"
            + "wiring: {precharge: {kind: resistor, resistor_ohm: 100}}\n",
            "0.6 s for a capacitance of 2000 µF",  # three times 100 Ω × 2 mF
        ),
    ],
)
def test_a_step_tells_how_long_to_wait(build: str, words: str, tmp_path: Path) -> None:
    """Whoever watches the voltage rise has to know when it is late; what is unknown says so."""
    path = tmp_path / "bare.yaml"
    path.write_text(BARE + build, "utf-8")
    steps = {one.spec.step: one.spec for one in bring_up_plan(gonogo.load(path), DAY)}
    assert words in steps["precharge"].do
    assert not [one for one in steps.values() if "{" in one.do]


def test_a_step_without_readings_can_be_ticked() -> None:
    """Its word is one of those that a profile may list."""
    ticks = set(properties()[STEPS_DONE].choices)
    assert {tick_of(step.step) for step in bring_up_steps() if not step.readings} == ticks


BARE = """gonogo: profile/1
vehicle: {name: Bare, use: off_road}
pack: {series: 13}
"""


@pytest.mark.parametrize(
    ("build", "there", "away"),
    [
        pytest.param("", {"precharge", "kill-switch", "supply"}, {"plug-in"}, id="nothing known"),
        pytest.param(
            "wiring: {precharge: none, contactor: none}\n",
            {"plug-in", "kill-switch"},
            {"precharge"},
            id="no precharge",
        ),
        pytest.param(
            "wiring: {precharge: {kind: built_in}, kill_switch: none, key_switch: none}\n",
            {"precharge"},
            {"plug-in", "kill-switch"},
            id="no switches",
        ),
        pytest.param(
            "motor: {temperature_sensor: none}\nsettings: {throttle: none}\n",
            {"precharge"},
            {"warm-temperature", "supply", "throttle-rest", "throttle-wires"},
            id="no sensor and no throttle",
        ),
    ],
)
def test_a_step_is_for_what_is_there(
    build: str, there: set[str], away: set[str], tmp_path: Path
) -> None:
    """Nobody is sent to watch a part that was said to be missing."""
    path = tmp_path / "bare.yaml"
    path.write_text(BARE + build, "utf-8")
    steps = {one.spec.step for one in bring_up_plan(gonogo.load(path), DAY)}
    assert there <= steps
    assert not away & steps


def test_no_band_ends_at_a_nothing_that_no_meter_passes(tmp_path: Path) -> None:
    """Speeds and currents of a run are not below 0; and a supply that nobody told is one of 5 V."""
    path = tmp_path / "bare.yaml"
    path.write_text(BARE, "utf-8")
    plan = bring_up_plan(gonogo.load(path), DAY)
    whole = {one.entry.path: one for step in plan for one in step.readings}
    bands = [band for one in whole.values() for band in (one.expect, one.stop) if band is not None]
    assert bands
    assert not any(band.low == 0 for band in bands)
    supply = whole["readings.throttle.supply_V"]
    assert supply.expect is not None
    assert supply.expect == pytest.approx((4.5, 5.5))
    assert whole["readings.throttle.full_V"].lacks == ("throttle.kind",)


def test_no_bring_up_ends_well_while_a_danger_stands(burdock: Path, sound: Vehicle) -> None:
    """Somebody who reads that every step is done rides; a file that is no-go never says so."""
    assert brought_up(burdock, sound)[0] == 0
    groups = {"readings.cell_groups_V": [3.32] * 16}
    assert bringup.run(burdock, groups, as_of=DAY, out=io.StringIO()) == 0
    before = burdock.read_text("utf-8")

    # a count that nobody had to take any more: its step is open again
    out = io.StringIO()
    assert bringup.run(burdock, {"readings.series_counted": 15}, as_of=DAY, out=out) == 1
    states = {one.spec.step: one.state for one in gonogo.bringup_plan(burdock, DAY)}
    assert "DANGER" in out.getvalue() and states["pack-voltage"] == "stop"
    status, screen, asked = brought_up(burdock, sound)
    assert status == 1 and "Every step is done" not in screen and asked

    # a setting that no step reads: the values are to be entered anew, and are a danger
    burdock.write_text(
        before.replace("over_voltage_trip_V: 62", "over_voltage_trip_V: 99"), "utf-8"
    )
    assert gonogo.check(burdock, DAY).verdict == "no-go"
    status, screen, asked = brought_up(burdock, sound)
    assert (status, asked) == (1, []) and "Every step is done" not in screen
    assert "put them right first" in screen and "over_voltage_trip_V" in screen
    out = io.StringIO()
    assert bringup.run(burdock, {"readings.pack_V": 53.1}, as_of=DAY, out=out) == 1
    assert "Every step is done" not in out.getvalue()
    assert bringup.run(burdock, {}, prints=True, as_of=DAY, out=io.StringIO()) == 1


def test_a_motor_too_cool_was_not_compared(burdock: Path, sound: Vehicle) -> None:
    """Good work is not refused: at 36 °C the step waits for a warmer motor, as if nothing was read."""
    cool = {
        "readings.temperature.warm.reference_degC": "36",
        "readings.temperature.warm.motor_shown_degC": "37",
    }
    status, screen, asked = brought_up(burdock, {**sound, **cool})
    assert status == 4 and "FAULT" not in screen, screen[-2500:]
    warm = next(one for one in asked if one.startswith("Warm motor temperature by thermometer"))
    assert "expected from 45 °C" in warm
    steps = {one.spec.step: one.state for one in gonogo.bringup_plan(burdock, DAY)}
    assert steps["warm-temperature"] == "look again"
    assert not gonogo.load(burdock).value("motor.warm_comparison_degC")
    warmed = {
        "readings.temperature.warm.reference_degC": 57,
        "readings.temperature.warm.motor_shown_degC": 58,
    }
    assert bringup.run(burdock, warmed, as_of=DAY, out=io.StringIO()) == 0


@pytest.mark.parametrize("rest", ["1.42", "0.85, 0.97, 1.35, 0.86", "4.2"])
def test_no_limit_is_offered_between_a_fault_and_its_repair(
    rest: str, burdock: Path, sound: Vehicle
) -> None:
    """A limit that follows a throttle which sticks leaves the repaired one dead, or unwatched."""
    text = burdock.read_text("utf-8")
    status, screen, asked = brought_up(burdock, {**sound, "readings.throttle.rest_V": rest})
    assert status == 1 and "Set the start" not in screen
    offers = [one for one in asked if "lost_below_V" in one or "lost_above_V" in one]
    assert not offers, offers
    read = burdock.read_text("utf-8")
    for limit in ("lost_below_V: 0.5", "lost_above_V: 4.5"):
        assert limit in text and limit in read


def test_no_answer_about_what_was_noticed_is_no_sign_that_all_was_well(
    burdock: Path, sound: Vehicle
) -> None:
    """The question left out once is asked again, and until then its step is open."""
    silent = {**sound, "readings.noticed": ""}
    assert brought_up(burdock, silent)[0] == 4
    steps = {one.spec.step: one.state for one in gonogo.bringup_plan(burdock, DAY)}
    assert steps["direction"] == "to do"
    status, _, asked = brought_up(burdock, sound)
    assert status == 0 and any(_question("readings.noticed") in one for one in asked)


def test_readings_given_together_are_judged_together(burdock: Path, sound: Vehicle) -> None:
    """Half of a pair shows nothing: no fault is told of speed and frequency that go together."""
    assert brought_up(burdock, sound)[0] == 0
    out = io.StringIO()
    pair = {"readings.no_load.rpm": 3600, "readings.no_load.electrical_Hz": 240}
    bringup.run(burdock, pair, as_of=DAY, out=out)
    assert "FAULT" not in out.getvalue() and out.getvalue().count(" good ") == 2
    half_off = {"readings.no_load.rpm": 3600, "readings.no_load.electrical_Hz": 269}
    out = io.StringIO()
    assert bringup.run(burdock, half_off, as_of=DAY, out=out) == 1
    assert "off a whole number" in out.getvalue() and gonogo.check(burdock, DAY).verdict == "no-go"
