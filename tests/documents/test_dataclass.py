"""Our values are dataclasses like any other, only declared sooner."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from dataclasses import FrozenInstanceError, field

import pytest
from gonogo.documents.dataclass import dataclass


@dataclass(frozen=True, slots=True)
class Cell:
    """A value with a default, a list made anew for each, and a note that does not count."""

    name: str
    full_V: float = 4.2
    places: list[int] = field(default_factory=list)
    note: str = field(default="", repr=False, compare=False)


@dataclass(frozen=True, slots=True)
class Link:
    """A value of a single field."""

    cell: str


def test_values_of_one_class_with_like_fields_are_equal() -> None:
    """A finding in two modes is one finding: they are compared by what they say."""
    assert Cell("a", 4.1) == Cell("a", 4.1, [], "seen")
    assert Cell("a", 4.1) != Cell("a", 4.2)
    assert Link("a") != Cell("a")
    assert Link("a") != ("a",)


def test_equal_values_are_one_key() -> None:
    """Places are the keys by which errors are told apart."""
    assert {Link("a"): 1, Link("b"): 2}[Link("b")] == 2
    assert len({Link("a"), Link("a")}) == 1


def test_a_value_shows_its_fields() -> None:
    """A failing test prints what was found."""
    assert repr(Cell("a", note="seen")) == "Cell(name='a', full_V=4.2, places=[])"


def test_a_value_cannot_be_changed() -> None:
    """A step of the way returns a new value; `replace` makes it."""
    cell = Cell("a")
    with pytest.raises(FrozenInstanceError):
        cell.name = "b"  # type: ignore[misc]
    assert dataclasses.replace(cell, name="b") == Cell("b")
    assert not hasattr(cell, "__dict__")


def test_defaults_are_made_anew() -> None:
    """What one value gathers is not another's."""
    Cell("a").places.append(1)
    assert Cell("a").places == []


@pytest.mark.parametrize("again", [copy.deepcopy, lambda value: pickle.loads(pickle.dumps(value))])
def test_a_value_travels_between_processes(again) -> None:  # type: ignore[no-untyped-def]
    """Many profiles are judged by several processes, which send each other values."""
    assert again(Cell("a", 4.1, [1])) == Cell("a", 4.1, [1])


def test_a_value_is_a_dataclass_to_the_standard_library() -> None:
    """Reports are made from `fields` and `asdict`."""
    assert [entry.name for entry in dataclasses.fields(Cell)] == [
        "name",
        "full_V",
        "places",
        "note",
    ]
    assert dataclasses.asdict(Link("a")) == {"cell": "a"}
