"""A shop's rule is tried on its own examples before it is used."""

from pathlib import Path

import gonogo
import pytest
from gonogo.documents.error import DocumentErrors, HouseError
from gonogo.judgement.catalogue import catalogue
from gonogo.judgement.rule import Rule
from gonogo.judgement.rule_examples import misfits

RULE = """\
id: ramp-short
severity: advice
of: settings.throttle.ramp_ms
at_least: 200
says: The ramp of {of} is shorter than {limit}.
because: A short ramp throws a new rider.
remedy: Set it to {limit} or more.
source: Common practice.
examples:
  - {given: {settings.throttle.ramp_ms: 200}, outcome: OUTCOME}
  - {given: {NAME: 199}, outcome: flagged}
"""
PROFILE = "gonogo: profile/1\nvehicle: {name: Rowan}\n"


@pytest.mark.parametrize("rule", catalogue().rules.values(), ids=lambda rule: rule.id)
def test_a_built_in_rule_meets_its_examples(rule: Rule) -> None:
    """What is asked of a shop is asked of us."""
    assert list(misfits(rule)) == []


@pytest.mark.parametrize(
    ("outcome", "name", "line", "wanted"),
    [
        ("flagged", "settings.throttle.ramp_ms", 10, "clear"),
        ("clear", "settings.throttle.ramp_m", 11, "a quantity"),
    ],
)
def test_a_rule_that_misses_its_example_is_told_where(
    tmp_path: Path, outcome: str, name: str, line: int, wanted: str
) -> None:
    """A wrong example is as likely as a wrong rule; either way the shop has to look."""
    (tmp_path / "own").mkdir()
    (tmp_path / "house.yaml").write_text("gonogo: house/1\nrules: own\n")
    rule = RULE.replace("OUTCOME", outcome).replace("NAME", name)
    (tmp_path / "own" / "ramp-short.yaml").write_text(rule)
    (tmp_path / "rowan.yaml").write_text(PROFILE)
    with pytest.raises(DocumentErrors) as caught:
        gonogo.check(tmp_path / "rowan.yaml")
    [error] = caught.value.errors
    assert isinstance(error, HouseError)
    assert (error.file, error.line) == ("own/ramp-short.yaml", line)
    assert wanted in error.wanted
