"""What is quoted from a document cannot disturb the terminal that shows it."""

from __future__ import annotations

import re
import unicodedata

import pytest
from gonogo.documents.text import LONGEST_QUOTATION, UNSEEN, clean, cut, quoted
from hypothesis import given
from hypothesis import strategies as st


@given(st.text(max_size=400))
def test_a_quotation_is_short_and_harmless(text: str) -> None:
    """No escape sequence, no turned writing and no flood of text reaches the screen."""
    assert re.search(UNSEEN, quoted(text)) is None
    assert len(cut(text)) <= LONGEST_QUOTATION
    assert len(clean(text)) <= len(text)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        pytest.param("Larch", "Larch", id="a plain name stays"),
        pytest.param("Lärche 2 · 車", "Lärche 2 · 車", id="letters of any tongue stay"),
        pytest.param("\x1b[31mLarch\x1b[0m", "�[31mLarch�[0m", id="no colour of its own"),
        pytest.param("Larch\rGO", "Larch GO", id="no writing over the line"),
        pytest.param("GO\u202egnihton", "GO�gnihton", id="no turned reading"),
        pytest.param("GO\u200f", "GO�", id="no mark that turns its neighbours"),
        pytest.param("a\uffffb", "a�b", id="nothing that no XML may hold"),
        pytest.param("f\udcc3\udca4hre.yaml", "fähre.yaml", id="a file's name as bytes"),
        pytest.param("f\udce4hre.yaml", "f�hre.yaml", id="bytes that are no name"),
        pytest.param("Al\u200bder \u2764\ufe0f", "Al�der \u2764", id="nothing without width"),
        pytest.param("a\u009b2Jb", "a�2Jb", id="no eight-bit control"),
    ],
)
def test_a_name_cannot_move_the_terminal(text: str, shown: str) -> None:
    """A profile's name must not be able to paint a GO over a NO-GO."""
    assert clean(text) == shown


def test_a_long_text_is_cut_with_a_mark() -> None:
    """That something is missing is said."""
    assert cut("a" * 100) == "a" * (LONGEST_QUOTATION - 1) + "…"
    assert quoted(" \n") == "an empty text"


TURNS = ("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI")


@given(st.text() | st.text(st.characters(categories=["Cc", "Cf", "Cs", "Zl", "Zp"])))
def test_nothing_is_left_that_a_terminal_obeys(text: str) -> None:
    """By the Unicode database, not by our own list: no control, no line end, no turned writing."""
    shown = clean(text)
    assert not any(unicodedata.category(letter) in ("Cc", "Cs", "Zl", "Zp") for letter in shown)
    assert not any(unicodedata.bidirectional(letter) in TURNS for letter in shown)
    assert not set(shown) & set("\u061c\u200e\u200f")
    assert clean(shown) == shown
