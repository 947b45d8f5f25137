"""The frozen catalogue is small, whole, and all there is where a test module asks for it."""

from __future__ import annotations

from pathlib import Path

from gonogo.comparison.followup import causes
from gonogo.judgement.catalogue import Catalogue, catalogue
from gonogo.judgement.proposal import starting_points
from gonogo.judgement.rule import BOUNDS, SEVERITIES
from gonogo.judgement.rule_examples import misfits

FOLDER = Path(__file__).parent / "catalogue" / "rules"
TOPICS = {"controller", "documents", "drivetrain", "motor", "pack", "throttle", "wiring"}
SUBJECTS = {"profile", "waiver", "override", "required", "document", "window"}


def test_it_is_all_there_is(frozen: Catalogue) -> None:
    """A rule added to gonogo tomorrow is not in it, so that it moves no screen."""
    assert catalogue() is frozen
    assert set(frozen.rules) == {path.stem for path in FOLDER.glob("*/*.yaml")}
    assert starting_points() and causes()


def test_it_has_one_of_every_sort(frozen: Catalogue) -> None:
    """What a screen can show is shown by some rule of it."""
    rules = frozen.rules.values()
    assert {rule.severity for rule in rules} == set(SEVERITIES)
    assert {rule.topic for rule in rules} == TOPICS
    assert {rule.subject for rule in rules} == SUBJECTS
    assert {rule.bound for rule in rules} == set(BOUNDS)
    assert {rule.modes for rule in rules} >= {"each", "base"}
    for sort in ("gate", "waivable", "applies", "condition"):
        assert {bool(getattr(rule, sort)) for rule in rules} == {True, False}, sort


def test_its_rules_meet_their_examples(frozen: Catalogue) -> None:
    """Frozen, and not forgotten: the language of rules may not leave them behind."""
    assert [rule.id for rule in frozen.rules.values() for _ in misfits(rule)] == []
