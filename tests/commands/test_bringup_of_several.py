"""`gonogo bringup` of several motors: what is shared once, what is of a motor for each, in a safe order."""

from __future__ import annotations

import io
import json
import shutil
from collections.abc import Mapping
from importlib.resources import files
from itertools import groupby
from pathlib import Path
from typing import Any

import gonogo
import pytest
from gonogo.commands import bringup
from gonogo.commands.bench_answers import answers_in, readings_given
from gonogo.documents.error import UsageError
from gonogo.judgement.bring_up import open_before, standing_before
from gonogo.judgement.planned_step import PlannedStep
from jsonschema import Draft202012Validator

ROOT = Path(__file__).parents[2]
WORKSHOP = ROOT / "examples" / "workshop"
SOUND = ROOT / "tests" / "hazards" / "sound"
DAY = "2026-11-25"
SEVERAL = sorted(
    path
    for path in (*SOUND.glob("*.yaml"), *WORKSHOP.glob("vehicles/*.yaml"))
    if "\nmotors:" in path.read_text("utf-8")
)


@pytest.fixture
def bindweed(tmp_path: Path) -> Path:
    """A sound cart of the workshop with two motors, each on a controller of its own."""
    shutil.copytree(WORKSHOP, tmp_path / "workshop")
    return tmp_path / "workshop" / "vehicles" / "bindweed.yaml"


def changed(path: Path, old: str, new: str) -> Path:
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")
    return path


def named(path: Path) -> dict[tuple[str, str], PlannedStep]:
    """The steps of a plan by their name and motor."""
    return {(one.spec.step, one.motor): one for one in gonogo.bringup_plan(path, DAY)}


def said(path: Path, given: Mapping[str, Any], **options: Any) -> tuple[int, str]:
    out = io.StringIO()
    return bringup.run(path, given, as_of=DAY, out=out, **options), out.getvalue()


@pytest.mark.parametrize("path", SEVERAL, ids=lambda one: one.stem)
def test_what_turns_one_motor_stands_together_before_all_turn(path: Path) -> None:
    """Nobody goes back and forth between two motors, and none is loaded before each ran unloaded."""
    motors = list(gonogo.load(path).motors)
    plan = gonogo.bringup_plan(path, DAY)
    turning = [one for one in plan if one.spec.turns]
    order = [motor for motor, _ in groupby(one.motor for one in turning)]
    assert order == [*motors, ""]
    of_all = [one.spec.step for one in turning if not one.motor]
    assert of_all[0] == "all-motors" and of_all[-2:] == ["roll", "full-limits"]
    for motor in motors:
        steps = [one.spec.step for one in turning if one.motor == motor]
        assert steps[-2:] == ["direction", "no-load"]
        assert all(
            one.spec.title.endswith(f", motor {motor}") for one in plan if one.motor == motor
        )
    keys = [reading.key for one in plan for reading in one.readings]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize("path", SEVERAL, ids=lambda one: one.stem)
def test_what_was_read_of_a_sound_vehicle_stops_nothing(path: Path) -> None:
    """And every reading of its profile has its place in the plan, under the key as it stands there."""
    plan = gonogo.bringup_plan(path, DAY)
    assert not [one.spec.title for one in plan if one.state == "stop"]
    planned = {reading.key for one in plan for reading in one.readings if reading.value is not None}
    views = gonogo.load(path).motors.values()
    given = {one.entered_as for view in views for one in view.givens.values() if not section(one)}
    assert planned == {key for key in given if "readings." in key and not apart(key)}


def section(given: Any) -> bool:
    return given.value == "fitted"


def apart(key: str) -> bool:
    """What is read back or noted besides, and belongs to no step."""
    return ".entered." in key or key.endswith(("readings.taken", "readings.steps_done"))


def test_a_controller_of_its_own_is_read_with_its_motor(bindweed: Path) -> None:
    """One box that drives both is read once."""
    cold = named(bindweed)["cold-temperatures", "left"].readings
    assert [one.key for one in cold] == [
        "motors.left.readings.temperature.controller_degC",
        "motors.left.readings.temperature.motor_degC",
    ]
    changed(bindweed, "    controller: {part: ../parts/controllers/48v-60a.yaml}\n", "")
    changed(
        bindweed,
        "\nthrottle: {",
        "\ncontroller: {part: ../parts/controllers/48v-60a.yaml}\nthrottle: {",
    )
    steps = named(bindweed)
    once = [one.entry.path for one in steps["cold-temperatures", ""].readings]
    assert "readings.temperature.controller_degC" in once
    cold = steps["cold-temperatures", "left"].readings
    assert [one.key for one in cold] == ["motors.left.readings.temperature.motor_degC"]


def test_precharge_fills_the_capacitors_of_all_controllers(bindweed: Path) -> None:
    """Three time constants of 220 ohm with two times 1500 uF: 3 x 220 x 0.003 = 1.98 s."""
    assert "1.98 s for a capacitance of 3000 µF" in named(bindweed)["precharge", ""].spec.do


def test_a_motor_waits_for_its_own_steps_and_the_vehicle_for_those_of_each(bindweed: Path) -> None:
    """The right motor may be run while a reading of the left is open; the ride may not begin."""
    changed(
        bindweed,
        "wheel_turned: forward\n      temperature: {motor_degC: 14",
        "temperature: {motor_degC: 14",
    )
    steps = named(bindweed)

    def waits_for(step: str, motor: str) -> set[tuple[str, str]]:
        found = open_before(steps[step, motor], steps.values())
        return {(one.spec.step, one.motor) for one in found}

    assert ("direction", "left") in waits_for("no-load", "left")
    assert not any(motor for _, motor in waits_for("no-load", "right"))
    assert ("direction", "left") in waits_for("charging", "")


def test_a_motor_that_turned_backward_stops_its_own_step_and_all_that_turns(bindweed: Path) -> None:
    """Its mate's reading stays sound, but with one wheel against the other nothing is turned."""
    said(bindweed, {"readings.noticed": "none"})
    right = bindweed.read_text("utf-8").index("  right:")
    text = bindweed.read_text("utf-8")
    bindweed.write_text(
        text[:right] + text[right:].replace("wheel_turned: forward", "wheel_turned: backward"),
        "utf-8",
    )
    steps, findings = named(bindweed), gonogo.check(bindweed, DAY).findings
    assert steps["direction", "right"].state == "stop"
    assert steps["direction", "left"].state == "done"
    assert standing_before(steps["direction", "right"], findings) == ()
    for name in (("direction", "left"), ("no-load", "right"), ("all-motors", ""), ("roll", "")):
        assert standing_before(steps[name], findings), name
    assert said(bindweed, {}, prints=True)[0] == 1


@pytest.mark.parametrize("path", SEVERAL, ids=lambda one: one.stem)
def test_the_plan_of_several_motors_is_there_in_each_format(path: Path) -> None:
    """A machine's fits its schema and names the motor; a screen its terminal."""
    schema = json.loads(files("gonogo.schemas").joinpath("bringup.schema.json").read_text("utf-8"))
    for form in bringup.PLAN_FORMATS:
        status, text = said(path, {}, prints=True, form=form)
        assert status in (0, 4)
        if form == "json":
            record = json.loads(text)
            Draft202012Validator(schema).validate(record)
            of_motors = [
                one for one in record["steps"] if (one["measure"] or "").startswith("motors.")
            ]
            assert of_motors
            assert all(one["measure"].startswith(f"motors.{one['motor']}.") for one in of_motors)
        elif form == "text":
            assert max(map(len, text.splitlines())) <= 80


def test_a_reading_is_written_under_its_motor_and_nothing_else_moves(bindweed: Path) -> None:
    """Judged with the rules of both motors: 2600 rpm is a speed that its kv does not give."""
    before = bindweed.read_text("utf-8")
    key = "motors.right.readings.no_load.rpm"
    status, told = said(bindweed, readings_given([f"{key}=2600"]))
    assert bindweed.read_text("utf-8") == before.replace("rpm: 3735", "rpm: 2600")
    assert status == 1 and "Motor right" in told and "kv" in told


@pytest.mark.parametrize(
    ("pair", "reason"),
    [
        ("motors.middle.readings.no_load.rpm=3700", "no such motor.*left, right"),
        ("readings.no_load.rpm=3700", "without the motor"),
        ("motors.left.readings.isolation_kohm=2000", "isolation_kohm"),
        ("motors.left.kv_rpm_per_V=75", "unknown entry"),
        ("motors.left.settings.max_rpm=75", "expected a reading"),
        ("motors.left.readings.no_load.rmp=75", "unknown entry readings.no_load.rmp"),
        ("motors.left=75", "unknown entry"),
        ("motors.=75", "unknown entry"),
    ],
)
def test_a_reading_that_cannot_be_of_that_motor_is_refused(
    pair: str, reason: str, bindweed: Path
) -> None:
    """With the reason, and the file as it was."""
    before = bindweed.read_bytes()
    with pytest.raises(UsageError, match=f"(?s){reason}"):
        said(bindweed, readings_given([pair]))
    assert bindweed.read_bytes() == before


def test_the_answers_of_a_file_stand_as_in_a_profile(bindweed: Path, tmp_path: Path) -> None:
    noted = tmp_path / "noted.yaml"
    noted.write_text(
        "readings: {isolation_kohm: 2000}\n"
        "motors: {left: {readings: {wheel_turned: forward}}, right: {readings: {no_load: {rpm: 3740}}}}\n",
        "utf-8",
    )
    given = answers_in(noted)
    assert given == {
        "readings.isolation_kohm": 2000,
        "motors.left.readings.wheel_turned": "forward",
        "motors.right.readings.no_load.rpm": 3740,
    }
    assert said(bindweed, given)[0] == 4
    assert gonogo.load(bindweed).motors["right"].value("readings.no_load.rpm") == 3740
    noted.write_text("motors: {left: [], right: {}}\n", "utf-8")
    with pytest.raises(UsageError, match="readings"):
        answers_in(noted)


def test_what_a_second_motor_shows_is_asked_besides_the_first(bindweed: Path) -> None:
    """The first hums not, the second does: noted beside what was there, and the work ends."""
    changed(bindweed, "      wheel_turned: forward\n", "")
    begun = {
        "readings.isolation_kohm": 2000,
        "readings.steps_done": ["polarity", "first_charge", "precharge", "values", "look_over"],
        "readings.tried.kill_switch": "controller_enable",
        "readings.tried.key_switch": "controller_enable",
        "readings.tried.brake_cut": "cut",
        "readings.tried.lost_throttle": "cut",
    }
    said(bindweed, begun)
    noticed = iter(["none", "hums_still"])
    asked: list[str] = []

    def answer(question: str) -> str:
        asked.append(question)
        if "What was noticed" in question:
            return next(noticed)
        return "forward" if "Which way" in question else ""

    out = io.StringIO()
    assert bringup.run(bindweed, {}, as_of=DAY, ask=answer, out=out) == 1
    assert gonogo.load(bindweed).value("readings.noticed") == ("hums_still",)
    assert not list(noticed) and "Stop here" in out.getvalue()
    turned = [one for one in asked if "Which way" in one]
    assert [one.split(":")[0] for one in turned] == ["Motor left", "Motor right"]
    # asked of the right motor last of all: nothing of the vehicle came after it
    assert "Direction, motor right" in out.getvalue() and "All motors" not in out.getvalue()


ALONE = """gonogo: profile/1
vehicle: {name: Alone, use: off_road}
pack: {series: 16}
motors:
  only: {kv_rpm_per_V: 60, readings: {no_load: {rpm: 3000}}}
"""


def test_a_motor_that_is_alone_is_read_where_its_reading_stands(tmp_path: Path) -> None:
    """A new one at the top would lie under the old one of the motor, and count for nothing."""
    path = tmp_path / "alone.yaml"
    path.write_text(ALONE, "utf-8")
    assert ("no-load", "") in named(path) and ("all-motors", "") not in named(path)
    said(path, {"readings.no_load.rpm": 3100, "readings.no_load.pack_V": 53})
    assert gonogo.load(path).value("readings.no_load.rpm") == 3100
    said(path, readings_given(["motors.only.readings.no_load.rpm=3200"]))
    assert gonogo.load(path).value("readings.no_load.rpm") == 3200
    assert "rpm: 3200" in path.read_text("utf-8") and path.read_text("utf-8").count("rpm: ") == 1
