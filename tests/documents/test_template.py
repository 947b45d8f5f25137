"""A new profile's text, and files of which one is not written yet."""

from __future__ import annotations

import doctest
from importlib import import_module
from pathlib import Path

import pytest
from gonogo.documents.files import WorkingTree
from gonogo.documents.loading import load_profile
from gonogo.documents.repository import Draft, Repository
from gonogo.documents.template import profile_text, scalar_text
from ruamel.yaml import YAML


def test_a_new_profile_reads_back_as_it_was_meant(tmp_path: Path) -> None:
    """In the schema's order, each reason above its entry."""
    text = profile_text(
        {
            "settings.throttle.start_V": 0.98,
            "vehicle.name": "Oak: the 2nd #1",
            "vehicle.wet": True,
            "wiring.fuse": "none",
            "settings.pole_pairs": 7,
        },
        {"settings.pole_pairs": "Half of the magnets."},
        "Begun today.",
        "readings follow",
    )
    assert YAML(typ="safe").load(text) == {
        "gonogo": "profile/1",
        "vehicle": {"name": "Oak: the 2nd #1", "wet": True},
        "wiring": {"fuse": "none"},
        "settings": {"pole_pairs": 7, "throttle": {"start_V": 0.98}},
    }
    assert "  # Half of the magnets.\n  pole_pairs: 7\n" in text
    repository = Repository(Draft(WorkingTree(tmp_path), "oak.yaml", text.encode()))
    assert load_profile(repository, "oak.yaml").name == "Oak: the 2nd #1"
    assert not (tmp_path / "oak.yaml").exists()


@pytest.mark.parametrize(
    "word", ["no", "12", "1e3", "a: b", "# a", "true", "- x", "", "it's", "ä", "null", "*a", "x "]
)
def test_a_text_that_could_be_mistaken_is_quoted(word: str) -> None:
    """A vehicle may be called anything."""
    assert YAML(typ="safe").load(f"name: {scalar_text(word)}") == {"name": word}


def test_a_draft_shows_one_file_as_it_would_be(tmp_path: Path) -> None:
    """The others are what they are."""
    (tmp_path / "one.yaml").write_bytes(b"old")
    (tmp_path / "two.yaml").write_bytes(b"other")
    draft = Draft(WorkingTree(tmp_path), "one.yaml", b"new")
    assert (draft.read("one.yaml"), draft.begin("one.yaml")) == (b"new", b"new")
    assert (draft.read("two.yaml"), draft.begin("two.yaml")) == (b"other", b"other")
    assert draft.exists("one.yaml") and draft.exists("two.yaml") and not draft.exists("three.yaml")
    assert draft.paths().paths == ("one.yaml", "two.yaml")
    assert draft.prefix == ""


@pytest.mark.parametrize(
    "name",
    [
        "documents.template",
        "documents.written",
        "commands.typed_sum",
        "commands.answer",
        "judgement.sweep",
    ],
    ids=lambda name: name,
)
def test_the_examples_of_a_module_hold(name: str) -> None:
    """A docstring that lies is worse than none."""
    failed, tried = doctest.testmod(import_module(f"gonogo.{name}"))
    assert (failed, tried > 0) == (0, True)
