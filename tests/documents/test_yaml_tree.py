"""Values are those of the text, and each knows the place where it is written."""

from __future__ import annotations

import json
from typing import Any

import pytest
from gonogo.documents.error import NotText
from gonogo.documents.text import LINE_END, decode
from gonogo.documents.yaml_tree import YamlNode, grow
from hypothesis import given
from hypothesis import strategies as st
from ruamel.yaml import YAML

WORDS = (
    st.text("abcxyzäöüΩ°µ😀 -", min_size=1, max_size=12)
    .map(str.strip)
    .filter(lambda text: text and text[0] not in "- " and text not in ("y", "n"))
)
NUMBERS = st.integers(-9999, 9999) | st.floats(-1e6, 1e6).map(lambda value: round(value, 3))
SCALARS = NUMBERS | WORDS | st.booleans() | st.none()
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(WORDS, inner, max_size=4),
    max_leaves=20,
)
DOCUMENTS = st.dictionaries(WORDS, VALUES, min_size=1, max_size=5)


def written(value: Any, indent: int, flow: bool, ends: str) -> str:
    """A value as YAML, in braces or in lines of their own."""
    if not isinstance(value, dict | list) or not value or flow:
        return " " + in_braces(value)
    entries = value.items() if isinstance(value, dict) else enumerate(value)
    lines = []
    for number, (key, inner) in enumerate(entries):
        lead = f"{key}:" if isinstance(value, dict) else "-"
        deeper = written(inner, indent + 2, number % 2 == 1, ends)
        lines.append(f"{' ' * indent}{lead}{deeper}")
    return ends + ends.join(lines)


def in_braces(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {in_braces(v)}" for key, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(in_braces(inner) for inner in value) + "]"
    if isinstance(value, str):
        return value
    return json.dumps(value)


def scalars(node: YamlNode) -> list[YamlNode]:
    """Every value that holds no others."""
    if isinstance(node.value, dict | list) and node.value:
        return [found for below in node.below.values() for found in scalars(below)]
    return [node]


@given(DOCUMENTS, st.sampled_from(["\n", "\r\n"]), st.booleans(), st.booleans())
def test_every_value_stands_at_its_place(
    value: dict[str, Any], ends: str, mark: bool, comment: bool
) -> None:
    """A finding marks the value itself, whatever letters, line ends and braces come before it."""
    text = ("# Ω" + ends if comment else "") + written(value, 0, False, ends).lstrip() + ends
    data = (b"\xef\xbb\xbf" if mark else b"") + text.encode()
    tree = grow(decode(data, "alder.yaml"), "alder.yaml")
    assert tree.root is not None and tree.errors == ()
    assert tree.root.value == value
    lines = LINE_END.split(text)
    for node in scalars(tree.root):
        place = node.event.start_mark
        assert lines[place.line][place.column :].startswith(in_braces(node.value))


@given(DOCUMENTS)
def test_values_are_those_that_the_library_reads(value: dict[str, Any]) -> None:
    """Our own building adds places and takes nothing away."""
    text = written(value, 0, False, "\n").lstrip()
    tree = grow(text, "alder.yaml")
    assert tree.root is not None
    assert tree.root.value == YAML(typ="safe").load(text)


def at(text: str, *keys: str | int) -> tuple[int, int]:
    """Line and column of a value, counted from 1."""
    node = grow(text, "alder.yaml").root
    assert node is not None
    for key in keys:
        node = node.below[key]
    return node.event.start_mark.line + 1, node.event.start_mark.column + 1


@pytest.mark.parametrize(
    ("text", "place"),
    [
        pytest.param("a:\n  b: 1\n", (2, 6), id="in a section"),
        pytest.param("a:\n\n  # why\n\n  b:   1 # so\n", (5, 8), id="behind lines of comment"),
        pytest.param("a: {c: 2,\n  b: 1}\n", (2, 6), id="in braces over two lines"),
        pytest.param('a:\n  b: "1"\n', (2, 6), id="in quotes"),
        pytest.param("a:\n  b: |\n    one\n    two\n", (2, 6), id="a text of several lines"),
        pytest.param("a:\n  b:\n    one\n    two\n", (3, 5), id="a text on the next line"),
        pytest.param("ä: 1\na: {ö: '😀', b: 1}\n", (2, 16), id="behind letters of many bytes"),
        pytest.param("'a':\n    ? b\n    : 1\n", (3, 7), id="the long way of writing it"),
        pytest.param("x: &x {b: 1}\na: *x\n", (1, 11), id="an alias: where it is written"),
    ],
)
def test_a_value_is_found_where_an_editor_shows_it(text: str, place: tuple[int, int]) -> None:
    """Columns count letters, and lines count as the editor counts them."""
    assert at(text, "a", "b") == place


def test_an_alias_within_bounds_is_a_value_twice() -> None:
    """Plain YAML for a pair of equal stages."""
    text = "stages:\n  - &first {driving_teeth: 14, driven_teeth: 42}\n  - *first\n"
    tree = grow(text, "alder.yaml")
    assert tree.root is not None and tree.errors == ()
    assert tree.root.value["stages"][0] == tree.root.value["stages"][1]
    assert at(text, "stages", 1) == (3, 5)


@given(st.text(max_size=200) | st.text(":-[]{}&*!|>'\"%@`,#? \n\tab1.", max_size=60))
def test_any_text_is_read_or_refused(text: str) -> None:
    """No text makes the reader stumble, and every error is told inside the text."""
    try:
        text = decode(text.encode("utf-8", "surrogatepass"), "alder.yaml")
    except NotText:
        return
    lines = LINE_END.split(text)
    for error in grow(text, "alder.yaml").errors:
        assert 1 <= error.line <= len(lines)
        assert 1 <= error.column <= len(lines[error.line - 1]) + 1
