"""Markdown fits in one comment, and what does not fit is named."""

from __future__ import annotations

import pytest
from gonogo.reports.markdown_cut import LARGEST_COMMENT, CommentPiece, fitted_comment
from hypothesis import given
from hypothesis import strategies as st

TAIL = "40 profiles"


def pieces(count: int, rows: int) -> list[CommentPiece]:
    """Vehicles, each with a table of so many findings, in letters of two and three bytes."""
    return [
        CommentPiece(f"NO-GO Höhe {number}", f"## Höhe {number}\n\n| a | b |\n|---|---|\n" + "\n".join(f"| {row} | zu heiß → 90 °C |" for row in range(rows)))
        for number in range(count)
    ]  # fmt: skip


def size(text: str) -> int:
    return len(text.encode())


def test_what_fits_is_left_alone() -> None:
    """A short report is whole."""
    text = fitted_comment("# Report", pieces(2, 3), TAIL)
    assert text.startswith("# Report\n\n## Höhe 0") and text.endswith(f"\n\n{TAIL}\n")
    assert "Cut" not in text


def test_a_vehicle_is_told_whole_or_only_named() -> None:
    """The worst stand first, so the cut loses the least; nobody misses one without a word."""
    whole = pieces(40, 200)
    text = fitted_comment("# Report", whole, TAIL)
    kept = [piece for piece in whole if piece.text in text]
    assert LARGEST_COMMENT - size(whole[0].text) < size(text) <= LARGEST_COMMENT
    assert kept == whole[: len(kept)] and 5 < len(kept) < 40
    assert text.count("## Höhe") == len(kept)
    assert f"{40 - len(kept)} of 40 vehicles and files are left out" in text
    assert all(piece.name in text for piece in whole[len(kept) :])
    assert text.endswith(f"\n\n{TAIL}\n")


def test_one_vehicle_that_is_too_long_ends_at_a_finding() -> None:
    """Its first findings are its gravest."""
    whole = pieces(2, 9000)
    text = fitted_comment("# Report", whole, TAIL)
    assert size(text) <= LARGEST_COMMENT and text.endswith(f"\n\n{TAIL}\n")
    told, note, _ = text.rsplit("\n\n", 2)
    assert told.removeprefix("# Report\n\n") in whole[0].text and told.endswith(" °C |")
    assert "only the beginning of NO-GO Höhe 0 stands here" in note
    assert "1 of 2 vehicles and files are left out (NO-GO Höhe 1)" in note


def test_of_many_that_are_left_out_some_are_named_and_the_others_counted() -> None:
    """A list of a thousand names would be cut itself."""
    text = fitted_comment("# Report", pieces(1000, 20), TAIL)
    assert size(text) <= LARGEST_COMMENT and "; and " in text


def test_no_block_of_code_is_left_open() -> None:
    """Else all that follows would be code."""
    code = "```yaml\n" + "key: value\n" * 9000 + "```"
    text = fitted_comment("# Report", [CommentPiece("GO Alder", f"## Alder\n\n{code}")], TAIL)
    assert "```" not in text and "## Alder" in text


@given(
    st.text(max_size=400),
    st.lists(st.tuples(st.text(max_size=30), st.text(max_size=900)), max_size=60),
    st.integers(9_000, 20_000),
)
@pytest.mark.parametrize("tail", ["", TAIL])
def test_no_text_is_longer_than_it_may_be(
    tail: str, head: str, some: list[tuple[str, str]], limit: int
) -> None:
    """In bytes of UTF-8, of which no text has fewer than characters."""
    given_pieces = [
        CommentPiece(name.encode("utf-8", "replace").decode()[:30], text) for name, text in some
    ]
    assert len(fitted_comment(head, given_pieces, tail, limit).encode("utf-8", "replace")) <= limit


@pytest.mark.parametrize("tail", ["ü\\_" * 60_000, "a @b " * 40_000, "&#64;" * 30_000])
def test_a_sum_of_any_length_is_cut_between_words_or_marks(tail: str) -> None:
    """It names files, and a stranger's may be called anything."""
    text = fitted_comment("# Report", pieces(40, 200), tail)
    assert size(text) <= LARGEST_COMMENT and text.startswith("# Report\n\n## Höhe 0")
    last = text.rstrip("\n").rsplit("\n\n", 1)[1].removesuffix(" …")
    assert last and tail.startswith(last)
    assert last.endswith(("\\_", "ü", "b", "a", ";"))
