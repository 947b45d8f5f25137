"""What is quoted from a document cannot disturb the terminal that shows it."""

from __future__ import annotations

from gonogo.documents.text import LONGEST, UNSEEN, clean, cut, quoted
from hypothesis import given
from hypothesis import strategies as st


@given(st.text(max_size=400))
def test_a_quotation_is_short_and_harmless(text: str) -> None:
    """No escape sequence, no turned writing and no flood of text reaches the screen."""
    assert UNSEEN.search(quoted(text)) is None
    assert len(cut(text)) <= LONGEST
    assert len(clean(text)) == len(text)


def test_a_long_text_is_cut_with_a_mark() -> None:
    """That something is missing is said."""
    assert cut("a" * 100) == "a" * (LONGEST - 1) + "…"
    assert quoted(" \n") == "an empty text"
