"""Commands on a vehicle of several motors: each motor's own, what they share once, all as entered."""

from __future__ import annotations

import copy
import io
import json
import re
from pathlib import Path
from typing import Any

import pytest
from gonogo.commands import window, working
from gonogo.documents.error import UsageError
from ruamel.yaml import YAML

SOUND = Path(__file__).parents[1] / "hazards" / "sound"
DAY = "2026-11-25"


@pytest.fixture(scope="module")
def twin() -> Any:
    """A sound scooter with a hub in each wheel, 22 A each."""
    return YAML(typ="safe").load(SOUND / "twin-hub-scooter.yaml")


def written(build: Any, folder: Path, name: str = "build") -> Path:
    path = folder / f"{name}.yaml"
    with path.open("w", encoding="utf-8") as stream:
        YAML(typ="safe").dump(build, stream)
    return path


def with_rear(twin: Any, **settings: Any) -> Any:
    """The scooter with settings of its rear motor's own."""
    build = copy.deepcopy(twin)
    build["motors"]["rear"].setdefault("settings", {}).update(settings)
    return build


def said(command: Any, path: Path, *arguments: Any, **options: Any) -> str:
    out = io.StringIO()
    command.run(path, *arguments, as_of=DAY, out=out, **options)
    return out.getvalue()


def figures(path: Path, name: str, **options: Any) -> list[tuple[list[str], Any]]:
    record = json.loads(said(working, path, name, form="json", **options))
    return [(one["motors"], one["value"]) for one in record["quantities"]]


def test_a_sum_is_worked_out_once_and_each_addend_too(twin: Any, tmp_path: Path) -> None:
    """Kirchhoff: 22 A and 10 A are 32 A from the pack."""
    path = written(with_rear(twin, battery_current_A=10), tmp_path)
    name = "settings.battery_current_A"
    assert figures(path, name) == [([], 32), (["front"], 22), (["rear"], 10)]
    assert figures(path, f"motors.rear.{name}") == [(["rear"], 10)]
    (whole,) = figures(path, "pack.sag_V")
    assert whole[0] == []
    text = " ".join(re.sub("[│├└─]", "", said(working, path, "pack.sag_V")).split())
    assert "= 32 A (sum over the motors: front 22 A, rear 10 A)" in text


def test_thrust_is_that_of_both_motors(twin: Any, tmp_path: Path) -> None:
    """What pushes the scooter is what both wheels push."""
    (whole, *each) = figures(written(twin, tmp_path), "ride.push_N")
    assert whole[0] == [] and [motors for motors, _ in each] == [["front", "rear"]]
    assert whole[1] == pytest.approx(2 * each[0][1])


def test_a_mode_is_worked_out_for_all_motors(twin: Any, tmp_path: Path) -> None:
    """Two of 10 A when walking."""
    told = figures(written(twin, tmp_path), "settings.battery_current_A", mode="walk")
    assert told == [([], 20), (["front", "rear"], 10)]


def test_the_list_tells_each_quantity_by_the_motor_that_has_it(twin: Any, tmp_path: Path) -> None:
    """A row that two motors share is read once; where they differ, the name asks for the one."""
    build = copy.deepcopy(twin)
    build["motors"]["rear"]["kv_rpm_per_V"] = 15
    path = written(build, tmp_path)
    record = json.loads(said(working, path, form="json"))
    rows = {(one["quantity"], tuple(one["motors"])) for one in record["quantities"]}
    constant = "motor.torque_constant_Nm_per_A_rms"
    assert {(constant, ("front",)), (constant, ("rear",)), ("pack.full_V", ())} <= rows
    assert len(rows) == len(record["quantities"])
    text = said(working, path)
    assert "motors.rear.torque_constant_Nm_per_A_rms" in text
    assert "pack, all motors together" in text and "motor, each motor" in text
    alone = said(working, path, "motors.rear.torque_constant_Nm_per_A_rms")
    assert "motor rear" in alone and "15 rpm/V" in alone and "14 rpm/V" not in alone


@pytest.mark.parametrize("asked", ["motors.middle.kv_rpm_per_V", "motors.rear.nonsense"])
def test_a_quantity_of_a_motor_that_is_not_there_is_refused(
    asked: str, twin: Any, tmp_path: Path
) -> None:
    """One is not taken for the other."""
    with pytest.raises(UsageError, match="No quantity is called"):
        said(working, written(twin, tmp_path), asked)


def windows(path: Path, *arguments: Any, **options: Any) -> dict[str, Any]:
    record = json.loads(said(window, path, *arguments, form="json", **options))
    return {one["entered_as"]: one for one in record["windows"]}


def test_windows_are_named_as_the_settings_are_entered(twin: Any, tmp_path: Path) -> None:
    """Whoever changes it wants to know which line."""
    path = written(with_rear(twin, max_rpm=600), tmp_path)
    found = windows(path, "max_rpm")
    assert set(found) == {"settings.max_rpm", "motors.rear.settings.max_rpm"}
    assert found["settings.max_rpm"]["motors"] == ["front"]
    assert set(windows(path, "motors.rear.settings.max_rpm")) == {"motors.rear.settings.max_rpm"}
    text = said(window, path, "motor")
    assert "max_rpm rear" in text and "max_rpm front" in text
    assert "phase_current front" not in text and "for each of them alone" in " ".join(text.split())


def test_equal_windows_of_two_entries_are_one_row(twin: Any, tmp_path: Path) -> None:
    """A reader does not read the same twice."""
    text = said(window, written(with_rear(twin, max_rpm=620), tmp_path))
    assert text.count("max_rpm") == 1 and "max_rpm front and rear" in text


def test_a_window_of_a_mode_is_that_of_all_motors(twin: Any, tmp_path: Path) -> None:
    """A mode is entered once for the vehicle."""
    found = windows(written(twin, tmp_path), mode="walk")
    assert {name: one["hard"]["high"]["limit"] for name, one in found.items()} == {
        "modes.walk.battery_current_A": 30
    }
    assert "battery_current" in said(window, written(twin, tmp_path), mode="walk")


@pytest.mark.parametrize(
    ("asked", "complaint"),
    [
        ("max_rmp", "No setting is called"),
        ("motors.middle.settings.max_rpm", "no such motor"),
        ("pole_pairs", "has no window"),
    ],
)
def test_a_window_that_is_not_there_is_refused(
    asked: str, complaint: str, twin: Any, tmp_path: Path
) -> None:
    """One is not taken for the other."""
    with pytest.raises(UsageError, match=complaint):
        said(window, written(twin, tmp_path), asked)
