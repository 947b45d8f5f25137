"""The failures that come with gonogo: their form, and that every name in them is one."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from gonogo.documents.contents import read_yaml
from gonogo.documents.schema import properties
from gonogo.judgement.catalogue import catalogue
from gonogo.rehearsal.failure_file import FailureSpec, failure_classes, failure_specs
from gonogo.reports.failure_groups import CLASS_TONES
from jsonschema import Draft202012Validator

ROOT = Path(__file__).parents[2]
SPECS = [pytest.param(spec, id=spec.failure) for spec in failure_specs()]


def test_the_file_has_the_form_that_its_schema_says() -> None:
    """Who adds a failure is told what a record holds."""
    path = ROOT / "rules" / "failures.yaml"
    schema = json.loads((ROOT / "schemas" / "failures.schema.json").read_text("utf-8"))
    Draft202012Validator(schema).validate(read_yaml(path.name, path.read_bytes()))


def test_each_failure_has_a_name_of_its_own() -> None:
    """A record is found by it."""
    names = [spec.failure for spec in failure_specs()]
    titles = [spec.title for spec in failure_specs()]
    assert len(set(names)) == len(names) >= 25
    assert len(set(titles)) == len(titles)


@pytest.mark.parametrize("spec", SPECS)
def test_what_catches_a_failure_is_an_entry_or_the_rider(spec: FailureSpec) -> None:
    """A reader looks the entry up; a rule that must be clear is one."""
    rules = {rule.id for rule in catalogue().about("profile")}
    for catch in spec.caught_by:
        assert catch.by == "rider" or catch.by in properties(), catch.by
        assert set(catch.clear) <= rules
        assert (catch.within_ms is None) == (catch.kind == "test")


def test_every_class_is_said_in_words() -> None:
    """A matrix whose heads nobody explains says nothing."""
    assert list(failure_classes().severities) == list(CLASS_TONES)
    assert {spec.severity for spec in failure_specs()} == set(CLASS_TONES)
