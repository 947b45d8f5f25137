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

from .test_hazards import CASES, DAY, placed

WORKSHOP = sorted((Path(__file__).parents[2] / "examples" / "workshop" / "vehicles").glob("*.yaml"))


def followed(profile: Profile, finding: Finding) -> Profile | None:
    """The profile as it reads when a remedy's value is entered where it belongs."""
    assert finding.advised is not None
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


def stopping(judgement: Judgement) -> set[str]:
    return {one.rule.id for one in judgement.findings if one.severity in STOPS}


def advice_of(rule: str, judgement: Judgement) -> int:
    return sum(1 for one in judgement.findings if one.rule.id == rule)


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
        elif advice_of(finding.rule.id, after) >= advice_of(finding.rule.id, before):
            yield f"{finding.rule.id} ({finding.entered_as} = {finding.advised}) stays"


@pytest.mark.parametrize("path", WORKSHOP, ids=lambda path: str(path.stem))
def test_the_remedies_of_the_workshop_hold(path: Path) -> None:
    """Who enters what a finding says is not sent to the next finding."""
    assert list(led_astray(load(path))) == []


@pytest.mark.parametrize("case", CASES, ids=lambda case: str(case["id"]))
def test_the_remedies_of_a_case_hold(case: Mapping[str, Any], tmp_path: Path) -> None:
    """The build is bad enough without advice that makes it worse."""
    assert list(led_astray(load(placed(case, tmp_path)))) == []
