"""Bytes become text, and the place of the first byte that is none is told."""

from __future__ import annotations

import pytest
from gonogo.documents.error import NotText
from gonogo.documents.text import decode, line_of, nearest, position


@pytest.mark.parametrize(
    ("data", "place"),
    [
        pytest.param(b"name: \xe4", (1, 7), id="on the first line"),
        pytest.param("ä: 1\r\nö: ".encode() + b"\xff", (2, 4), id="letters count, not bytes"),
        pytest.param(b"\xef\xbb\xbfa: \xff", (1, 4), id="behind a byte order mark"),
        pytest.param(b"a: 1\n\x00", (2, 1), id="a binary file"),
        pytest.param(b"a: 1\rb: \x7f", (2, 4), id="line ends of an old system"),
        pytest.param("a: \u2028".encode(), (1, 4), id="a line end that editors do not show"),
        pytest.param("a: \x85".encode(), (1, 4), id="another of them"),
    ],
)
def test_what_is_no_text_is_refused_at_its_place(data: bytes, place: tuple[int, int]) -> None:
    """An editor that counts letters finds the byte."""
    with pytest.raises(NotText) as caught:
        decode(data, "alder.yaml")
    assert (caught.value.line, caught.value.column) == place


@pytest.mark.parametrize(
    "data",
    [b"\xef\xbb\xbfa: 1\n", b"a: 1\n", b"a: 1\r\n", b"a:\t1\n", "ä: Ω°µ 😀\n".encode(), b""],
)
def test_text_of_every_editor_is_taken(data: bytes) -> None:
    """Byte order marks, tabs and line ends of any system do no harm."""
    assert decode(data, "alder.yaml") == data.removeprefix(b"\xef\xbb\xbf").decode()


def test_lines_end_as_editors_end_them() -> None:
    """A form feed ends no line, so that places after it are right."""
    text = "a\r\nb\x0cc\rd"
    assert [line_of(text, number) for number in range(5)] == ["", "a", "b\x0cc", "d", ""]
    assert position("a\r\nbc") == (2, 3)


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        pytest.param("pole_pair", "pole_pairs", id="a letter short"),
        pytest.param("polepairs", "pole_pairs", id="a dash short"),
        pytest.param("max_rpm", None, id="another word"),
        pytest.param("", None, id="nothing"),
        pytest.param("pole_pairs" * 1000, None, id="no slip, and not compared letter by letter"),
    ],
)
def test_the_nearest_name_is_a_slip_away(word: str, meant: str | None) -> None:
    """A guess further off would send the reader astray."""
    assert nearest(word, iter(["pole_pairs", "direction"])) == meant
