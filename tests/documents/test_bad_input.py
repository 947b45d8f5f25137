"""Every slip that a document can hold is answered at its place, in words, and all at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from gonogo.documents import error as errors
from gonogo.documents.error import DocumentError, DocumentErrors
from gonogo.documents.loading import load
from ruamel.yaml import YAML

HERE = Path(__file__).parent
BAD = sorted(path.name for path in (HERE / "bad").glob("*.yaml") if path.name != "house.yaml")


@dataclass(frozen=True, slots=True)
class Answer:
    """One error that a bad file must be answered with."""

    error: str
    at: Sequence[int]
    found: str
    wanted: str
    nearest: str | None = None
    file: str | None = None

    def fields(self, file: str) -> tuple[Any, ...]:
        """The error's class and all its fields."""
        line, column = self.at
        sort = getattr(errors, self.error)
        return (sort, self.file or file, line, column, self.found, self.wanted, self.nearest)


@dataclass(frozen=True, slots=True)
class Case:
    """What a bad file is about, and its errors in order."""

    purpose: str
    errors: Sequence[dict[str, Any]]


@pytest.fixture
def answers(request: pytest.FixtureRequest) -> list[Answer]:
    """The answers to the bad file of this test; a file without any fails."""
    name = request.getfixturevalue("name")
    case = Case(**YAML(typ="safe").load((HERE / "answers" / name).read_text("utf-8")))
    assert case.purpose.endswith(".")
    return [Answer(**one) for one in case.errors]


def refused(name: str) -> Sequence[DocumentError]:
    """The errors that reading a bad file draws."""
    with pytest.raises(DocumentErrors) as caught:
        load(HERE / "bad" / name)
    return caught.value.errors


@pytest.mark.parametrize("name", BAD)
def test_a_bad_file_is_answered_at_each_place(name: str, answers: list[Answer]) -> None:
    """Whoever wrote it sees every slip of it at once, and what to write instead."""
    told = [(type(error), *error.fields) for error in refused(name)]
    assert told == [answer.fields(name) for answer in answers]


@pytest.mark.parametrize("name", BAD)
def test_what_was_found_stands_at_the_place(name: str) -> None:
    """The cursor lands on the slip, and not beside it."""
    for error in refused(name):
        quoted = error.found.split("`")[1] if error.found.startswith("`") else ""
        apart = (", ", " and ", "\N{REPLACEMENT CHARACTER}")
        if quoted and not any(word in error.found for word in apart):
            shown = quoted.strip("\"'")
            assert error.text[error.column - 1 :].lstrip("\"'").startswith(shown), error


@pytest.mark.parametrize("name", BAD)
def test_a_place_draws_one_error(name: str) -> None:
    """Three complaints about one word would hide the next word's."""
    places = [error.place for error in refused(name)]
    assert len(places) == len(set(places))


def test_every_answer_belongs_to_a_bad_file() -> None:
    """A renamed case would otherwise never be read again."""
    assert BAD == sorted(path.name for path in (HERE / "answers").iterdir())
    assert len(BAD) > 60
