"""The frozen catalogue is small, whole, and all there is where a test module asks for it."""

from __future__ import annotations

from pathlib import Path

import pytest
from gonogo.comparison.followup import causes
from gonogo.judgement.catalogue import Catalogue, catalogue
from gonogo.judgement.proposal import starting_points
from gonogo.judgement.rule import BOUNDS, SEVERITIES
from gonogo.judgement.rule_examples import misfits
from gonogo.rehearsal.failure_file import failure_specs
from gonogo.suspicion.slip_rows import slip_table
from gonogo.tolerances.tolerance import rules_of_entries, stated_entries, tolerances

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


@pytest.mark.usefixtures("frozen")
def test_its_tables_are_read_as_those_that_come_with_gonogo() -> None:
    """A table that got another key is another table here too; these are empty, so that no screen moves."""
    assert (slip_table().slips, slip_table().faults) == ((), ())
    assert (failure_specs(), tolerances()) == ((), ())
    assert not rules_of_entries() and not stated_entries()
