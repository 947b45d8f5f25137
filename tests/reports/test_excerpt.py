"""The excerpt: the line of the document with its value marked, cut to fit."""

from __future__ import annotations

import pytest
from gonogo.reports.excerpt import marked
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len


def shown_as(line: str, column: int, width: int) -> str:
    """The three parts of an excerpt as they are read."""
    return "".join(marked(line, column, width))


@pytest.mark.parametrize(
    ("line", "at", "shown"),
    [
        pytest.param("  stop_V: 42", "42", "stop_V: »42«", id="a number"),
        pytest.param("stop_V: 42 # for winter", "42", "stop_V: »42« # for winter", id="a remark"),
        pytest.param("{a: 1, stop_V: 42, b: 2}", "42", "{a: 1, stop_V: »42«, b: 2}", id="one line"),
        pytest.param("{a: 1, stop_V: 42}", "42", "{a: 1, stop_V: »42«}", id="the last of a line"),
        pytest.param('name: "A: b, c" # x', '"A', 'name: »"A: b, c"« # x', id="in quotes"),
        pytest.param("name: it's # x", "it", "name: »it's« # x", id="an apostrophe inside"),
        pytest.param("rest_V: [0.8, 0.82]", "[", "rest_V: »[0.8, 0.82]«", id="a list"),
        pytest.param("fuse: none", "none", "fuse: »none«", id="a word"),
        pytest.param("kind: dual hall, x", "dual", "kind: »dual hall«, x", id="two words"),
        pytest.param("  fuse:", "fuse", "»fuse«:", id="a section"),
        pytest.param("wiring: {fuse: none}", "wiring", "»wiring«: {fuse: none}", id="its key"),
        pytest.param("- {rule: a-b, until: x}", "{", "- »{rule: a-b, until: x}«", id="an entry"),
        pytest.param("pack: {cell: {", "{cell", "pack: »{cell: {«", id="goes on below"),
    ],
)
def test_the_value_is_marked_and_nothing_else(line: str, at: str, shown: str) -> None:
    """The eye must land on the value to change, not on its neighbour."""
    assert shown_as(line, line.index(at) + 1, 80) == shown


@pytest.mark.parametrize(
    ("line", "at"),
    [
        pytest.param(f"stop_V: a{' ' * 900_000}b", "a", id="blanks inside a value"),
        pytest.param(f"[{'a' * 900_000}, b]", "b", id="a word that is no key before it"),
        pytest.param(f"a: {'[' * 900_000}", "[", id="brackets"),
    ],
)
def test_a_line_without_end_is_looked_at_where_it_matters(line: str, at: str) -> None:
    """A line of a megabyte, written so as to be slow to read, is shown as soon as any other."""
    shown = shown_as(line, line.rindex(at) + 1 if at != "[" else 4, 60)
    assert cell_len(shown) <= 60
    assert at in shown


def test_a_long_line_is_cut_round_the_value_and_keeps_its_key() -> None:
    """A section written on one line is long; the key and its value are what matters."""
    line = "settings: {" + ", ".join(f"a{n}_V: {n}" for n in range(20)) + ", stop_V: 42, b_V: 1}"
    shown = shown_as(line, line.index("42") + 1, 30)
    assert shown == "… stop_V: »42«, b_V: 1}"


@pytest.mark.parametrize("column", [0, 9, 99])
def test_a_place_without_text_shows_nothing(column: int) -> None:
    """An empty document or a line that changed meanwhile must not stop the report."""
    assert shown_as("", column, 40) == ""


@given(
    st.text(alphabet=st.characters(exclude_categories=("Cs",), exclude_characters="\n\r")),
    st.integers(min_value=1, max_value=200),
    st.integers(min_value=12, max_value=80),
)
def test_no_excerpt_is_wider_than_its_place(line: str, column: int, width: int) -> None:
    """Whatever stands in a document, its line fits the tag."""
    assert cell_len(shown_as(line, column, width)) <= width
