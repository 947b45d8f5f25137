"""Every slip that a document can hold is answered at its place, in words, and all at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
from gonogo.documents.error import DocumentError, DocumentErrors
from gonogo.documents.loading import load
from ruamel.yaml import YAML

HERE = Path(__file__).parent
Expect = Callable[[str, str], None]
BAD = sorted(path.name for path in (HERE / "bad").glob("*.yaml") if path.name != "house.yaml")


UNTOLD = "Say here what is wrong with it."


def purpose(name: str) -> str:
    """What a bad file is about, as its answers say in their first line."""
    path = HERE / "answers" / name
    kept = YAML(typ="safe").load(path.read_text("utf-8")) if path.exists() else {}
    return str(kept.get("purpose", UNTOLD))


def quoted(text: str | None) -> str:
    """A text between single quotation marks, as YAML has it."""
    return "'{}'".format((text or "").replace("'", "''"))


def answer(error: DocumentError, name: str) -> str:
    """One error in all its fields, the file only where it is another one."""
    lines = [f"error: {type(error).__name__}"]
    lines += [f"file: {error.file}"] if error.file != name else []
    lines += [f"at: [{error.line}, {error.column}]", f"found: {quoted(error.found)}"]
    lines += [f"wanted: {quoted(error.wanted)}"]
    lines += [f"nearest: {quoted(error.nearest)}"] if error.nearest is not None else []
    return "  - " + "\n    ".join(lines) + "\n"


def refused(name: str) -> Sequence[DocumentError]:
    """The errors that reading a bad file draws."""
    with pytest.raises(DocumentErrors) as caught:
        load(HERE / "bad" / name)
    return caught.value.errors


@pytest.mark.parametrize("name", BAD)
def test_a_bad_file_is_answered_at_each_place(name: str, expect: Expect) -> None:
    """Whoever wrote it sees every slip of it at once, and what to write instead."""
    told = "".join(answer(error, name) for error in refused(name))
    expect(f"answers/{name}", f"purpose: {quoted(purpose(name))}\nerrors:\n{told}")


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


@pytest.mark.parametrize("name", BAD)
def test_a_bad_file_has_one_purpose(name: str) -> None:
    """Whoever accepts an answer says what it is the answer to."""
    assert purpose(name).endswith(".") and purpose(name) != UNTOLD
