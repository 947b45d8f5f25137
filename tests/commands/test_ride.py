"""`gonogo ride`: the figures of each mode on the screen, on a page and for machines; and slips."""

from __future__ import annotations

import io
import json
import re
import subprocess
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import gonogo
import pytest
from gonogo.commands import ride
from gonogo.commands.main import status
from gonogo.documents.error import UsageError
from gonogo.reports.ride_page import ride_page
from gonogo.reports.section import Table
from gonogo.riding.ride_figures import Figure
from jsonschema import Draft202012Validator

WORKSHOP = Path(__file__).parents[2] / "examples" / "workshop"
VEHICLES = WORKSHOP / "vehicles"
DAY = "2026-11-25"
EXAMPLES = sorted(VEHICLES.glob("*.yaml"))
CONTRACT = {
    "mode",
    "top_speed_km_h",
    "limited_by",
    "peak_force_N",
    "steepest_start_percent",
    "zero_to_50_s",
    "range_km",
    "regen_deceleration_m_per_s2",
    "minutes_to_taper",
    "minutes_to_stop",
    "points",
}


def said(path: Path, form: str = "text", **options: str) -> str:
    out = io.StringIO()
    assert ride.run(path, form=form, as_of=DAY, out=out, **options) == 0  # type: ignore[arg-type]
    return out.getvalue()


def record(path: Path, **options: str) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(said(path, "json", **options))
    return told


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_has_a_ride_that_fits_its_schema_and_its_screen(path: Path) -> None:
    """What is null says why; nothing is NaN; a screen keeps its width."""
    schema = json.loads(files("gonogo.schemas").joinpath("ride.schema.json").read_text("utf-8"))
    told = record(path)
    Draft202012Validator(schema).validate(told)
    for one in told["rides"]:
        assert one.keys() >= CONTRACT
        absent = {name for name in one["why"] if one[name] is None}
        assert one["why"].keys() - absent <= {"range_km", "stop_and_go_range_km"}
        assert all(one["bounds"][name]["high"] == one[name] for name in one["why"].keys() - absent)
        nulls = {name for name in CONTRACT - {"mode", "limited_by"} if one[name] is None}
        assert nulls <= absent
    screen = said(path)
    assert max(map(len, screen.splitlines())) <= 80


def test_the_screen_is_as_kept(expect: Any) -> None:
    """One with all its figures, on a grade."""
    expect("screens/ride.txt", said(VEHICLES / "bracken.yaml", mode="trail", grade="6.5"))


def test_figures_of_a_vehicle_that_is_no_go_say_so_before_all_else(tmp_path: Path) -> None:
    """Clean figures look like a leave to ride; each mode's card, the page and the record name the danger."""
    shop = tmp_path / "workshop"
    subprocess.run(["cp", "-r", str(WORKSHOP), str(shop)], check=True)
    path = shop / "vehicles" / "teasel.yaml"
    text = path.read_text("utf-8")
    path.write_text(re.sub(r"(\n  battery_current_A:) \d+", r"\1 400", text), "utf-8")
    judged = gonogo.check(path, as_of=DAY)
    assert judged.verdict == "no-go"
    (worst, *_) = [one for one in judged.findings if not one.waived]
    told = record(path)
    assert told["verdict"] == "no-go" and told["gravest"]["message"] == worst.message
    screen = said(path)
    assert screen.startswith(" ▐ RIDE · NO-GO")
    assert screen.count("NO-GO for a ride: these figures are not for riding") == 3
    assert screen.index("gonogo check vehicles/teasel.yaml") < screen.index("top speed")
    page = said(path, "html")
    assert page.index("these figures are not for riding") < page.index("top speed")
    assert "gonogo check" in page


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_the_verdict_of_the_figures_is_that_of_the_check(path: Path) -> None:
    """A GO adds no word; anything less says what it is, and which finding weighs most."""
    told, judged = record(path), gonogo.check(path, as_of=DAY)
    assert told["verdict"] == judged.verdict
    assert (told["gravest"] is None) == (judged.verdict in ("go", "incomplete"))
    assert ("gonogo check" in said(path)) == (judged.verdict != "go")


def test_the_base_settings_come_first_and_then_each_mode() -> None:
    modes = [one["mode"] for one in record(VEHICLES / "teasel.yaml")["rides"]]
    assert modes == [None, "junior", "wet"]
    assert [one["mode"] for one in record(VEHICLES / "teasel.yaml", mode="wet")["rides"]] == ["wet"]


def test_a_point_by_hand() -> None:
    """Teasel at 46 km/h: 140 A from 80.3 V less its sag, 0.96 to the motor, less the copper, 0.95 to
    the wheel."""
    points = record(VEHICLES / "teasel.yaml")["rides"][0]["points"]
    point = next(one for one in points if one["speed_km_h"] == 46)
    copper_W = 3 * 0.004 * (1 + 0.00393 * 60) * point["phase_current_A_rms"] ** 2
    shaft_W = 140 * point["pack_V"] * 0.96 - copper_W
    assert point["force_N"] == pytest.approx(0.95 * shaft_W / (46 / 3.6), rel=1e-4)
    assert point["limited_by"] == "settings.battery_current_A"


@pytest.mark.parametrize("path", [VEHICLES / "bracken.yaml", VEHICLES / "vetch.yaml"])
def test_a_page_stands_alone_and_its_drawing_is_whole(path: Path) -> None:
    """No script, nothing from outside; the drawing is well-formed and told in words."""
    page = said(path, "html", grade="8")
    assert "<script" not in page and not re.search(r"(src|href)=[\"'](?!#)", page)
    drawings = re.findall(r"<svg.*?</svg>", page, re.DOTALL)
    assert drawings
    for text in drawings:
        drawing = ElementTree.fromstring(text)
        assert drawing.get("role") == "img" and "km/h" in (drawing.get("aria-label") or "")
        lines = [line.get("points", "").split() for line in drawing.iter("polyline")]
        assert len(lines) == 3
        places = [tuple(map(float, place.split(","))) for line in lines for place in line]
        assert all(0 <= x <= 640 and -400 <= y <= 320 for x, y in places)


def test_a_revision_is_told_beside_it(tmp_path: Path) -> None:
    """Half the speed limit, and the screen says what it was."""
    text = (VEHICLES / "bracken.yaml").read_text("utf-8")
    shop = tmp_path / "workshop"
    subprocess.run(["cp", "-r", str(WORKSHOP), str(shop)], check=True)
    path = shop / "vehicles" / "bracken.yaml"
    author = ("-c", "user.name=Test", "-c", "user.email=test@example.org")
    for words in (("init", "--quiet"), ("add", "."), (*author, "commit", "-qm", "First")):
        subprocess.run(["git", *words], cwd=shop, check=True)
    path.write_text(re.sub(r"(\n  max_rpm:) \d+", r"\1 1500", text), "utf-8")
    told = record(path, against="HEAD")
    assert told["against"]["revision"] == "HEAD"
    then, now = told["against"]["rides"][0], told["rides"][0]
    assert then["top_speed_km_h"] > now["top_speed_km_h"]
    assert now["limited_by"] == "settings.max_rpm"
    screen = said(path, against="HEAD")
    assert "against HEAD" in screen and "then" in screen


def test_another_file_is_told_beside_it_with_the_difference(tmp_path: Path) -> None:
    """Both ranges at one speed: at its own slower cruise the slower vehicle goes further."""
    text = (VEHICLES / "bracken.yaml").read_text("utf-8")
    shop = tmp_path / "workshop"
    subprocess.run(["cp", "-r", str(WORKSHOP), str(shop)], check=True)
    slow = shop / "vehicles" / "slow.yaml"
    slow.write_text(re.sub(r"(\n  max_rpm:) \d+", r"\1 1500", text), "utf-8")
    path = shop / "vehicles" / "bracken.yaml"
    told = record(path, against=str(slow))
    then, now = told["against"]["rides"][0], told["rides"][0]
    assert told["against"]["revision"] == str(slow)
    assert then["cruise_km_h"] == now["cruise_km_h"]
    assert then["bounds"]["range_km"] == now["bounds"]["range_km"]
    assert then["schedule"] == now["schedule"]
    by = now["top_speed_km_h"] - then["top_speed_km_h"]
    assert by > 0
    screen = said(path, against=str(slow))
    assert re.search(rf"top speed .*\+{by:.3g} km/h", screen)


def test_ranges_of_two_cycles_are_not_subtracted(tmp_path: Path) -> None:
    """One cycle for both where there is one that both keep up with; else no difference, and why."""
    text = (VEHICLES / "bracken.yaml").read_text("utf-8")
    shop = tmp_path / "workshop"
    subprocess.run(["cp", "-r", str(WORKSHOP), str(shop)], check=True)
    path, other = shop / "vehicles" / "bracken.yaml", shop / "vehicles" / "slow.yaml"
    alone = record(path)["rides"][0]["schedule"]
    for rpm, common in ((2000, True), (300, False)):
        other.write_text(re.sub(r"(\n  max_rpm:) \d+", rf"\1 {rpm}", text), "utf-8")
        told = record(path, against=str(other))
        then, now = told["against"]["rides"][0], told["rides"][0]
        assert (then["schedule"] == now["schedule"]) is common
        assert (now["schedule"] == alone) is not common
        if common:
            name = "stop_and_go_range_km"
            assert then["bounds"][name] == now["bounds"][name]
        screen = said(path, against=str(other))
        assert f"range at {now['cruise_km_h']:g} km/h" in screen
    (now_,) = gonogo.ride(path, mode="trail", as_of=DAY)
    then_ = replace(now_, schedule="SAE J227a schedule A", stop_and_go_range_km=Figure(9.0, 9.0))
    page = ride_page([now_], gonogo.check(path, as_of=DAY), against=("HEAD", [then_]))
    (table,) = (block for block in page.cards[0].sections[2].blocks if isinstance(block, Table))
    (row,) = (cells for cells in table.rows if "stop and go, schedule C" in cells[0])
    assert row[1] == ("9 km, schedule A",) and row[3] == ("not comparable",)


def test_a_controller_that_tapers_first_is_told_so_everywhere(tmp_path: Path) -> None:
    """Rated for two thirds of what the hill takes, it is hot long before the motor."""
    shop = tmp_path / "workshop"
    subprocess.run(["cp", "-r", str(WORKSHOP), str(shop)], check=True)
    part = shop / "parts" / "controllers" / "96v-260a.yaml"
    weak = part.read_text("utf-8").replace("continuous_A_rms: 250", "continuous_A_rms: 80")
    weak = weak.replace("_A_rms: 520", "_A_rms: 200").replace("burst_s: 120", "burst_s: 60")
    part.write_text(weak, "utf-8")
    path = shop / "vehicles" / "teasel.yaml"
    (told, *_) = record(path, grade="30")["rides"]
    assert told["hill"]["tapers_first"] == "controller"
    assert told["hill"]["phase_current_A_rms"] == pytest.approx(1.5 * 80, rel=0.02)
    taper = told["bounds"]["controller_minutes_to_taper"]
    assert 0 < taper["low"] < taper["high"] < told["bounds"]["minutes_to_taper"]["low"]
    shown = f"{taper['low']:.2g} to {taper['high']:.2g} min until its temperature taper"
    screen = said(path, grade="30", mode="junior") + said(path, grade="30")
    assert "the controller tapers first" in screen and shown in screen
    assert "the controller tapers first" in said(path, "html", grade="30")
    assert told["why"].keys() >= {"controller_minutes_to_taper", "controller_minutes_to_stop"}


def test_several_motors_push_together_and_each_is_told() -> None:
    """Bindweed's two alike: each half of the force and of the battery's current, inside 30 A each."""
    told = record(VEHICLES / "bindweed.yaml")["rides"][0]
    for point in told["points"]:
        left, right = point["motors"]
        assert (left["motor"], right["motor"]) == ("left", "right")
        assert left["force_N"] == right["force_N"]
        assert point["force_N"] == pytest.approx(2.0 * left["force_N"], rel=1e-5)
        assert point["battery_current_A"] == pytest.approx(60.0, rel=1e-5) or (
            left["battery_current_A"] < 30.0
        )
    assert len(gonogo.ride(VEHICLES / "bindweed.yaml", as_of=DAY)) == 2


@pytest.mark.parametrize("grade", ["nan", "-3", "8 km/h", "61", "x", "", "1e9", "٣"])
def test_a_grade_that_cannot_be_is_refused(grade: str) -> None:
    with pytest.raises(UsageError, match="--grade"):
        said(VEHICLES / "vetch.yaml", grade=grade)


@pytest.mark.parametrize("grade", ["8", "8%", " 8 percent", "8.0"])
def test_a_grade_is_in_percent(grade: str) -> None:
    assert record(VEHICLES / "bracken.yaml", grade=grade)["rides"][0]["grade_percent"] == 8


def test_a_cruise_is_stated() -> None:
    told = record(VEHICLES / "bracken.yaml", cruise="30 km/h")["rides"][0]
    assert told["cruise_km_h"] == 30
    faster = record(VEHICLES / "bracken.yaml", cruise="60")["rides"][0]
    assert told["bounds"]["range_km"]["high"] > faster["bounds"]["range_km"]["high"]
    with pytest.raises(UsageError, match="--cruise"):
        said(VEHICLES / "bracken.yaml", cruise="30%")


def test_a_script_has_the_same_ride_and_can_ask_twice() -> None:
    """The function is still there after the modules behind it were read."""
    for _ in range(2):
        (told,) = gonogo.ride(VEHICLES / "teasel.yaml", mode="wet", as_of=DAY)
    (same,) = record(VEHICLES / "teasel.yaml", mode="wet")["rides"]
    assert told.top_speed_km_h.value == pytest.approx(same["top_speed_km_h"], rel=1e-5)
    with pytest.raises(UsageError, match="junior, wet"):
        gonogo.ride(VEHICLES / "teasel.yaml", mode="dry")
    with pytest.raises(UsageError, match="finite"):
        gonogo.ride(VEHICLES / "teasel.yaml", grade_percent=float("nan"))


def test_a_slip_at_the_shell_is_answered_in_a_sentence(capsys: pytest.CaptureFixture[str]) -> None:
    assert status(["ride", str(VEHICLES / "teasel.yaml"), "--mode", "dry"]) == 2
    assert status(["ride", "nothing.yaml"]) == 3
    assert status(["ride", str(VEHICLES / "teasel.yaml"), "--format", "sarif"]) == 2
    assert "Traceback" not in capsys.readouterr().err


def test_a_vehicle_of_which_little_is_known_is_asked_for_the_rest(tmp_path: Path) -> None:
    """No figure, no guess, and what to enter."""
    path = tmp_path / "wren.yaml"
    path.write_text("gonogo: profile/1\nvehicle: {name: Wren}\n", "utf-8")
    (told,) = record(path)["rides"]
    assert {told[name] for name in CONTRACT - {"mode", "points"}} == {None}
    assert told["points"] == []
    assert "drivetrain.ratio" in told["why"]["top_speed_km_h"]
    assert "not known" in said(path)
