"""A cart with two motors at a pseudo-terminal: sound it comes to a ride, a fault of one motor is found at it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import gonogo
import pytest
from gonogo.judgement.planned_step import PlannedStep

from .pair import cart_begun, cart_on_the_stand, cart_shows
from .stand import DAY, somebody
from .terminal import bring_up, entry_asked


def test_a_sound_cart_is_brought_up_to_a_ride(tmp_path: Path) -> None:
    """What is of the cart is asked once, what is of a motor of each; the profile is GO for a ride."""
    path = cart_on_the_stand(tmp_path)
    before = path.read_text("utf-8").splitlines()
    session = bring_up(path, somebody(cart_shows()), DAY)
    assert session.status == 0, session.screen
    assert "measure again" not in session.words and "stop here" not in session.words
    asked = [name for name in map(entry_asked, session.asked) if name]
    assert len(set(asked)) == len(asked) - asked.count("readings.noticed") + 1
    assert asked.index("motors.left.readings.no_load.rpm") < asked.index(
        "motors.right.readings.identification.done"
    )
    judgement = gonogo.check(path, DAY)
    assert judgement.stages == {"stand": "go", "ride": "go"}, judgement.findings
    assert judgement.verdict == "go" and gonogo.load(path).motors.keys() == {"left", "right"}
    after = path.read_text("utf-8").splitlines()
    assert [line for line in before if line] == [line for line in after if line in before and line]
    assert max(map(len, session.said.split("\n"))) <= 80
    assert bring_up(path, somebody({}), DAY).asked == []


PLANTED: list[tuple[str, dict[str, Mapping[str, Any]], str, tuple[str, ...]]] = [
    (
        "one motor turns the wrong way",
        {"right": {"turns": "backward"}},
        "motors.right.readings.wheel_turned",
        ("motor right", "backward"),
    ),
    (
        "the mirrored motor turns the wrong way",
        {"left": {"turns": "backward"}},
        "motors.left.readings.wheel_turned",
        ("motor left", "backward"),
    ),
    (
        "one motor with another kv",
        {"right": {"kv_rpm_per_V": 75 / 2**0.5, "shows_identified": False}},
        "motors.right.readings.no_load.rpm",
        ("motor right", "kv"),
    ),
    (
        "one temperature sensor of another kind",
        {"left": {"sensor": "kty84-130"}},
        "motors.left.readings.temperature.motor_degC",
        ("motor left", "sensor"),
    ),
    (
        "the sensor wires of one motor swapped",
        {"right": {"hall_wires_swapped": True, "shows_identified": False}},
        "motors.right.readings.no_load.battery_A",
        ("motor right", "sensor"),
    ),
    (
        "the throttle that both share sticks",
        {"left": {"sticks_share": 0.12}},
        "readings.throttle.rest_V",
        ("rest",),
    ),
]


@pytest.mark.parametrize(
    ("faults", "at", "words"), [pytest.param(*planted, id=name) for name, *planted in PLANTED]
)
def test_a_fault_of_one_motor_is_found_at_that_motor(
    faults: dict[str, Mapping[str, Any]], at: str, words: tuple[str, ...], tmp_path: Path
) -> None:
    """In words that name it, and nothing that comes later is asked; the next session stops there too."""
    path, shows = cart_on_the_stand(tmp_path), cart_shows(**faults)
    steps = gonogo.bringup_plan(path, DAY)
    here = next(keys for keys in map(keys_of, steps) if at in keys)
    cart_begun(path, shows, here[0])
    session = bring_up(path, somebody(shows), DAY)
    assert session.status == 1, session.screen
    asked = [entry_asked(one) for one in session.asked]
    assert asked[-1] == at and at in asked[:-1] and set(asked) <= set(here), session.screen
    told = session.words[session.words.index("stop if") :]
    assert "stop here. switch off, put it right" in told and " do " in told, session.screen
    assert all(word in told for word in words), session.screen
    assert gonogo.check(path, DAY).stages["stand"] == "no-go"
    again = bring_up(path, lambda *_: "", DAY)
    assert again.status == 1 and "stop here" in again.words
    # besides, whether it was put right: Enter says no
    assert set(map(entry_asked, again.asked)) <= {"", *here}


def keys_of(step: PlannedStep) -> list[str]:
    return [one.key for one in step.readings]
