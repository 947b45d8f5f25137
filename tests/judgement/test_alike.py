"""A vehicle judged beside one that is nearly the same comes to what it comes to alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest
from gonogo.documents.loading import load_profile
from gonogo.documents.profile import Profile
from gonogo.documents.schema import canonical
from gonogo.documents.search import find
from gonogo.judgement.alike import Alike
from gonogo.judgement.catalogue import Catalogue, catalogue
from gonogo.judgement.judge import judge
from gonogo.judgement.moved_names import moved_between
from gonogo.judgement.site_rules import shop_of
from hypothesis import given, settings
from hypothesis import strategies as st

EXAMPLES = Path(__file__).parents[2] / "examples"
DAY = "2026-11-25"
CAN_BE_NONE = {name for name, entry in canonical().items() if entry.kind == "section"}
FACTORS = (0.5, 0.97, 1.001, 1.3, 3.0)


@lru_cache(maxsize=1)
def examples() -> tuple[tuple[Profile, Catalogue], ...]:
    """Every vehicle of the examples, with the rules of its shop."""
    return tuple(
        (load_profile(one.repository, one.path), shop_of(one.repository).catalogue)
        for one in find([EXAMPLES]).profiles
    )


def altered(data: st.DataObject, profile: Profile) -> Profile:
    """The profile, or a motor of several, with some entries turned, gone or said to be none, a mode or an allowance altered."""
    if profile.motors:
        name = data.draw(st.sampled_from(sorted(profile.motors)))
        motors = {**profile.motors, name: altered(data, profile.motors[name])}
        return replace(profile, motors=motors)
    givens: dict[str, Any] = dict(profile.givens)
    absent = set(profile.absent)
    for _ in range(data.draw(st.integers(0, 4))):
        name = data.draw(st.sampled_from(sorted(givens)))
        value = givens[name].value
        match data.draw(st.sampled_from(("turn", "turn", "drop", "none"))):
            case "turn" if isinstance(value, bool):
                givens[name] = replace(givens[name], value=not value)
            case "turn" if isinstance(value, int | float):
                factor = data.draw(st.sampled_from(FACTORS))
                givens[name] = replace(givens[name], value=value * factor, entered=value * factor)
            case "none" if name.rpartition(".")[0] in CAN_BE_NONE:
                absent.add(name.rpartition(".")[0])
            case _:
                del givens[name]
    modes = dict(profile.modes)
    if modes and data.draw(st.booleans()):
        mode = data.draw(st.sampled_from(sorted(modes)))
        changes = dict(modes[mode])
        name = data.draw(st.sampled_from(sorted(changes)))
        told = changes[name]
        if told is not None and isinstance(told.value, float):
            changes[name] = replace(told, value=told.value * 1.1)
        elif len(changes) > 1:
            del changes[name]
        modes[mode] = changes
    house = profile.house
    if house.allowances and data.draw(st.booleans()):
        name = data.draw(st.sampled_from(sorted(house.allowances)))
        allowed = house.allowances[name]
        house = replace(
            house,
            allowances={**house.allowances, name: replace(allowed, value=allowed.number * 1.2)},
        )
    return replace(profile, givens=givens, absent=frozenset(absent), modes=modes, house=house)


@settings(max_examples=15, deadline=None)
@given(st.data())
def test_what_is_taken_over_changes_no_judgement(data: st.DataObject) -> None:
    """A ruling that is not this vehicle's own would be a GO for another one."""
    hold_alike(data, examples())


@settings(max_examples=15, deadline=None)
@given(st.data())
def test_what_is_taken_over_of_several_motors_changes_no_judgement(data: st.DataObject) -> None:
    """What one motor adds to the sums reaches the rulings about the other."""
    hold_alike(data, [pair for pair in examples() if pair[0].motors])


def hold_alike(data: st.DataObject, among: Sequence[tuple[Profile, Catalogue]]) -> None:
    """Judge a vehicle and some that differ from it, each beside those before it and alone."""
    profile, rules = among[data.draw(st.integers(0, len(among) - 1))]
    alike = Alike()
    judge(profile, rules, DAY, alike=alike)
    for _ in range(3):
        profile = altered(data, profile)
        assert judge(profile, rules, DAY, alike=alike) == judge(profile, rules, DAY)


def test_every_example_beside_all_others() -> None:
    """In the order of a shop's folder, twice: once beside a stranger, once beside itself."""
    alike = Alike()
    for profile, rules in (*examples(), *examples()):
        assert judge(profile, rules, DAY, alike=alike) == judge(profile, rules, DAY), profile.file


def test_what_reads_the_base_settings_moves_with_them() -> None:
    """A mode that is held against the base settings is another once these are."""
    profile, _ = examples()[0]
    given_ = profile.givens["vehicle.use"]
    other = replace(profile, givens={**profile.givens, "vehicle.use": replace(given_, value="x")})
    moved = moved_between(profile, other)
    assert {"vehicle.use", "base.vehicle.use"} <= moved
    assert not moved_between(profile, profile)


@pytest.mark.parametrize(("was", "now"), [(1, True), (0, False), (1, 1.0), ((1,), (True,))])
def test_what_only_counts_as_equal_is_another_value(was: Any, now: Any) -> None:
    """To Python true is 1; to a rule it is a slip."""
    profile, _ = examples()[0]
    given_ = profile.givens["vehicle.use"]
    one, other = (
        replace(profile, givens={"vehicle.use": replace(given_, value=value)})
        for value in (was, now)
    )
    assert "vehicle.use" in moved_between(one, other)


def test_rules_of_another_catalogue_are_never_taken_over() -> None:
    """Two shops' rules may have one name."""
    profile, rules = next(pair for pair in examples() if pair[1] is not catalogue())
    alike = Alike()
    judge(profile, catalogue(), DAY, alike=alike)
    assert judge(profile, rules, DAY, alike=alike) == judge(profile, rules, DAY)
