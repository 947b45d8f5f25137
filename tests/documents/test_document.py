"""A document is read as far as it goes, and whatever is wrong with it is told at its place."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest
from gonogo.documents.document import read_document, try_document
from gonogo.documents.error import DocumentErrors, NotText
from gonogo.documents.files import Listing
from gonogo.documents.location import Place
from gonogo.documents.schema import validator
from gonogo.documents.text import LINE_END
from hypothesis import given
from hypothesis import strategies as st
from ruamel.yaml import YAML

FULL = (Path(__file__).parents[1] / "schemas" / "full-profile.yaml").read_text("utf-8")
WORDS = "none null yes 200A -5 1e9 '' {} [] : , & * ! | > ? % @ ` - # \" ' } ] &a *a << 48,5 Ω \x07"
SPLICES = st.sampled_from([*WORDS.split(), "\t", "\n", " ", "\u2028", "pole_pairs: 5", "{a: 1}"])
EDITS = st.lists(st.tuples(st.integers(0, len(FULL)), st.integers(0, 6), SPLICES), max_size=4)


@dataclass(frozen=True, slots=True)
class OneFile:
    """A tree of files that holds the same text under every name."""

    text: str
    prefix: str = ""

    def read(self, path: str) -> bytes:
        """The text."""
        return self.text.encode()

    begin = read

    def exists(self, path: str) -> bool:
        """There is one under every name."""
        return True

    def paths(self, below: str = "") -> Listing:
        """None of them is listed."""
        return Listing(())


@given(EDITS)
def test_any_slip_in_a_real_profile_is_told_in_its_text(edits: list[tuple[int, int, str]]) -> None:
    """A profile with letters lost and added is accepted as the schema has it, or refused."""
    text = FULL
    for start, length, splice in edits:
        text = text[:start] + splice + text[start + length :]
    reading = try_document(OneFile(text), "alder.yaml", "profile")
    lines = LINE_END.split(text)
    for error in reading.errors:
        assert 1 <= error.line <= len(lines)
        assert 1 <= error.column <= len(lines[error.line - 1]) + 1
        assert isinstance(error, NotText) or error.text == lines[error.line - 1]
    if not reading.errors:
        value = YAML(typ="safe").load(text)
        assert validator("profile").is_valid({**value, "readings": {}, "waivers": []})


def test_the_fullest_profile_is_accepted() -> None:
    """Every key that the schema has is read, and every value has its place."""
    document = read_document(OneFile(FULL), "alder.yaml", "profile")
    assert document.kind == "profile"
    row = next(n for n, line in enumerate(FULL.splitlines(), 1) if "battery_cable_m:" in line)
    assert document.place("wiring", "battery_cable_m").line == row
    assert document.key_place("wiring", "battery_cable_m") == Place("alder.yaml", row, 3)
    assert document.line(row) == FULL.splitlines()[row - 1]


@pytest.mark.parametrize("kind", ["part", "house", "rule"])
def test_a_document_of_another_kind_is_refused(kind: str) -> None:
    """A profile in the place of a part is not half a part."""
    with pytest.raises(DocumentErrors) as caught:
        read_document(OneFile(FULL), "alder.yaml", kind)  # type: ignore[arg-type]
    (error,) = caught.value.errors
    assert (error.found, error.wanted) == ("`profile/1`", f"{kind}/1")
