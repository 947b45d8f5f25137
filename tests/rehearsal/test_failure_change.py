"""What a comparison and a hand-over record say of failures."""

from __future__ import annotations

import io
import json
import shutil
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


def with_a_wild_mode(folder: Path) -> tuple[Path, Path]:
    """The sound build with a calm mode, and with one that weakens the field."""
    mode = "readings:\n  taken"
    calm, wild = (
        f"modes:\n  fast: {{field_weakening_A_rms: {ampere}, max_rpm: {rpm}}}\n{mode}"
        for ampere, rpm in ((0, 4800), (60, 7400))
    )
    old, new = changed(folder, (mode, calm)), folder / "wild.yaml"
    new.write_text(BUILD.read_text("utf-8").replace(mode, wild), encoding="utf-8")
    return old, new


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


def test_a_grave_failure_that_is_uncovered_is_told_first_and_counts(tmp_path: Path) -> None:
    """With its cause in the head, and a status that stops a merge, as a new fault has."""
    new = changed(tmp_path, WEAKENED)
    told = json.loads(compared(BUILD, new))
    assert told["harms"] is True
    harm = {one["failure"] for one in told["failures"] if one["harms"]}
    assert {"bms-opens-in-field-weakening", "outputs-off-at-top-speed"} <= harm
    head = compared(BUILD, new, "text").split("worst new")[0]
    assert "catastrophic: nothing catches any more" in head and "max_rpm 4800" in head


def gears(folder: Path) -> tuple[Path, Path]:
    """Bracken geared higher, and as it is: a shorted output stage brakes harder than the tyre grips."""
    vehicles = Path(shutil.copytree(SHOP.parent, folder / "workshop")) / "vehicles"
    old, new = vehicles / "higher.yaml", vehicles / "bracken.yaml"
    text = new.read_text("utf-8")
    for was, now in (("driven_teeth: 42", "driven_teeth: 38"), ("ratio: 8.08", "ratio: 7.31")):
        assert was in text
        text = text.replace(was, now)
    old.write_text(text, encoding="utf-8")
    return old, new


def test_no_rule_finds_it_and_still_it_harms(tmp_path: Path) -> None:
    """GO on both sides; of the failure alone comes the status, the word in one line too."""
    old, new = gears(tmp_path)
    out = io.StringIO()
    assert diff.run([str(old), str(new)], as_of=DAY, out=out, quiet=True) == 1
    assert "1 catastrophic failure uncovered" in out.getvalue()
    told = compared(old, new, "text")
    assert "no finding is new or worse, but 1 failure uncovered" in told.replace(
        "\n                 ", " "
    )
    assert not any(one["harms"] for one in failures(new, old).values())


def test_what_nobody_knew_before_is_no_harm(tmp_path: Path) -> None:
    """An entry that tells at last that nothing catches it was not made worse by being told."""
    unknown = changed(tmp_path, ("open_ground_V: 4.96, ", ""))
    known = tmp_path / "known.yaml"
    known.write_text(BUILD.read_text("utf-8").replace("open_ground_V: 4.96", "open_ground_V: 4.3"))
    told = failures(unknown, known)["throttle-ground-open"]
    assert (told["way"], told["harms"]) == ("uncovered", False)
    assert failures(BUILD, known)["throttle-ground-open"]["harms"] is True


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
    old, new = with_a_wild_mode(tmp_path)
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
