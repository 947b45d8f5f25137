"""A document of at most 1 MiB is answered in a number of steps that its size bounds.

A step is a call that the interpreter makes, of a function of ours, of a library or of its own: it is
counted, so a slow machine changes nothing. How long that takes, `tests/benchmark/documents.py` prints.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import Any, NamedTuple

import pytest
from gonogo.documents.bounded_validation import MOST_LOOKED_AT
from gonogo.documents.document import try_document
from gonogo.documents.repetition import first_repeated
from gonogo.documents.schema import schema
from gonogo.documents.text import nearest
from gonogo.documents.yaml_tree import MOST_ERRORS

from .slow_documents import DOCUMENTS, WARM

STEPS_OF_A_DOCUMENT = 2_500_000  # a hundred and some for each value that a document may hold


class Tree(NamedTuple):
    """One file in memory."""

    data: bytes
    prefix: str = ""

    def read(self, path: str) -> bytes:
        return self.data

    begin = read

    def exists(self, path: str) -> bool:
        return True

    def paths(self, below: str = "") -> Any:
        raise NotImplementedError


class TooManySteps(Exception):
    """A call that did not end within its bound."""


def steps(call: Callable[[], object], most: int) -> int:
    """How many calls a call makes; it is stopped when they are too many."""
    count = 0

    def counted(frame: object, event: str, argument: object) -> None:
        nonlocal count
        count += event in ("call", "c_call")
        if count > most:
            raise TooManySteps

    sys.setprofile(counted)
    try:
        call()
    finally:
        sys.setprofile(None)
    return count


@pytest.fixture(scope="module", autouse=True)
def _schemas_read_once() -> None:
    """What is read once for all documents is no step of one."""
    for text in WARM:
        try_document(Tree(text.encode()), "alder.yaml")


@pytest.mark.parametrize("name", DOCUMENTS)
def test_each_hostile_document_is_answered_in_bounded_steps(name: str) -> None:
    """A pull request must not be able to hold a build machine for minutes."""
    data = DOCUMENTS[name]().encode()
    assert len(data) <= 1 << 20
    answered: list[Any] = []
    tree = Tree(data)
    steps(lambda: answered.append(try_document(tree, "alder.yaml")), STEPS_OF_A_DOCUMENT)
    assert len(answered[0].errors) <= MOST_ERRORS


def test_a_repeated_item_is_found_in_one_walk() -> None:
    """Twice the items, twice the steps: each held against all before it would be four times."""
    counted = [
        steps(lambda items=items: first_repeated(items), 10**7)  # type: ignore[misc]
        for items in ([{"a": number} for number in range(size)] for size in (1000, 2000))
    ]
    assert counted[1] < 2.1 * counted[0]


@pytest.mark.parametrize(
    ("items", "repeated"),
    [
        ([1, 2, 1.0], 2),
        ([1, True, 0, False], None),
        ([{"a": 1, "b": [2]}, {"b": [2], "a": 1}], 1),
        ([[1, 2], [2, 1], "1", 1, None, "", [None], [True], [1]], None),
        ([{"a": 1}, [["a", 1]], {}, []], None),
    ],
)
def test_items_are_equal_as_json_has_it(items: list[Any], repeated: int | None) -> None:
    """JSON Schema 2020-12, 4.2.2: by mathematical value, by key, by place."""
    assert first_repeated(items) == repeated


def test_a_name_is_sought_once_among_all() -> None:
    """One walk over what is known, whatever the word."""
    known = [f"settings.entry_{number}_A" for number in range(200)]
    counted = [
        steps(lambda word=word: nearest(word, known), 10**7)  # type: ignore[misc]
        for word in ("settings.entry_77_V", "x" * 100_000)
    ]
    assert max(counted) < 200_000


def _sized(tree: Any) -> Any:
    """Every list and every open section of a schema."""
    if isinstance(tree, dict):
        if tree.get("type") == "array":
            yield tree.get("maxItems")
        if isinstance(tree.get("additionalProperties"), dict):
            yield tree.get("maxProperties")
        if isinstance(tree.get("properties"), dict):
            yield len(tree["properties"])
        for below in tree.values():
            yield from _sized(below)
    elif isinstance(tree, list):
        for below in tree:
            yield from _sized(below)


@pytest.mark.parametrize("kind", ["profile", "part", "house", "rule"])
def test_what_is_looked_at_is_more_than_a_schema_lets_in(kind: str) -> None:
    """So nothing that fits is ever passed over: what is longer is refused for that."""
    sizes = list(_sized(schema(kind)))
    assert sizes and all(size is not None and size < MOST_LOOKED_AT for size in sizes)
