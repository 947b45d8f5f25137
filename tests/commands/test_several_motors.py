"""Commands on a vehicle of several motors: each motor's own, what they share once, all as entered."""

from __future__ import annotations

import copy
import io
import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from gonogo import check
from gonogo.commands import fill, mend, window, working
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
    assert "phase_current front" not in text and "one alone is moved" in " ".join(text.split())


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


TEXT = (SOUND / "twin-hub-scooter.yaml").read_text("utf-8")
CART = (SOUND / "cart-with-two-rear-motors.yaml").read_text("utf-8")
LOW = "settings: {direction: reversed"


def corrected(text: str, folder: Path, command: Any = mend) -> tuple[str, str]:
    """What a command makes of a file, and what it says."""
    path = folder / "build.yaml"
    path.write_text(text, "utf-8")
    told = said(command, path, writes=True)
    return path.read_text("utf-8"), told


def lines_changed(old: str, new: str) -> list[tuple[str, str]]:
    pairs = zip(old.splitlines(), new.splitlines(), strict=True)
    return [(one.strip(), other.strip()) for one, other in pairs if one != other]


def test_mending_lowers_the_one_entry_of_both_motors(tmp_path: Path) -> None:
    """Two of 35 A on a pack of 60 A; every other byte stays."""
    hot = TEXT.replace("  battery_current_A: 22", "  battery_current_A: 35  # of each")
    new, told = corrected(hot, tmp_path)
    ((_, line),) = lines_changed(hot, new)
    assert line.startswith("battery_current_A: ") and line.endswith("  # of each")
    assert float(line.split()[1]) <= 30 and "Written" in told
    assert check(tmp_path / "build.yaml", as_of=DAY).verdict == "go"


def test_mending_keeps_motors_alike_that_have_entries_of_their_own(tmp_path: Path) -> None:
    """One wheel that pulls harder than the other steers."""
    hot = CART.replace(LOW, f"{LOW}, battery_current_A: 90, phase_current_A_rms: 200")
    right = hot.index("  right:")
    hot = hot[:right] + hot[right:].replace(
        "    readings:",
        "    settings: {battery_current_A: 90, phase_current_A_rms: 200}\n    readings:",
        1,
    )
    hot = hot.replace("  battery_current_A: 55\n", "").replace("  phase_current_A_rms: 110\n", "")
    new, _ = corrected(hot, tmp_path)
    motors = YAML(typ="safe").load(new)["motors"]
    currents = [
        (one["settings"]["battery_current_A"], one["settings"]["phase_current_A_rms"])
        for one in motors.values()
    ]
    assert currents[0] == currents[1] and currents[0][0] <= 75 and currents[0][1] <= 160
    assert check(tmp_path / "build.yaml", as_of=DAY).verdict == "go"


def test_mending_leaves_alone_a_motor_that_is_within_its_own_rating(tmp_path: Path) -> None:
    """The front hub's controller bears 30 A; the rear one stays at its 22 A."""
    hot = TEXT.replace(LOW, f"{LOW}, battery_current_A: 33").replace(
        "fuse: {rated_A: 60", "fuse: {rated_A: 80"
    )
    new, _ = corrected(hot, tmp_path)
    ((_, line),) = lines_changed(hot, new)
    assert "battery_current_A: 30" in line or "battery_current_A: 2" in line
    assert "  battery_current_A: 22\n" in new


def test_a_mode_of_all_motors_is_mended_in_the_mode(tmp_path: Path) -> None:
    """Two of 40 A when walking."""
    hot = TEXT.replace("walk: {battery_current_A: 10}", "walk: {battery_current_A: 40}")
    new, _ = corrected(hot, tmp_path)
    ((_, line),) = lines_changed(hot, new)
    assert line.startswith("walk: {battery_current_A: ")
    assert check(tmp_path / "build.yaml", as_of=DAY).verdict == "go"


def test_what_no_setting_can_mend_changes_nothing(tmp_path: Path) -> None:
    """A fuse of too few volts is for the spanner."""
    hot = TEXT.replace("rated_V: 80", "rated_V: 32")
    new, told = corrected(hot, tmp_path)
    assert new == hot and "NOT CHANGED" in told


def bare(text: str) -> str:
    """A file without settings and modes."""
    start, end = text.index("settings:\n"), text.index("motors:\n")
    whole = (text[:start] + text[end:]).split("modes:\n")[0]
    return whole.replace("    settings: {direction: reversed}\n", "")


@pytest.mark.parametrize("text", [TEXT, CART], ids=["two axles", "one axle"])
def test_first_values_of_alike_motors_are_one_entry(text: str, tmp_path: Path) -> None:
    """Only the direction of mirrored motors differs; together they stay within the pack."""
    new, told = corrected(bare(text), tmp_path, fill)
    whole = YAML(typ="safe").load(new)
    assert {tuple(one["settings"]) for one in whole["motors"].values()} == {("direction",)}
    current = whole["settings"]["battery_current_A"]
    assert 0 < 2 * current <= 0.71 * whole["pack"]["bms"]["continuous_A"] and "Written" in told
    assert check(tmp_path / "build.yaml", as_of=DAY).verdict == "go"
    again, told = corrected(new, tmp_path, fill)
    assert again == new and "Nothing to fill" in told


def test_first_values_of_unlike_motors_stand_under_each(tmp_path: Path) -> None:
    """The weaker motor gets less, and what both have in common is one entry."""
    text = bare(TEXT)
    rear = text.index("  rear:")
    text = text[:rear] + text[rear:].replace(
        "phase_current_A_rms: 25", "phase_current_A_rms: 20", 1
    )
    new, _ = corrected(text, tmp_path, fill)
    whole = YAML(typ="safe").load(new)
    front, rear_one = (one["settings"]["phase_current_A_rms"] for one in whole["motors"].values())
    assert rear_one < front and "phase_current_A_rms" not in whole["settings"]
    assert "max_rpm" in whole["settings"]


def test_what_one_motor_lacks_is_entered_under_it(tmp_path: Path) -> None:
    """The other has its own already, and keeps it."""
    text = TEXT.replace("  max_rpm: 620\n", "").replace(LOW, f"{LOW}, max_rpm: 500")
    new, _ = corrected(text, tmp_path, fill)
    motors = YAML(typ="safe").load(new)["motors"]
    assert motors["front"]["settings"]["max_rpm"] == 500
    assert motors["rear"]["settings"]["max_rpm"] > 0


def test_a_sound_vehicle_starts_nothing_that_advises() -> None:
    """Windows, courses and thresholds are for what is wrong; a GO is there at once."""
    asks = (
        "import sys; from gonogo import check; "
        f"print(check(sys.argv[1], as_of={DAY!r}).verdict, *sys.modules)"
    )
    command = [sys.executable, "-c", asks, str(SOUND / "twin-hub-scooter.yaml")]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    verdict, *modules = done.stdout.split()
    assert verdict == "go" and "gonogo.judgement.motors" in modules
    late = {"motor_entries", "motor_courses", "thresholds", "motor_advice"}
    assert late.isdisjoint(name.rpartition(".")[2] for name in modules)
