"""Small books, rules and vehicles, so that a judge's test says only what it is about."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
from gonogo.documents.loading import load
from gonogo.documents.location import Place
from gonogo.documents.profile import Given, Profile
from gonogo.documents.schema import allowances
from gonogo.judgement.catalogue import Catalogue, catalogue_of
from gonogo.judgement.finding import Judgement
from gonogo.judgement.judge import judge
from gonogo.judgement.rule import Rule
from gonogo.judgement.rule_file import rule_of
from gonogo.quantities.book import Book

TODAY = "2026-11-25"
SENTENCES = {"says": "It is {of}.", "because": "It hurts.", "remedy": "Mend it.", "source": "Ours."}


@pytest.fixture(scope="session")
def today() -> str:
    """The day on which these tests judge."""
    return TODAY


@pytest.fixture(scope="session")
def book() -> Callable[..., Book]:
    """Writes a book from values: `book({"pack.series": 16}, absent=["wiring.fuse"])`."""

    def write(values: Mapping[str, Any], absent: tuple[str, ...] = ()) -> Book:
        nowhere = Place("bench.yaml", 1, 1)
        given = {name: Given(name, told, name, told, 1.0, nowhere) for name, told in values.items()}
        house = {name: allowance.default for name, allowance in allowances().items()}
        return Book(given, house, TODAY, absent)

    return write


@pytest.fixture(scope="session")
def rule() -> Callable[..., Rule]:
    """Compiles a rule from the keys that matter to a test."""

    def compiled(**data: Any) -> Rule:
        whole = {"id": "tried", "severity": "danger", **SENTENCES, **data}
        return rule_of(whole, "pack", f"pack/{whole['id']}.yaml")

    return compiled


@pytest.fixture(scope="session")
def rules(rule: Callable[..., Rule]) -> Callable[..., Catalogue]:
    """A catalogue of a few rules: `rules(first, {"id": "second", …})`."""

    def collected(*some: Rule | Mapping[str, Any]) -> Catalogue:
        return catalogue_of(
            [one if isinstance(one, Rule) else rule(**one) for one in some], "sha256:0"
        )

    return collected


@pytest.fixture
def vehicle(tmp_path: Path) -> Callable[..., Profile]:
    """Reads a profile from its text, with a name and nothing else told."""

    def read(text: str = "", name: str = "larch") -> Profile:
        path = tmp_path / f"{name}.yaml"
        path.write_text(f"gonogo: profile/1\nvehicle: {{name: Larch}}\n{text}", encoding="utf-8")
        return load(path)

    return read


@pytest.fixture
def judged(vehicle: Callable[..., Profile]) -> Callable[..., Judgement]:
    """Judges a profile's text by a catalogue: `judged(text, catalogue)`."""

    def verdict(text: str, by: Catalogue, day: str = TODAY, strict: bool = False) -> Judgement:
        return judge(vehicle(text), by, day, strict)

    return verdict
