"""What a comparison and a hand-over record say of failures."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

import gonogo
import pytest
from gonogo.commands import diff, sheet
from gonogo.commands.schema import schemas, self_contained
from jsonschema import Draft202012Validator

ROOT = Path(__file__).parents[2]
BUILD = ROOT / "tests" / "hazards" / "base.yaml"
SHOP = ROOT / "examples" / "workshop" / "vehicles"
DAY = "2026-11-25"
WEAKENED = (
    "field_weakening_A_rms: 0\n  max_rpm: 4800",
    "field_weakening_A_rms: 60\n  max_rpm: 7400",
)


def changed(folder: Path, *edits: tuple[str, str]) -> Path:
    """The sound build with some texts in it changed."""
    text = BUILD.read_text("utf-8")
    for old, new in edits:
        assert old in text
        text = text.replace(old, new)
    path = folder / f"changed-{len(edits)}.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def compared(old: Path, new: Path, form: str = "json") -> str:
    out = io.StringIO()
    diff.run([str(old), str(new)], form=form, as_of=DAY, out=out)
    return out.getvalue()


def failures(old: Path, new: Path) -> dict[str, dict[str, Any]]:
    told = json.loads(compared(old, new))
    whole = schemas()
    Draft202012Validator(self_contained(whole["comparison"], whole)).validate(told)
    return {one["failure"]: one for one in told.get("failures", ())}


def test_a_tune_that_uncovers_a_failure_says_so(tmp_path: Path) -> None:
    """More speed by field weakening: the back-EMF passes what the controller withstands."""
    told = failures(BUILD, changed(tmp_path, WEAKENED))
    assert told["bms-opens-in-field-weakening"]["way"] == "uncovered"
    assert told["bms-opens-in-field-weakening"]["old"] is None
    lost = told["outputs-off-at-top-speed"]
    assert (lost["old"]["covered"], lost["new"]["covered"]) == (True, False)
    assert "throttle-ground-open" not in told


def test_the_way_back_covers_it_again(tmp_path: Path) -> None:
    told = failures(changed(tmp_path, WEAKENED), BUILD)
    assert {one["way"] for one in told.values()} == {"covered"}
    assert told["bms-opens-in-field-weakening"]["new"] is None


def test_a_reading_taken_out_leaves_a_failure_unknown(tmp_path: Path) -> None:
    told = failures(BUILD, changed(tmp_path, ("open_ground_V: 4.96, ", "")))
    assert told["throttle-ground-open"]["way"] == "not known"
    assert told["throttle-ground-open"]["new"]["missing"] == ["readings.throttle.open_ground_V"]


def test_a_change_without_failures_has_no_word_of_them(tmp_path: Path) -> None:
    calm = changed(tmp_path, ("ramp_ms: 250", "ramp_ms: 300"))
    assert "failures" not in json.loads(compared(BUILD, calm))
    assert "Failures" not in compared(BUILD, calm, "text")


def test_a_mode_is_told_where_the_base_settings_stay(tmp_path: Path) -> None:
    """A mode of its own that weakens the field; the base settings are as they were."""
    mode = "readings:\n  taken"
    calm, wild = (
        f"modes:\n  fast: {{field_weakening_A_rms: {ampere}, max_rpm: {rpm}}}\n{mode}"
        for ampere, rpm in ((0, 4800), (60, 7400))
    )
    old, new = changed(tmp_path, (mode, calm)), tmp_path / "wild.yaml"
    new.write_text(BUILD.read_text("utf-8").replace(mode, wild), encoding="utf-8")
    told = failures(old, new)
    assert told["outputs-off-at-top-speed"]["modes"] == ["fast"]
    assert "in mode fast" in compared(old, new, "text")


def test_each_of_several_motors_has_its_failures() -> None:
    """Motors alike have theirs once."""
    whole = gonogo.rehearse(SHOP / "bindweed.yaml", as_of=DAY)[""]
    names = [(one.failure, one.motor) for one in whole]
    assert len(set(names)) == len(names)
    assert ("throttle-ground-open", "") in names
    assert {motor for _, motor in names} <= {"", "left", "right"}


def test_what_motors_share_is_their_sum() -> None:
    """The precharge of Bindweed fills both controllers, 1500 µF each, from 16 cells of 3.65 V."""
    whole = gonogo.rehearse(SHOP / "bindweed.yaml", as_of=DAY)[""]
    (precharge,) = [one for one in whole if one.failure == "precharge-fails"]
    (energy,) = [one for one in precharge.effect if one.unit == "J"]
    assert energy.value == pytest.approx(2 * 1500e-6 * (16 * 3.65) ** 2 / 2)


@pytest.mark.parametrize("form", ["text", "html"])
def test_the_hand_over_record_says_what_catches_a_failure(form: str) -> None:
    out = io.StringIO()
    sheet.run(SHOP / "yarrow.yaml", form=form, as_of=DAY, out=out)
    text = out.getvalue()
    assert "What catches a failure" in text
    assert "contactor welded shut" in text and "catastrophic" in text
