"""Other loads on the pack only add: none of them makes a refused build ride, too many stop every one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import gonogo
import pytest
from gonogo.documents.loading import load
from gonogo.documents.profile import Given, Profile
from gonogo.judgement.catalogue import catalogue
from gonogo.judgement.finding import Judgement
from gonogo.judgement.judge import judge

from .test_hazards import CASES, DAY, SOUND, base, changed, judged, placed, written, wrong

LOADS = "wiring.loads"
BATTERY = "settings.battery_current_A"
REFUSED = [case for case in CASES if case["expect"] == "no-go" and LOADS not in str(case)]
DRAWN = (0.5, 8.0, 40.0, 300.0)  # amperes, one after the other over the cases


def with_load(profile: Profile, current_A: float) -> Profile:
    """The profile with one more load, sound in itself."""
    known = profile.givens.get(LOADS)
    loads: Any = known.value if known is not None and known.value is not None else {}
    one_more = {**loads, "added": {"current_A": current_A}}
    given = Given(LOADS, one_more, LOADS, one_more, 1.0, profile.place)
    motors = {name: with_load(view, current_A) for name, view in profile.motors.items()}
    return replace(profile, givens={**profile.givens, LOADS: given}, motors=motors)


def judged_again(profile: Profile) -> Judgement:
    return judge(profile, catalogue(), DAY)


@pytest.mark.parametrize("number", range(0, len(REFUSED), 3))
def test_a_load_more_makes_no_go_of_nothing(number: int, tmp_path: Path) -> None:
    """What is refused with a lighter load on its pack is refused with a heavier one."""
    profile = load(placed(REFUSED[number], tmp_path))
    assert judged_again(profile).verdict == "no-go"
    loaded = with_load(profile, DRAWN[number // 3 % len(DRAWN)])
    assert judged_again(loaded).verdict == "no-go"


@pytest.mark.parametrize("path", SOUND, ids=lambda path: path.stem)
def test_each_sound_build_is_stopped_by_a_load_that_is_too_heavy(path: Path) -> None:
    """Else the load would not be counted in some way of building."""
    profile = load(path)
    for current_A in (2000.0, 3000.0):
        assert judged_again(with_load(profile, current_A)).verdict == "no-go"


def test_the_remedy_counts_the_loads(tmp_path: Path) -> None:
    """Who enters the value advised is let go, and he keeps his blades."""
    blades = {"current_A": 45, "behind_main_fuse": False, "fuse_A": 63, "cable_mm2": 16}
    loads = {"blades": blades}
    wiring = {"loads": loads, "seat_switch": {"opens": "controller_enable"}}
    judgement = judged({"wiring": wiring}, tmp_path)
    told = {finding.rule.id: finding for finding in judgement.findings}
    finding = told["drive-with-loads-above-bms"]
    assert (finding.quantity, finding.advised) == (BATTERY, 105)
    assert "110 A and 45 A of other loads" in finding.message
    mended = judged({"wiring": wiring, "settings": {"battery_current_A": 105}}, tmp_path)
    assert (mended.verdict, wrong(mended)) == ("go", [])


def test_what_is_advised_for_the_drive_alone_leaves_the_loads_their_share(tmp_path: Path) -> None:
    """Above the BMS by itself: what the finding advises is right with the loads too."""
    loads = {"pump": {"current_A": 20, "behind_main_fuse": False, "fuse_A": 30}}
    change = {
        "wiring": {"loads": loads, "fuse": {"rated_A": 200}},
        "pack": {"bms": {"continuous_A": 100}},
    }
    advised = [one.advised for one in judged(change, tmp_path).findings if one.quantity == BATTERY]
    stands = min(value for value in advised if value is not None)
    assert stands == 80
    mended = judged(changed(change, {"settings": {"battery_current_A": stands}}), tmp_path)
    assert wrong(mended) == []


def test_a_window_ends_where_drive_and_loads_fill_the_weakest_part(tmp_path: Path) -> None:
    """Its end is found through the sum: 120 A of the fuse less 8 A of the pump."""
    build = changed(base(), {"wiring": {"loads": {"pump": {"current_A": 8}}}})
    windows = gonogo.windows(written(build, tmp_path), as_of=DAY)
    window = next(one for one in windows if one.quantity == BATTERY)
    assert window.good is not None
    assert window.good.high.limit == 112


def test_a_load_added_is_told_with_what_it_does(tmp_path: Path) -> None:
    """At a tune change the load and its consequence stand side by side."""
    old = written(base(), tmp_path, "old")
    loads: Mapping[str, Any] = {"blades": {"current_A": 60}}
    new = written(changed(base(), {"wiring": {"loads": loads}}), tmp_path, "new")
    comparison = gonogo.compare(old, new, as_of=DAY)
    assert [change.quantity for change in comparison.changes] == [LOADS]
    introduced = {one.finding.rule.id for one in comparison.of_way("introduced")}
    assert "drive-with-loads-above-bms" in introduced
