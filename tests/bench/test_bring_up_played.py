"""`gonogo bringup` at a pseudo-terminal: sound vehicles come to a ride, planted faults are found."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import gonogo
import pytest
from gonogo.judgement.bring_up_steps import BringUpStep, bring_up_steps

from .stand import DAY, SOUND, begun, on_the_stand, played, somebody
from .terminal import bring_up, entry_asked


@pytest.mark.parametrize(
    ("vehicle", "columns"),
    [("scooter", 80), ("trike", 80), ("chair", 50), ("bike", 120)],
    ids=list(SOUND),
)
def test_a_sound_vehicle_is_brought_up_to_a_ride(
    vehicle: str, columns: int, tmp_path: Path
) -> None:
    """Each step judged well, the profile GO for a ride, and no line wider than the screen."""
    path = on_the_stand(tmp_path, vehicle)
    session = played(path, SOUND[vehicle], columns)
    assert session.status == 0, session.screen
    assert "measure again" not in session.words and "stop here" not in session.words
    judgement = gonogo.check(path, DAY)
    assert judgement.verdict == "go", [one.message for one in judgement.findings]
    assert judgement.stages["ride"] == judgement.stages["stand"] == "go"
    assert max(map(len, session.said.split("\n"))) <= columns
    again = {entry_asked(one) for one in played(path, SOUND[vehicle]).asked}
    assert again <= MAY_BE_LEFT
    bring_up(path, lambda *_: "none", DAY)
    assert played(path, SOUND[vehicle]).asked == []
    assert gonogo.check(path, DAY).verdict == "go"


MAY_BE_LEFT = {one.entry for step in bring_up_steps() for one in step.readings if one.optional}


def test_a_step_that_failed_is_no_go_until_it_is_done_again(tmp_path: Path) -> None:
    """The contactor sparked: noted in the file, refused by a check, asked first, and taken back."""
    path, shows = on_the_stand(tmp_path, "scooter"), SOUND["scooter"].shows()
    begun(path, shows, "readings.tried.kill_switch")
    ticks = ", precharge, anti_spark, plug_in]"
    kept = path.read_text("utf-8").replace(ticks, "]")
    path.write_text(kept, "utf-8")
    session = bring_up(path, lambda *_: "failed", DAY)
    assert session.status == 1 and "stop here" in session.words
    assert gonogo.load(path).value("readings.steps_failed") == ("precharge",)
    judgement = gonogo.check(path, DAY)
    assert judgement.stages == {"stand": "no-go", "ride": "no-go"}
    assert "connection-not-proven" in {one.rule.id for one in judgement.findings}
    later = bring_up(path, lambda entry, _: None if entry else "yes", DAY)
    assert later.status == 130, later.screen
    read = gonogo.load(path)
    assert read.value("readings.steps_failed") is None
    assert "precharge" in read.value("readings.steps_done")
    found = {one.rule.id for one in gonogo.check(path, DAY).findings}
    assert "connection-not-proven" not in found


def test_who_leaves_is_told_what_is_open(tmp_path: Path) -> None:
    """With what is saved and how to go on; and a check says what of it a ride waits for."""
    path, shows = on_the_stand(tmp_path, "scooter"), SOUND["scooter"].shows()
    begun(path, shows, "readings.tried.kill_switch")
    session = bring_up(path, lambda *_: "", DAY)
    assert session.status == 4
    assert "open kill, key and seat switch, tried" in session.words
    assert "what was read is saved" in session.words
    judgement = gonogo.check(path, DAY)
    waits = {one.rule.id for one in judgement.not_checked if one.gate == "ride"}
    assert {"kill-switch-tried-differs", "lost-throttle-tried-nothing"} <= waits


PLANTED: list[tuple[str, str, dict[str, Any], str, tuple[str, ...]]] = [
    ("a lead touches the frame", "scooter", {"isolation_kohm": 1.5}, "isolation_kohm", ("frame",)),
    (
        "one cell less in a full pack",
        "bike",
        {"cells": 15},
        "pack_V",
        ("cells",),
    ),
    ("the throttle sticks", "scooter", {"sticks_share": 0.12}, "throttle.rest_V", ("rest",)),
    (
        "the throttle's ground is shared with the brake",
        "scooter",
        {"ground_is_shared": True},
        "throttle.open_ground_V",
        ("ground",),
    ),
    (
        "another sensor than the one set",
        "scooter",
        {"sensor": "kty84-130"},
        "temperature.motor_degC",
        ("sensor",),
    ),
    (
        "the kill switch opens nothing",
        "trike",
        {"kill_switch": "nothing"},
        "tried.kill_switch",
        ("kill switch",),
    ),
    ("the brake cuts nothing", "scooter", {"brake_cut": "nothing"}, "tried.brake_cut", ("brake",)),
    (
        "two position-sensor wires swapped",
        "scooter",
        {"hall_wires_swapped": True},
        "identification.found.offset_reverse_deg",
        ("swapped",),
    ),
    (
        "the same where the controller shows no offsets",
        "scooter",
        {"hall_wires_swapped": True, "shows_identified": False},
        "no_load.battery_A",
        ("sensor",),
    ),
    ("it turns backward", "trike", {"turns": "backward"}, "wheel_turned", ("backward",)),
    (
        "kv of the datasheet is by phase",
        "trike",
        {"kv_rpm_per_V": 60 / 3**0.5, "shows_identified": False},
        "no_load.rpm",
        ("kv",),
    ),
    (
        "kv of the datasheet is rms",
        "trike",
        {"kv_rpm_per_V": 60 / 2**0.5, "shows_identified": False},
        "no_load.rpm",
        ("kv",),
    ),
    (
        "another number of pole pairs",
        "trike",
        {"pole_pairs": 5, "shows_identified": False},
        "no_load.electrical_Hz",
        ("pole pair",),
    ),
    (
        "it drives with the charger plugged in",
        "chair",
        {"charging_blocked": False},
        "charging_blocked",
        ("charg",),
    ),
]


def faulty(vehicle: str, fault: dict[str, Any]) -> dict[str, str]:
    """What a machine with a fault shows; who identifies it enters what the profile says."""
    shows = replace(SOUND[vehicle], **fault).shows()
    kept = "readings.identification.for.pole_pairs"
    return {**shows, kept: SOUND[vehicle].shows()[kept]}


@pytest.mark.parametrize(
    ("vehicle", "fault", "at", "words"),
    [pytest.param(*planted, id=name) for name, *planted in PLANTED],
)
def test_a_planted_fault_is_found_where_it_can_be(
    vehicle: str, fault: dict[str, Any], at: str, words: tuple[str, ...], tmp_path: Path
) -> None:
    """At that step, in words that name it; the reading stays, and the next session stops there too."""
    path, shows, entry = on_the_stand(tmp_path, vehicle), faulty(vehicle, fault), f"readings.{at}"
    step = _step_of(entry)
    begun(path, shows, step.readings[0].entry)
    session = bring_up(path, somebody(shows), DAY)
    assert session.status == 1, session.screen
    asked = [entry_asked(one) for one in session.asked]
    assert asked[-1] == entry and entry in asked[:-1], session.screen
    assert {_step_of(one).step for one in asked} == {step.step}
    told = session.words[session.words.index("stop if") :]
    assert "stop here. switch off, put it right" in told and " do " in told, session.screen
    assert all(word in told for word in words), session.screen
    assert gonogo.check(path, DAY).verdict == "no-go"
    assert gonogo.load(path).value(entry) is not None
    again = bring_up(path, lambda *_: "", DAY)
    assert again.status == 1 and "stop here" in again.words
    assert {_step_of(entry_asked(one)).step for one in again.asked} == {step.step}


def _step_of(entry: str) -> BringUpStep:
    return next(step for step in bring_up_steps() if entry in {one.entry for one in step.readings})


def test_nothing_turns_while_what_makes_it_safe_is_open(tmp_path: Path) -> None:
    """Somebody in a hurry leaves every reading out and ticks all: no step with a turning motor comes."""
    path = on_the_stand(tmp_path, "scooter")
    session = bring_up(path, lambda entry, _: "" if entry else "yes", DAY)
    assert session.status == 4
    entries = {entry_asked(one) for one in session.asked} - {""}
    pack = {
        f"readings.{one}" for one in ("pack_V", "cell_groups_V", "pack_state", "series_counted")
    }
    assert entries == {"readings.isolation_kohm", *pack}
    assert "precharge wait not before these are done: isolation from the frame" in session.words
    assert gonogo.load(path).value("readings.steps_done") == ("polarity",)


def test_a_reversed_plug_goes_no_further(tmp_path: Path) -> None:
    """A step that is ticked has no reading to refuse: what is not ticked holds the next."""
    path, shows = on_the_stand(tmp_path, "scooter"), SOUND["scooter"].shows()
    session = bring_up(path, lambda entry, _: shows[entry] if entry else "no", DAY)
    assert session.status == 4
    assert "precharge wait not before these are done: polarity." in session.words
    assert not [one for one in session.asked if "throttle" in one.lower()]


def test_a_danger_among_the_settings_lets_nothing_turn(tmp_path: Path) -> None:
    """The profile is no-go for the stand, though every reading so far is sound."""
    path, shows = on_the_stand(tmp_path, "scooter"), SOUND["scooter"].shows()
    text = path.read_text("utf-8").replace("over_voltage_trip_V: 92", "over_voltage_trip_V: 120")
    path.write_text(text, "utf-8")
    begun(path, shows, "readings.identification.done")
    session = bring_up(path, somebody(shows), DAY)
    assert session.status == 1 and session.asked == []
    assert "nothing is turned; put them right first" in session.words
    assert "over-voltage trip" in session.words and "stop here" in session.words


def test_ctrl_c_loses_nothing_and_the_next_session_goes_on(tmp_path: Path) -> None:
    """Pressed at the throttle: what was read before stands in the file, and is not asked again."""
    path, machine = on_the_stand(tmp_path, "scooter"), SOUND["scooter"]
    sound = somebody(machine.shows())

    def pressed(entry: str, question: str) -> str | None:
        return None if entry == "readings.throttle.full_V" else sound(entry, question)

    before = path.read_bytes()
    session = bring_up(path, pressed, DAY)
    assert session.status == 130 and "traceback" not in session.words
    assert path.read_bytes().startswith(before)
    read = gonogo.load(path)
    assert read.value("readings.throttle.rest_V") is not None
    later = played(path, machine)
    assert later.status == 0, later.screen
    assert entry_asked(later.asked[0]) == "readings.throttle.full_V"


def test_a_profile_saved_meanwhile_is_not_overwritten(tmp_path: Path) -> None:
    """An editor saved it between two readings: told, with what to do, and left as it was saved."""
    path, shows = on_the_stand(tmp_path, "scooter"), SOUND["scooter"].shows()

    def meddling(entry: str, question: str) -> str:
        if entry == "readings.pack_V":
            path.write_bytes(path.read_bytes() + b"# by hand\n")
        return shows[entry] if entry else "yes"

    session = bring_up(path, meddling, DAY)
    assert session.status == 3
    assert "changed since" in session.words and "traceback" not in session.words
    assert path.read_bytes().endswith(b"# by hand\n") and b"pack_V: 76" not in path.read_bytes()


@pytest.mark.parametrize(
    ("entry", "typed", "reason"),
    [
        ("readings.pack_V", "-76.1", "expected a number from 0"),
        ("readings.pack_V", "-76.1", "leads are exchanged"),
        ("readings.pack_V", "NaN", "expected a number"),
        ("readings.pack_V", "76.1 A", "in v, found '76.1 a'"),
        ("readings.throttle.rest_V", "8.4", "cannot be"),
        ("readings.isolation_kohm", "OL", "the top of its range"),
    ],
)
def test_a_reading_that_no_meter_shows_is_asked_again(
    entry: str, typed: str, reason: str, tmp_path: Path
) -> None:
    """With the reason; nothing of it is written, and what is typed then counts."""
    path, shows = on_the_stand(tmp_path, "scooter"), SOUND["scooter"].shows()
    begun(path, shows, entry)
    answers = iter([typed, shows[entry], None])
    session = bring_up(path, lambda *_: next(answers), DAY)
    assert session.status == 130
    assert [entry_asked(one) for one in session.asked[:2]] == [entry, entry], session.screen
    assert reason in session.words, session.screen
    assert gonogo.load(path).value(entry) is not None
