"""Where the reference rows come from, and what rests on memory alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cache
from pathlib import Path
from types import CodeType, FunctionType, ModuleType
from typing import Any

import pytest
from gonogo.judgement.catalogue import catalogue
from gonogo.judgement.rule import Rule
from gonogo.quantities.book import TYPICAL
from gonogo.quantities.registry import WORKED, rests_on
from gonogo.tables.table import names, table

from .reference import KINDS, OUTSIDE, tables

TABLES = frozenset(names())
OWN_UP = "from memory"
DANGERS = [rule for rule in catalogue().rules.values() if rule.severity == "danger"]
EACH_TABLE = pytest.mark.parametrize(
    ("name", "content"),
    [pytest.param(name, content, id=f"{file} {name}") for file, name, content in tables()],
)


@EACH_TABLE
def test_every_row_says_where_it_comes_from(name: str, content: Mapping[str, Any]) -> None:
    """One of five words, and the table says which library, page or formula each of them means."""
    used = {row["from"] for row in content["rows"]}
    assert used <= set(KINDS)
    assert used == set(content["sources"])
    assert all(content["sources"].values())


@EACH_TABLE
def test_a_reference_table_is_asked(name: str, content: Mapping[str, Any]) -> None:
    """A table that no test reads looks like a check and is none."""
    texts = [path.read_text("utf-8") for path in Path(__file__).parent.glob("test_*.py")]
    assert any(f'"{name}"' in text for text in texts)


@EACH_TABLE
def test_what_a_reference_table_checks_exists(name: str, content: Mapping[str, Any]) -> None:
    """Its rows stand for rows of a table of ours, key by key."""
    for ours, keys in content.get("checks", {}).items():
        for theirs, own in keys.items():
            assert all(theirs in row for row in content["rows"])
            assert all(own in row for row in table(ours)["rows"])


def from_memory(ours: str) -> list[str]:
    """What stands in a table of ours without anything from outside beside it, row by row."""
    found = []
    for row in table(ours)["rows"]:
        unheld = [] if "how" in row else [key for key in row if not _held(ours, row, key)]
        if unheld:
            found.append(f"{next(iter(row.values()))}: {', '.join(unheld)}")
    return found


def _held(ours: str, row: Mapping[str, Any], column: str) -> bool:
    """Whether a row from outside stands for this one and its column.

    A reference table without keys stands for every row, one without `holds` for every column.
    """
    return any(
        outside["from"] in OUTSIDE
        and column in (*keys.values(), *content.get("holds", row))
        and all(outside[theirs] == row[own] for theirs, own in keys.items())
        for keys, content in _checks(ours)
        for outside in content["rows"]
    )


@cache
def _checks(ours: str) -> list[tuple[dict[str, str], dict[str, Any]]]:
    return [
        (content["checks"][ours], content)
        for _, _, content in tables()
        if ours in content.get("checks", {})
    ]


def tables_read(quantity: str) -> set[str]:
    """The tables that the formulas of a quantity look into, however deep."""
    found = {"chemistries"} if quantity in TYPICAL else set()
    for spec in WORKED.get(quantity, ()):
        found |= _named_in(spec.function, set())
    indexed = {row["table"] for name in found for row in table(name)["rows"] if "table" in row}
    return found | indexed


def _named_in(function: Callable[..., Any], seen: set[Callable[..., Any]]) -> set[str]:
    """The names of tables that stand in a function, or in one of ours that it calls."""
    if function in seen:
        return set()
    seen.add(function)
    found: set[str] = set()
    for code in _codes(function.__code__):
        found |= {text for text in code.co_consts if isinstance(text, str)} & TABLES
        for name in code.co_names:
            for called in _functions(function.__globals__.get(name), code.co_names):
                found |= _named_in(called, seen)
    return found


def _functions(value: object, asked: Iterable[str] = ()) -> Iterable[FunctionType]:
    """Functions of our quantities: the value itself, what it caches or lists, or is asked for."""
    value = getattr(value, "__wrapped__", value)
    if isinstance(value, FunctionType):
        if value.__module__.startswith("gonogo.quantities"):
            yield value
        return
    held: Iterable[object] = ()
    if isinstance(value, ModuleType) and value.__name__.startswith("gonogo.quantities"):
        held = [getattr(value, name, None) for name in asked]
    elif isinstance(value, Mapping):
        held = value.values()
    elif isinstance(value, tuple):
        held = value
    for item in held:
        yield from _functions(item)


def _codes(code: CodeType) -> Iterable[CodeType]:
    yield code
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            yield from _codes(inner)


def test_the_way_from_a_rule_to_its_tables_is_found() -> None:
    """Otherwise the next test would pass by seeing nothing."""
    assert tables_read("motor.insulation_degC") == {"insulation_classes"}
    assert tables_read("pack.cell.full_V") == {"chemistries"}
    read = {name for quantity in WORKED for name in tables_read(quantity)}
    judge_nothing = {"fuse_ratings", "other_units", "other_words"}  # hints and remedies read them
    beside_the_book = {
        "equal_motors"
    }  # holds two books against each other, so no quantity reads it
    assert not (read & beside_the_book)
    assert read | {"chemistries"} | judge_nothing | beside_the_book == TABLES


@pytest.mark.parametrize("rule", DANGERS, ids=lambda rule: rule.id)
def test_no_danger_rests_on_memory_without_saying_so(rule: Rule) -> None:
    """Who is told of a danger can see which of its numbers nobody has looked up."""
    read = {
        name
        for quantity in rule.reads
        for below in rests_on(quantity)
        for name in tables_read(below)
    }
    for name in sorted(read):
        told = OWN_UP in rule.source or OWN_UP in table(name)["source"]["how"]
        assert told or not from_memory(name), f"{name}: {from_memory(name)}"
