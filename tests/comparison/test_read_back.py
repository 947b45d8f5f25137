"""What was read back, in a comparison: each field by itself, and the work that a change asks for."""

from __future__ import annotations

from pathlib import Path

from gonogo import compare

BUILD = (Path(__file__).parents[1] / "hazards" / "base.yaml").read_text("utf-8")
DAY = "2026-11-25"


def side(folder: Path, name: str, values: str, build: str = BUILD) -> Path:
    path = folder / f"{name}.yaml"
    path.write_text(f'{build}  entered: {{done: "2026-11-02", values: {values}}}\n', "utf-8")
    return path


def test_another_field_that_differs_is_new(tmp_path: Path) -> None:
    """One difference that stood before does not hide the next."""
    old = side(tmp_path, "old", "{phase_current_A_rms: 354, battery_current_A: 110}")
    new = side(tmp_path, "new", "{phase_current_A_rms: 354, battery_current_A: 150}")
    compared = compare(old, new, as_of=DAY)
    ways = {
        change.finding.entered_as.rsplit(".")[-1]: change.way
        for change in compared.finding_changes
        if change.finding.rule.id == "entered-value-differs"
    }
    assert ways["battery_current_A"] == "introduced"
    assert ways["phase_current_A_rms"] == "standing"
    assert compared.harms


def test_a_changed_setting_is_read_back_again(tmp_path: Path) -> None:
    """Until then the vehicle may run on the old one, and what was read before no longer holds."""
    old = side(tmp_path, "old", "{battery_current_A: 110}")
    lower = BUILD.replace("battery_current_A: 110", "battery_current_A: 100")
    new = side(tmp_path, "new", "{battery_current_A: 110}", lower)
    compared = compare(old, new, as_of=DAY)
    assert compared.harms
    (work,) = [one for one in compared.follow_ups if "read these fields back" in one.do]
    assert work.changed == ("settings.battery_current_A",)


def test_another_firmware_asks_for_all_settings_again(tmp_path: Path) -> None:
    """What was read back was read of another program."""
    first = BUILD.replace("controller: {", "controller: {firmware: hare 3.1, ", 1)
    other = BUILD.replace("controller: {", "controller: {firmware: hare 3.2, ", 1)
    old = side(tmp_path, "old", "{battery_current_A: 110}", first)
    new = side(tmp_path, "new", "{battery_current_A: 110}", other)
    (work,) = compare(old, new, as_of=DAY).follow_ups
    assert "every setting back" in work.do
    assert work.changed == ("controller.firmware",)


def test_nothing_is_asked_where_no_setting_changed(tmp_path: Path) -> None:
    old = side(tmp_path, "old", "{battery_current_A: 110}")
    new = side(tmp_path, "new", "{battery_current_A: 110, direction: forward}")
    compared = compare(old, new, as_of=DAY)
    assert not [one for one in compared.follow_ups if "read these fields back" in one.do]
    assert not compared.harms
