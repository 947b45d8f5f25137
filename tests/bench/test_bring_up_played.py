"""`gonogo bringup` at a pseudo-terminal: sound vehicles come to a ride, planted faults are found."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import gonogo
import pytest

from .machine import Machine
from .stand import DAY, SOUND, begun, on_the_stand, played, somebody
from .terminal import bring_up, entry_asked


@pytest.mark.parametrize(
    ("vehicle", "columns"), [("scooter", 80), ("trike", 80), ("chair", 50)], ids=list(SOUND)
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
    assert "ride" in judgement.fit, judgement.fit
    assert max(map(len, session.screen.split("\n"))) <= columns
    assert played(path, SOUND[vehicle]).asked == []


PLANTED: list[tuple[str, str, dict[str, Any], str, tuple[str, ...]]] = [
    ("a lead touches the frame", "scooter", {"isolation_kohm": 1.5}, "isolation_kohm", ("frame",)),
    (
        "one cell less in a full pack",
        "trike",
        {"cells": 15, "cell_V": 3.62, "full": True},
        "pack_state",
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
    begun(path, shows, entry)
    session = bring_up(path, somebody(shows), DAY)
    assert session.status == 1, session.screen
    assert [entry_asked(one) for one in session.asked] == [entry, entry], session.screen
    told = session.words[session.words.index("stop if") :]
    assert "stop here. switch off, put it right" in told and " do " in told, session.screen
    assert all(word in told for word in words), session.screen
    assert gonogo.check(path, DAY).verdict == "no-go"
    assert gonogo.load(path).value(entry) is not None
    again = bring_up(path, lambda *_: "", DAY)
    assert again.status == 1 and "stop here" in again.words
    assert [entry_asked(one) for one in again.asked] == [entry], again.screen
