"""Two validators agree: whatever the walk over a schema says of a document, jsonschema says too."""

from __future__ import annotations

from collections.abc import Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any, get_args

import pytest
from gonogo.documents import fitting
from gonogo.documents.document import DocumentKind
from gonogo.documents.fitting import Unsure, Walk
from gonogo.documents.schema import validator
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

surely_fits = fitting._surely_fits

ROOT = Path(__file__).parents[2]
KINDS: tuple[DocumentKind, ...] = get_args(DocumentKind)
ODD = (
    *("none", "None", "", " ", "a\n", "a\x00", "2026-02-30", "2026-11-25", "forward", "x" * 999),
    *(0, 1, -1, 5, 10**400, True, False, None, 0.0, 1.0, 0.5, -0.5, 1e308, 1e-320),
    *(float("nan"), float("inf"), [], {}, [1, 1.0], [True, 1], ["a", "a"], ["a", "b"], {"a": 1}),
    *([{}], [[]], {"": None}),
)


def kind_of(value: Any) -> DocumentKind:
    """The kind of a document, as its first key has it."""
    return next((kind for kind in KINDS if value.get("gonogo") == f"{kind}/1"), "rule")


def documents() -> Iterator[tuple[DocumentKind, Any]]:
    """The documents of the examples, and every tenth rule."""
    reader = YAML(typ="safe")
    paths = [*sorted(ROOT.glob("examples/**/*.yaml")), *sorted(ROOT.glob("rules/*/*.yaml"))[::10]]
    for path in paths:
        value = reader.load(path.read_bytes())
        yield kind_of(value), value


LIST = {
    "gonogo": "known/1",
    "vehicles": [
        {
            "file": "vehicles/larch.yaml",
            "findings": [
                {
                    "rule": "fuse-above-cable",
                    "severity": "advice",
                    "entry": "wiring.fuse.rated_A",
                    "modes": ["yard"],
                    "value": 80,
                    "unit": "A",
                    "at_most": 73,
                    "excess": 7,
                    "recorded": "2026-11-02",
                    "reads": ["wiring.battery_cable_mm2"],
                }
            ],
        }
    ],
}  # a list of known findings, of which the examples have none
DOCUMENTS = [(kind, value) for kind, value in documents() if isinstance(value, dict)]
DOCUMENTS.append(("known", LIST))
KEYS = sorted(
    {
        key
        for _, value in DOCUMENTS
        for section in value.values()
        for key in (section if isinstance(section, dict) else ())
    }
)


def branches(value: Any) -> list[Any]:
    """Every section and list of a document."""
    below = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    own = [value] if isinstance(value, dict | list) and value else []
    return own + [branch for inner in below for branch in branches(inner)]


@pytest.mark.parametrize(
    "node",
    [
        pytest.param({"multipleOf": 2}, id="a keyword it has not learned"),
        pytest.param({"enum": [1, 2]}, id="choices that are no words"),
        pytest.param({"format": "email"}, id="a format of another sort"),
        pytest.param({"$ref": "https://example.org/other"}, id="another schema"),
    ],
)
def test_what_the_walk_does_not_know_is_left_to_the_library(node: Any) -> None:
    """A schema may grow: a keyword that was passed by would let a mistake through."""
    with pytest.raises(Unsure):
        Walk({"properties": {"a": node}}).whole({"a": 4})


@pytest.mark.parametrize("value", [float("nan"), float("inf"), {1: 2}])
def test_what_no_json_holds_is_left_to_the_library(value: Any) -> None:
    """Infinity is above every least value, and no current."""
    with pytest.raises(Unsure):
        Walk({"properties": {"a": {"minimum": 0, "properties": {}}}}).whole({"a": value})


def test_documents_that_fit_need_no_library() -> None:
    """All of the examples, or the quick way would be the slow one."""
    kinds = {kind for kind, _ in DOCUMENTS}
    assert kinds == set(KINDS)
    for kind, value in DOCUMENTS:
        assert surely_fits(kind, value) == validator(kind).is_valid(value)
        assert surely_fits(kind, value), value


@pytest.mark.parametrize(
    "settings_",
    [
        pytest.param({"pole_pairs": True}, id="a truth for a number"),
        pytest.param({"pole_pairs": 5.5}, id="a fraction of a whole number"),
        pytest.param({"battery_current_A": 1e9}, id="beyond the range"),
        pytest.param({"battery_curent_A": 40}, id="a key nobody knows"),
        pytest.param({"direction": "sideways"}, id="none of the choices"),
        pytest.param({"regen": 5}, id="a number for a section"),
        pytest.param([], id="a list for a section"),
    ],
)
def test_a_mistake_is_no_quick_yes(settings_: Any) -> None:
    """Of each sort of mistake one."""
    value = {"gonogo": "profile/1", "vehicle": {"name": "Alder"}, "settings": {}}
    assert surely_fits("profile", value)
    assert not surely_fits("profile", {**value, "settings": settings_})


@pytest.mark.parametrize("day", ["today", "2026-02-30", "20261001"])
def test_what_is_no_day_is_no_quick_yes(day: str) -> None:
    """How old a reading is depends on it."""
    value = {"gonogo": "profile/1", "vehicle": {"name": "Alder"}, "settings": {}}
    assert surely_fits("profile", {**value, "readings": {"taken": "2026-10-01"}})
    assert not surely_fits("profile", {**value, "readings": {"taken": day}})


@settings(max_examples=400)
@given(st.data())
def test_no_document_fits_that_the_library_refuses(data: st.DataObject) -> None:
    """A value out of its range that slipped through would be judged as if it were entered so."""
    kind, value = data.draw(st.sampled_from(DOCUMENTS))
    value = deepcopy(value)
    for _ in range(data.draw(st.integers(1, 3))):
        branch = data.draw(st.sampled_from(branches(value)))
        key = data.draw(
            st.sampled_from(range(len(branch)) if isinstance(branch, list) else list(branch))
        )
        change = data.draw(st.sampled_from(("set", "set", "drop", "add")))
        odd = deepcopy(data.draw(st.sampled_from(ODD)))
        if change == "set":
            branch[key] = odd
        elif change == "drop":
            del branch[key]
        elif isinstance(branch, list):
            branch.append(odd)
        else:
            branch[data.draw(st.sampled_from(KEYS))] = odd
        if not branches(value):
            break
    sure = validator(kind).is_valid(value)
    try:
        assert fitting._walk(kind).whole(value) == sure
    except Unsure:
        assert not surely_fits(kind, value)
