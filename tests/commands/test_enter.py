"""`gonogo enter`: a sheet for every example, on the screen, for machines and on paper; slips at the shell."""

from __future__ import annotations

import io
import json
import re
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from gonogo import load
from gonogo.commands import enter
from gonogo.commands.main import status
from gonogo.commands.output import GO, INCOMPLETE, NO_GO, NOT_READ, USAGE
from gonogo.documents.error import UsageError
from jsonschema import Draft202012Validator

EXAMPLES = Path(__file__).parents[2] / "examples"
VEHICLES = sorted((EXAMPLES / "workshop" / "vehicles").glob("*.yaml"))
DAY = "2026-11-25"
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
