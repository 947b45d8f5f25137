"""Changes: each with its unit, step and share, and what only looks like one."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import pytest
from gonogo.comparison.change import ValueChange
from gonogo.comparison.comparison import Comparison

from .revision import Plain, changed, compared, compared_texts

pytestmark = pytest.mark.usefixtures("frozen")
Alter = Callable[[Mapping[str, Any]], Comparison]
PART = """\
gonogo: part/1
part: {name: %s, source: {title: Datasheet}}
motor:
  kv_rpm_per_V: 70
  phase_to_neutral_mohm: 7
"""


def only(compared: Comparison) -> ValueChange:
    """The one change that was made."""
    (change,) = compared.made
    return change


def test_a_setting_is_told_with_unit_step_and_share(alter: Alter) -> None:
    """75 A to 95 A is 20 A more, 27 %, in steps of 1 A."""
    change = only(alter({"settings.battery_current_A": 95}))
    assert (change.old, change.new, change.unit) == (75, 95, "A")
    assert (change.by, change.step, change.share) == (20, 1, pytest.approx(20 / 75, abs=1e-4))
    assert (change.kind, change.category, change.subsystem) == ("changed", "setting", "pack")


@pytest.mark.parametrize(
    ("changes", "kind", "old", "new"),
    [
        pytest.param({"settings.throttle.ramp_ms": None}, "removed", 240, None, id="taken away"),
        pytest.param({"vehicle.drag_area_m2": 0.6}, "added", None, 0.6, id="added"),
        pytest.param(
            {"settings.direction": "reversed"}, "changed", "forward", "reversed", id="text"
        ),
        pytest.param(
            {"readings.throttle.rest_V": 0.84}, "changed", (0.83, 0.84), (0.84,), id="list"
        ),
    ],
)
def test_a_key_that_comes_or_goes_is_said_to(
    alter: Alter, changes: Mapping[str, Any], kind: str, old: Any, new: Any
) -> None:
    """Added and removed are not changes from and to nought."""
    change = only(alter(changes))
    assert (change.kind, change.old, change.new) == (kind, old, new)


def test_a_temperature_has_a_difference_but_no_share(alter: Alter) -> None:
    """130 °C is not 4 % more than 125 °C."""
    change = only(alter({"settings.temperature.motor.stop_degC": 130}))
    assert (change.by, change.share) == (5, None)


def test_the_same_current_as_peak_is_no_change(alter: Alter) -> None:
    """200 A rms is 282.8 A peak, entered as 283: the same as far as a step goes."""
    told = alter({"settings.phase_current_A_rms": None, "settings.phase_current_A_peak": 283})
    assert told.made == () and told.consequences == ()
    (spelt,) = told.equivalent
    assert (spelt.old_as, spelt.entered_as) == (
        "settings.phase_current_A_rms",
        "settings.phase_current_A_peak",
    )


def test_another_current_as_peak_is_a_change_in_peak(alter: Alter) -> None:
    """200 A rms to 300 A peak: both told in the unit of the new key."""
    told = alter({"settings.phase_current_A_rms": None, "settings.phase_current_A_peak": 300})
    change = only(told)
    assert change.unit == "A_peak"
    assert change.old == pytest.approx(200 * 2**0.5) and change.new == 300


def test_a_resistance_from_line_to_line_is_no_change(alter: Alter) -> None:
    """14 mohm from line to line are 7 mohm to neutral."""
    assert alter({"motor.phase_to_neutral_mohm": None, "motor.line_to_line_mohm": 14}).is_empty


def test_a_value_moved_into_a_part_is_no_change(bike: Plain) -> None:
    """A tidy repository keeps datasheets in parts."""
    new = changed(bike, {"motor.kv_rpm_per_V": None, "motor.phase_to_neutral_mohm": None})
    new = changed(new, {"motor.part": "hub.yaml"})
    told = compared(bike, new, hub=PART % "Hub")
    assert told.is_empty and told.rewritten
    assert [(one.quantity, one.new) for one in told.equivalent] == [("motor.part", "Hub")]


def test_another_part_is_a_change_even_with_the_same_figures(bike: Plain) -> None:
    """A motor exchanged for one of its kind has its sensor somewhere else."""
    old = changed(bike, {"motor.part": "hub.yaml"})
    new = changed(bike, {"motor.part": "twin.yaml"})
    told = compared(old, new, hub=PART % "Hub", twin=PART % "Twin")
    assert [one.quantity for one in told.made] == ["motor.part"]
    assert any("motor.part" in one.changed for one in told.follow_ups)


def test_a_part_that_was_only_renamed_is_no_change(bike: Plain) -> None:
    """What a part is called on its datasheet counts, not its file."""
    old = changed(bike, {"motor.part": "hub.yaml"})
    new = changed(bike, {"motor.part": "parts/motors/hub.yaml"})
    hub = PART % "Hub"
    assert compared(old, new, hub=hub, parts__motors__hub=hub).made == ()


def test_a_section_said_to_be_none_takes_its_values_away(alter: Alter) -> None:
    """No regen any more: the section and all that it held."""
    told = alter({"settings.regen": "none"})
    assert {one.quantity: one.new for one in told.made}["settings.regen"] == "none"
    assert all(one.kind == "removed" for one in told.made if one.quantity != "settings.regen")


def test_modes_stand_apart_from_the_base_settings(alter: Alter) -> None:
    """What changes while riding is another chapter; a new mode says so."""
    told = alter({"settings.max_rpm": 4100, "modes.road.max_rpm": 3000})
    assert [(one.mode, one.quantity) for one in told.made] == [
        ("", "settings.max_rpm"),
        ("road", "modes.road"),
        ("road", "settings.max_rpm"),
    ]


def test_settings_come_before_the_build_and_readings_last(alter: Alter) -> None:
    """A tune is read first, then what it was made for."""
    changes = {
        "readings.pack_V": 66.0,
        "pack.parallel": 7,
        "settings.throttle.ramp_ms": 200,
        "settings.battery_current_A": 80,
    }
    assert [one.category for one in alter(changes).made] == [
        "setting",
        "setting",
        "build",
        "reading",
    ]


def test_a_house_file_is_part_of_what_a_profile_comes_to(bike: Plain) -> None:
    """An allowance moves limits, and a waiver is on paper too."""
    import json

    files = {"bike.yaml": json.dumps(bike)}
    new = changed(bike, {"waivers": [{"rule": "battery-current-near-fuse", "reason": "Only for the test day.", "until": "2026-12-01"}]})  # fmt: skip
    house = "gonogo: house/1\nallowances: {drop_percent: 2}\nseverities: {battery-current-near-fuse: fault}\n"
    told = compared_texts(files, {"bike.yaml": json.dumps(new), "house.yaml": house})
    assert {one.quantity: one.new for one in told.made} == {
        "house.drop_percent": 2,
        "severities.battery-current-near-fuse": "fault",
        "waivers.battery-current-near-fuse.reason": "Only for the test day.",
        "waivers.battery-current-near-fuse.until": "2026-12-01",
    }
    assert {one.category for one in told.made} == {"record"}
