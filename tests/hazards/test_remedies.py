"""A remedy that names a value is followed to the letter, and brings nothing new of its kind."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from gonogo.documents.loading import load
from gonogo.documents.profile import Profile
from gonogo.judgement.catalogue import catalogue
from gonogo.judgement.finding import Finding, Judgement
from gonogo.judgement.judge import judge
from gonogo.judgement.rule import STOPS

from .test_hazards import CASES, DAY, changed, placed, written
from .test_two_motors import CASES as SEVERAL
from .test_two_motors import built, twin

WORKSHOP = sorted((Path(__file__).parents[2] / "examples" / "workshop" / "vehicles").glob("*.yaml"))


def followed(profile: Profile, finding: Finding) -> Profile | None:
    """The profile as it reads when a remedy's value is entered where it belongs."""
    assert finding.advised is not None
    if profile.motors:
        views = {name: followed_by(view, finding) for name, view in profile.motors.items()}
        return replace(profile, motors=views)
    mode = next((mode for mode in finding.modes if finding.quantity in profile.modes[mode]), "")
    givens = dict(profile.modes[mode] if mode else profile.givens)
    known = givens.get(finding.quantity)
    if known is None:
        return None
    value = finding.advised * known.factor
    givens[finding.quantity] = replace(known, value=value, entered=finding.advised)
    if mode:
        return replace(profile, modes={**profile.modes, mode: givens})
    return replace(profile, givens=givens)


def followed_by(view: Profile, finding: Finding) -> Profile:
    """One of several motors as it reads then: another one where the entry is its own too."""
    assert finding.advised is not None
    mode = next((mode for mode in finding.modes if finding.quantity in view.modes[mode]), "")
    givens = dict(view.modes[mode] if mode else view.givens)
    known = givens.get(finding.quantity)
    if known is None or known.entered_as != finding.entered_as:
        return view
    value = finding.advised * known.factor + known.offset
    givens[finding.quantity] = replace(known, value=value, entered=finding.advised)
    if mode:
        return replace(view, modes={**view.modes, mode: givens})
    return replace(view, givens=givens)


def stopping(judgement: Judgement) -> set[str]:
    return {one.rule.id for one in judgement.findings if one.severity in STOPS}


def advice_of(rule: str, judgement: Judgement) -> int:
    return sum(1 for one in judgement.findings if one.rule.id == rule)


def still_stands(finding: Finding, after: Judgement) -> bool:
    """Whether a rule still speaks of the motors that it spoke of, at the same entry."""
    return any(
        one.rule.id == finding.rule.id
        and one.entered_as == finding.entered_as
        and one.modes == finding.modes
        and set(one.motors) >= set(finding.motors)
        for one in after.findings
    )


def led_astray(profile: Profile) -> Iterator[str]:
    """Remedies of a profile that another danger or fault refuses, or that leave their own finding."""
    rules = catalogue()
    before = judge(profile, rules, DAY)
    for finding in before.findings:
        if finding.advised is None:
            continue
        tried = followed(profile, finding)
        if tried is None:
            continue
        after = judge(tried, rules, DAY)
        new = sorted(stopping(after) - stopping(before))
        if new:
            yield f"{finding.rule.id} ({finding.entered_as} = {finding.advised}) brings {', '.join(new)}"
        elif (
            not profile.motors
            and advice_of(finding.rule.id, after) >= advice_of(finding.rule.id, before)
        ) or (profile.motors and still_stands(finding, after)):
            yield f"{finding.rule.id} ({finding.entered_as} = {finding.advised}) stays"


@pytest.mark.parametrize("path", WORKSHOP, ids=lambda path: str(path.stem))
def test_the_remedies_of_the_workshop_hold(path: Path) -> None:
    """Who enters what a finding says is not sent to the next finding."""
    assert list(led_astray(load(path))) == []


@pytest.mark.parametrize("case", CASES, ids=lambda case: str(case["id"]))
def test_the_remedies_of_a_case_hold(case: Mapping[str, Any], tmp_path: Path) -> None:
    """The build is bad enough without advice that makes it worse."""
    assert list(led_astray(load(placed(case, tmp_path)))) == []


OF_SEVERAL = [case for case in SEVERAL if case["expect"] != "refused"]


@pytest.mark.parametrize("case", OF_SEVERAL, ids=lambda case: str(case["id"]))
def test_the_remedies_of_several_motors_hold(case: Mapping[str, Any], tmp_path: Path) -> None:
    """What one motor is told holds for what all draw too."""
    assert list(led_astray(load(written(built(case), tmp_path)))) == []


# Currents of both motors and of one, on a pack that bears 60 A and controllers that bear 30 A each.
CURRENTS = [
    ({"battery_current_A": 35}, {}),
    ({"battery_current_A": 28}, {"battery_current_A": 45}),
    ({"battery_current_A": 45, "phase_current_A_rms": 80}, {"phase_current_A_rms": 70}),
    ({"regen": {"battery_current_A": 9}}, {}),
    ({"regen": {"battery_current_A": 4}}, {"regen": {"battery_current_A": 11}}),
    ({"low_voltage": {"cutoff_V": 44}}, {}),
    ({"over_voltage_trip_V": 70}, {"max_rpm": 2500}),
]


@pytest.mark.parametrize(("both", "rear"), CURRENTS)
def test_a_sum_s_remedy_says_what_each_entry_may_be(
    both: Mapping[str, Any], rear: Mapping[str, Any], tmp_path: Path
) -> None:
    """60 A for all are 30 A in the entry that both share."""
    change = {"settings": both, "motors": {"rear": {"settings": rear}}}
    profile = load(written(changed(twin(), change), tmp_path))
    assert stopping(judge(profile, catalogue(), DAY))
    assert list(led_astray(profile)) == []


def test_the_share_of_a_sum_is_named(tmp_path: Path) -> None:
    """In the line stands what one motor draws."""
    profile = load(written(changed(twin(), {"settings": {"battery_current_A": 35}}), tmp_path))
    found = {one.rule.id: one for one in judge(profile, catalogue(), DAY).findings}
    cells = found["battery-current-above-cells"]
    assert cells.advised == 30 and cells.remedy.startswith("For all motors together (30 A each): ")
    change = {"motors": {"rear": {"settings": {"battery_current_A": 45}}}}
    found = {
        one.rule.id: one
        for one in judge(
            load(written(changed(twin(), change), tmp_path)), catalogue(), DAY
        ).findings
    }
    assert (
        "38 A for motor rear, the others unchanged" in found["battery-current-above-cells"].remedy
    )


def test_an_entry_that_no_value_fits_is_told_of_several_motors_too(tmp_path: Path) -> None:
    """The cutoff of both hubs lies below what the cells bear, or above what the controller works at."""
    change = {"pack": {"bms": {"cell_low_V": 4.15}}, "settings": {"low_voltage": {"cutoff_V": 45}}}
    profile = load(written(changed(twin(), change), tmp_path))
    told = judge(profile, catalogue(), DAY)
    assert not any("not looked for" in one.reason for one in told.not_checked)
