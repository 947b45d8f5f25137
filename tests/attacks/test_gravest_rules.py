"""The gravest rules, stated twice by different hands, say the same of builds made by chance."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from gonogo.judgement.catalogue import catalogue

from . import gravest_rules
from .gravest_rules import CLEAR, FOUND, GRAVEST, OPEN
from .gravest_trial import Asked, Trial, asked, compared

BUILDS = 1500
FEWEST = 40  # of each outcome of each rule
PLAIN = {"__future__", "collections.abc", "math", "typing"}


@pytest.fixture(scope="module")
def answers() -> list[Asked]:
    """What gonogo says of the builds."""
    return list(asked(BUILDS))


@pytest.fixture(scope="module")
def tried(answers: list[Asked]) -> Trial:
    """Both asked about the same builds."""
    return compared(answers)


def test_both_find_the_same_dangers(tried: Trial) -> None:
    """A mistake in a formula that two people make alike is rarer than one that one makes alone."""
    assert tried.builds == BUILDS
    assert tried.partings == []


@pytest.mark.parametrize("rule", GRAVEST)
def test_every_outcome_is_met_often(rule: str, tried: Trial) -> None:
    """Two that agree on nothing but harmless builds agree on nothing."""
    for outcome in (FOUND, CLEAR, OPEN):
        assert tried.outcomes[rule, outcome] >= FEWEST, outcome


def test_what_is_stated_twice_can_hurt() -> None:
    """Each of them is a danger, from its limit on or further out, and there are twenty and more."""
    assert len(GRAVEST) >= 20
    for name in GRAVEST:
        rule = catalogue().rules[name]
        assert "danger" in (rule.severity, *(step.severity for step in rule.steps)), name


def test_the_restatement_takes_nothing_from_gonogo() -> None:
    """Else a mistake would agree with itself."""
    tree = ast.parse(Path(gravest_rules.__file__).read_text("utf-8"))
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            assert {name.name for name in node.names} <= PLAIN
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0 and node.module in PLAIN


@pytest.mark.parametrize(
    ("name", "value", "rule"),
    [
        ("COLD_MAGNETS", 1.02, "back-emf-above-controller"),
        ("MAGNET_LOSS_PER_K", 0.0011, "throttle-start-near-rest"),
        ("CUSTOM", {**gravest_rules.CUSTOM, "fuse_cable_factor": 1.26}, "fuse-above-cable"),
        ("CLASS_DEGC", {**gravest_rules.CLASS_DEGC, "F": 156}, "motor-stop-above-insulation"),
        ("SYMBOL_KM_H", {**gravest_rules.SYMBOL_KM_H, "F": 82}, "speed-above-tyre"),
    ],
)
def test_a_small_mistake_is_noticed(
    name: str, value: object, rule: str, answers: list[Asked], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Builds lie so close to their limits that a hundredth on one side parts the two."""
    monkeypatch.setattr(gravest_rules, name, value)
    assert {parting.rule for parting in compared(answers).partings} == {rule}
