"""`gonogo enter`: a sheet for every example, on the screen, for machines and on paper; slips at the shell."""

from __future__ import annotations

import io
import json
import re
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from gonogo import check, load
from gonogo.commands import enter
from gonogo.commands.main import status
from gonogo.commands.output import GO, INCOMPLETE, NO_GO, NOT_READ, USAGE
from gonogo.commands.proposal import opened as open_profile
from gonogo.documents.error import UsageError
from gonogo.judgement.hand_over import hand_over
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

EXAMPLES = Path(__file__).parents[2] / "examples"
VEHICLES = sorted((EXAMPLES / "workshop" / "vehicles").glob("*.yaml"))
DAY = "2026-11-25"
SOUND = Path(__file__).parents[1] / "hazards" / "base.yaml"
FULL = """gonogo: profile/1
vehicle: {name: "Wr<b>en", use: private_land, wheels: 3}
controller:
  max_V: 65
  phase_current_A_rms: 240
  fields: {phase_current_A_rms: {as: peak, name: "motor <i>amps"}}
pack: {full_V: 54.75}
settings: {battery_current_A: 75, phase_current_A_rms: 180, regen: none, max_rpm: 3300, direction: forward}
modes: {eco: {battery_current_A: 40}}
"""


def said(path: Path, form: str = "text", **asked: Any) -> tuple[int, str]:
    out = io.StringIO()
    ended = enter.run(path, form=form, as_of=DAY, out=out, **asked)
    return ended, out.getvalue()


@pytest.fixture
def wren(tmp_path: Path) -> Path:
    path = tmp_path / "wren.yaml"
    path.write_text(FULL, encoding="utf-8")
    return path


@pytest.mark.parametrize("path", VEHICLES, ids=lambda path: path.stem)
def test_every_example_gives_a_sheet(path: Path) -> None:
    """Every setting that it has, each in its window or told, on 80 columns and for machines."""
    ended, text = said(path, "json")
    assert ended in (GO, NO_GO, INCOMPLETE)
    told = json.loads(text)
    schema = json.loads(files("gonogo.schemas").joinpath("entries.schema.json").read_text("utf-8"))
    Draft202012Validator(schema).validate(told)
    profile = load(path)
    for own in (profile.motors or {"": profile}).values():
        names = {name for name in own.givens if name.startswith("settings.")}
        gone = tuple(f"{name}." for name in own.absent)
        entered = {
            own.givens[name].entered_as
            for name in names
            if own.givens[name].value != "fitted" and not name.startswith(gone)
        }
        found = {re.sub(r"^motors\.[^.]+\.", "", one["setting"]) for one in told["fields"]}
        assert {re.sub(r"^motors\.[^.]+\.", "", key) for key in entered} <= found
    for one in told["fields"]:
        low, high = one["window"]["low"], one["window"]["high"]
        inside = [end is None or one["exact"] is None for end in (low, high)]
        was_inside = (inside[0] or low <= one["exact"]) and (inside[1] or one["exact"] <= high)
        if was_inside and isinstance(one["value"], int | float):
            assert low is None or one["value"] >= low - 1e-9
            assert high is None or one["value"] <= high + 1e-9
    _, screen = said(path)
    assert max(map(len, screen.splitlines())) <= 80
    assert "Local law and a qualified person" in screen


def test_the_order_is_that_of_the_work(wren: Path) -> None:
    """Battery first, then what limits the motor; modes behind the base."""
    _, text = said(wren, "json")
    told = [(one["setting"], one["mode"]) for one in json.loads(text)["fields"]]
    assert told == [
        ("settings.battery_current_A", None),
        ("settings.phase_current_A_rms", None),
        ("settings.direction", None),
        ("settings.regen", None),
        ("settings.max_rpm", None),
        ("settings.battery_current_A", "eco"),
    ]


def test_a_field_says_how_it_asks_and_what_is_exact(wren: Path) -> None:
    """180 A rms are 254.56 A peak, and no limit is rounded up."""
    _, text = said(wren, "json")
    one = json.loads(text)["fields"][1]
    assert (one["as"], one["unit"], one["value"]) == ("peak", "A_peak", 254)
    assert one["exact"] == pytest.approx(254.558441, abs=1e-6)
    assert one["held"] is None


def test_a_mode_alone_is_asked_for(wren: Path) -> None:
    _, text = said(wren, "json", mode="eco")
    assert [one["mode"] for one in json.loads(text)["fields"]] == ["eco"]
    with pytest.raises(UsageError, match="no such mode"):
        said(wren, mode="ecco")


def test_the_page_is_whole_and_takes_no_markup(wren: Path, tmp_path: Path) -> None:
    """Names come from strangers' files, and the page is mailed about."""
    _, page = said(wren, "html")
    assert page.startswith("<!DOCTYPE html>")
    assert "<b>en" not in page and "<i>amps" not in page
    assert "☐" in page and "254\u00a0A peak" in page
    assert "src=" not in page and "<link" not in page


def test_a_motor_has_its_settings_under_its_name(capsys: pytest.CaptureFixture[str]) -> None:
    """A vehicle with two controllers is entered controller by controller."""
    path = next(path for path in VEHICLES if load(path).motors)
    names = list(load(path).motors)
    _, screen = said(path)
    assert all(f"Motor {name}" in screen for name in names)
    _, text = said(path, "json")
    motors = {one["setting"].split(".")[1] for one in json.loads(text)["fields"]}
    assert motors == set(names)


@pytest.mark.parametrize(
    ("asked", "expected"),
    [
        (["max_rpm"], "expected SETTING=FORM"),
        (["max_rpm=rms"], "expected one of mechanical, electrical"),
        (["max_rmp=electrical"], "Did you mean max_rpm"),
        (["=peak"], "expected SETTING=FORM"),
    ],
)
def test_a_slip_is_answered_with_what_is_wanted(
    asked: list[str], expected: str, wren: Path
) -> None:
    with pytest.raises(UsageError, match=expected):
        said(wren, forms=asked)


def test_other_words_for_a_form_are_known(wren: Path) -> None:
    """As screens and manuals write them."""
    for word in ("electrical", "eRPM", "electrical rpm"):
        with pytest.raises(UsageError, match="expected one of rms"):
            said(wren, forms=[f"phase_current_A_rms={word}"])
    _, text = said(wren, "json", forms=["settings.phase_current_A_rms=A_rms"])
    assert json.loads(text)["fields"][1]["value"] == 180


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ("{battery_current_A: -3}", "from 0 to"),
        ("{battery_current_A: .nan}", "`.nan`"),
        ("{battery_current_A: 75 A}", "without its unit"),
        ("{batery_current_A: 75}", "battery_current_A"),
        ("{direction: backward}", "forward"),
        ("{low_voltage: {cutoff_V: 42}}", "`low_voltage.taper_from_V`"),
    ],
)
def test_a_reading_that_cannot_be_is_answered(
    values: str, expected: str, wren: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """With its line, what was found and what is wanted."""
    wren.write_text(f"{FULL}readings: {{entered: {{values: {values}}}}}\n", encoding="utf-8")
    assert status(["enter", str(wren)]) == NOT_READ
    answer = capsys.readouterr()
    assert expected in answer.out + answer.err
    assert "Traceback" not in answer.out + answer.err


def test_a_format_that_is_not_there_is_answered(
    wren: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert status(["enter", str(wren), "--format", "pdf"]) == USAGE
    assert "text, json, html" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("settings", "stand", "against"),
    [
        pytest.param({}, "go", "", id="sound"),
        pytest.param({"max_rpm": 4800}, "go", "Against a ride", id="a ride alone"),
        pytest.param({"battery_current_A": 160}, "no-go", "Cannot be entered", id="the stand"),
    ],
)
def test_check_sheet_and_entries_have_one_verdict(
    settings: dict[str, Any], stand: str, against: str, tmp_path: Path
) -> None:
    """Who reads GO in one place and FAULT in another believes neither; no value past its end is typed."""
    whole = YAML(typ="safe").load(SOUND)
    whole["vehicle"] |= {"use": "street", "speed_limit_km_h": 45}
    whole["settings"] |= {"max_rpm": 2600, **settings}
    path = tmp_path / "build.yaml"
    with path.open("w", encoding="utf-8") as stream:
        YAML(typ="safe").dump(whole, stream)
    judged = check(path, as_of=DAY)
    opened = open_profile(path, DAY)
    over = hand_over(opened.profile, opened.catalogue, DAY, opened.repository.files)
    assert judged.stages["stand"] == over.verdict("stand") == over.sheet.verdict("stand") == stand
    assert judged.stages["ride"] == over.verdict("ride")
    ended, text = said(path)
    assert ended == {"go": GO, "no-go": NO_GO}[stand]
    assert f" ▐ {stand.upper()} (with these values, for the stand)" in text
    assert against in text and ("FAULT" in text or "DANGER" in text) == bool(against)
    outside = {one.quantity for one in over.sheet.fields if one.value is None}
    assert outside == {f"settings.{name}" for name in settings}


def test_a_difference_says_what_was_read(wren: Path) -> None:
    """`differs` alone sends the mechanic back to the display."""
    text = wren.read_text(encoding="utf-8")
    text += "readings: {entered: {values: {battery_current_A: 95, direction: forward}}}\n"
    wren.write_text(text, encoding="utf-8")
    lines = said(wren)[1].splitlines()
    (line,) = [one for one in lines if "battery current limit" in one and " 75 A" in one]
    assert line.endswith("shows 95 A")
    assert any("direction setting" in one and one.endswith("held") for one in lines)


def test_an_exact_value_has_as_many_figures_as_tell_it_apart(wren: Path) -> None:
    assert "exactly 254.6 A peak" in said(wren)[1]


def test_a_waived_value_says_so_in_its_row() -> None:
    path = EXAMPLES / "workshop" / "vehicles" / "yarrow.yaml"
    words = " ".join(said(path)[1].split())
    assert "waived until 2027-06-30 up to 1400 mm" in words


def test_the_step_of_a_field_is_no_limit_of_its_window(tmp_path: Path) -> None:
    """Up to 150 A may be set; that the field goes by 7 A is told beside it."""
    text = SOUND.read_text("utf-8")
    fields = "controller: {fields: {battery_current_A: {step: 7}}, "
    path = tmp_path / "stepped.yaml"
    path.write_text(text.replace("controller: {", fields, 1), "utf-8")
    _, screen = said(path)
    (row,) = [line for line in screen.splitlines() if "battery current limit " in line][:1]
    assert "105 A" in row and "up to 150 A" in row
    assert "exactly 110 A · in steps of 7 A" in screen
    _, plain = said(SOUND)
    assert "in steps of" not in plain
