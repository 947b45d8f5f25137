"""Windows of several motors, held against the judgement of the file with the value entered."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from gonogo.documents.edit import Edit, edited
from gonogo.documents.loading import load_profile
from gonogo.documents.profile import BASE, Profile
from gonogo.documents.repository import Draft, Repository, open_repository
from gonogo.judgement.judge import judge
from gonogo.judgement.motor_books import hear_motors
from gonogo.judgement.motor_entries import Heard, MotorEntry
from gonogo.judgement.motor_window import motor_window, windows_once
from gonogo.judgement.rule import SEVERITIES, STOPS
from gonogo.judgement.site_rules import shop_of
from gonogo.judgement.window import Window
from ruamel.yaml import YAML

ROOT = Path(__file__).parents[2]
SOUND = ROOT / "tests" / "hazards" / "sound"
DAY = "2026-11-25"
OWN: dict[str, Any] = {"battery_current_A": 20, "max_rpm": 600, "throttle": {"ramp_ms": 400}}


class Build(NamedTuple):
    """A profile as bytes, and all that it is judged by."""

    repository: Repository
    inside: str
    data: bytes
    profile: Profile
    heard: Heard

    def flags(self, data: bytes, severities: tuple[str, ...] = STOPS) -> set[tuple[str, str]]:
        """The rules that flag so gravely for any motor with these bytes, each with its mode."""
        profile = load_profile(
            Repository(Draft(self.repository.files, self.inside, data)), self.inside
        )
        catalogue = self.heard.catalogue
        found = {
            (decided.rule.id, mode)
            for one in hear_motors(profile, catalogue, DAY).values()
            for mode, rulings in one.hearing.rulings.items()
            for decided in rulings.values()
            if decided.outcome == "flagged"
            and catalogue.at_least(decided.rule, decided.severity) in severities
        }
        told = judge(profile, catalogue, DAY).findings
        compared = [one for one in told if one.rule.subject == "motors"]
        return found | {(one.rule.id, BASE) for one in compared if one.severity in severities}

    def entered(self, window: Window, value: float) -> bytes:
        keys = tuple(window.entered_as.split("."))
        return edited(self.data, [Edit(keys, value)], self.inside)


def build_of(path: Path) -> Build:
    repository, inside = open_repository(path)
    profile, catalogue = load_profile(repository, inside), shop_of(repository).catalogue
    heard = Heard(profile, hear_motors(profile, catalogue, DAY), catalogue)
    return Build(repository, inside, repository.files.read(inside), profile, heard)


def changed(name: str, folder: Path, **change: Any) -> Path:
    """A sound build with settings of its last motor's own, or its motor's figures others."""
    whole = YAML(typ="safe").load(SOUND / f"{name}.yaml")
    motor = list(whole["motors"])[-1]
    for key, value in change.items():
        whole["motors"][motor][key] = (
            {**whole["motors"][motor].get(key, {}), **value} if isinstance(value, dict) else value
        )
    path = folder / f"{name}.yaml"
    with path.open("w", encoding="utf-8") as stream:
        YAML(typ="safe").dump(whole, stream)
    return path


@pytest.fixture(
    params=[
        "twin",
        "cart",
        "bindweed",
        "own entries",
        "own entries on one axle",
        "unlike",
        "equal entries",
    ]
)
def build(request: pytest.FixtureRequest, tmp_path: Path) -> Build:
    match request.param:
        case "twin":
            return build_of(SOUND / "twin-hub-scooter.yaml")
        case "cart":
            return build_of(SOUND / "cart-with-two-rear-motors.yaml")
        case "bindweed":
            return build_of(ROOT / "examples" / "workshop" / "vehicles" / "bindweed.yaml")
        case "own entries":
            return build_of(changed("twin-hub-scooter", tmp_path, settings=OWN))
        case "equal entries":
            own = {"battery_current_A": 22, "phase_current_A_rms": 38, "max_rpm": 620}
            return build_of(changed("twin-hub-scooter", tmp_path, settings=own))
        case "own entries on one axle":
            own = {"phase_current_A_rms": 105, "reverse_rpm": 850, "battery_current_A": 50}
            return build_of(changed("cart-with-two-rear-motors", tmp_path, settings=own))
    other = {"kv_rpm_per_V": 16, "phase_to_neutral_mohm": 45}
    return build_of(changed("twin-hub-scooter", tmp_path, settings=OWN, **other))


SUMMED = ("settings.battery_current_A", "settings.regen.battery_current_A")


def some(build: Build) -> Iterator[MotorEntry]:
    """What adds up or turns the same wheels, and every ninth of the other entries."""
    modes = (BASE, *build.profile.modes)
    entries = [entry for mode in modes for entry in build.heard.entries(mode)]
    shift = len(build.data) % 9
    for number, entry in enumerate(entries):
        far = entry.name in (*SUMMED, "settings.phase_current_A_rms", "settings.max_rpm")
        if far or number % 9 == shift:
            yield entry


def test_no_end_of_a_window_is_refused_and_the_step_past_it_is(build: Build) -> None:
    """In the file itself, under the key that the builder used, with all motors judged."""
    met = 0
    for entry in some(build):
        window = motor_window(entry, build.heard)
        if window.today is None:
            continue
        for span, severities in ((window.hard, STOPS), (window.good, SEVERITIES)):
            if span is None:
                continue
            before = build.flags(build.data, severities)
            sides = ((span.low, -1, window.lowest), (span.high, 1, window.highest))
            for end, outwards, last in sides:
                value = last if end.limit is None else end.limit
                found = build.flags(build.entered(window, value), severities)
                assert found <= before, (window.entered_as, value, found - before)
                if end.rule is not None:
                    past = build.entered(window, round(value + outwards * window.step, 9))
                    found = build.flags(past, severities)
                    assert (end.rule, end.mode) in found, (window.entered_as, value)
                met += 1
    assert met > 12


@pytest.mark.parametrize("name", ["phase_current_A_rms", "max_rpm", "battery_current_A"])
def test_between_its_ends_nothing_is_refused(build: Build, name: str) -> None:
    """A value in the middle that is refused would be found by nobody."""
    for entry in build.heard.entries():
        if entry.name != f"settings.{name}":
            continue
        window = motor_window(entry, build.heard)
        if window.good is None:
            continue
        before = build.flags(build.data, SEVERITIES)
        low = window.good.low.limit or window.lowest
        high = window.good.high.limit or 3000.0
        for number in range(1, 7):
            steps = round((low + (high - low) * number / 7) / window.step)
            value = round(steps * window.step, 9)
            found = build.flags(build.entered(window, value), SEVERITIES)
            assert found <= before, (window.entered_as, value, found - before)


def test_an_entry_of_both_motors_moves_both(tmp_path: Path) -> None:
    """60 A from the pack are 30 A for each of two, and 40 A for one beside another of 20 A."""
    both = build_of(SOUND / "twin-hub-scooter.yaml")
    own = {"battery_current_A": 20}
    rating = {"battery_current_A": 100}
    one = build_of(changed("twin-hub-scooter", tmp_path, settings=own, controller=rating))
    name = "settings.battery_current_A"
    ends = {}
    for build in (both, one):
        for entry in build.heard.entries():
            if entry.name == name:
                window = motor_window(entry, build.heard)
                assert window.hard is not None
                ends[window.entered_as, window.motors] = window.hard.high.limit
    assert ends == {
        (name, ()): 30,
        (name, ("front",)): 30,
        ("motors.rear.settings.battery_current_A", ("rear",)): 38,
    }


def test_equal_windows_of_alike_motors_are_told_once(tmp_path: Path) -> None:
    """Two entries of one value and one window are one row; two of other values are two."""
    build = build_of(changed("twin-hub-scooter", tmp_path, settings={"max_rpm": 620}))
    found = [
        motor_window(entry, build.heard)
        for entry in build.heard.entries()
        if entry.name == "settings.max_rpm"
    ]
    assert len(found) == 2
    (told,) = windows_once(found)
    assert told.motors == ("front", "rear")
