"""Reference values, kept as data beside these tests; each row says where its number comes from."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

DATA = Path(__file__).parent / "data"
KINDS = ("library", "standard read", "page read", "recomputed", "recalled")
OUTSIDE = frozenset({"library", "standard read", "page read"})


def reference(file: str) -> dict[str, Any]:
    """One file of reference tables; missing data is an error, not a skip."""
    content: dict[str, Any] = YAML(typ="safe").load((DATA / f"{file}.yaml").read_text("utf-8"))
    return content


def files() -> list[str]:
    """The names of all files of reference tables."""
    found = sorted(path.stem for path in DATA.glob("*.yaml"))
    assert found, "no reference tables"
    return found


def tables() -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Every table with its file and its name."""
    for file in files():
        for name, content in reference(file)["tables"].items():
            yield file, name, content


def rows(file: str, table: str) -> list[Any]:
    """A table's rows as parameters, each named by its first values and by where it comes from."""
    found = reference(file)["tables"][table]["rows"]
    assert found, f"{file}: {table} is empty"
    return [pytest.param(row, id=_named(file, table, row)) for row in found]


def _named(file: str, table: str, row: dict[str, Any]) -> str:
    first = " ".join(f"{key}={value}" for key, value in list(row.items())[:3] if key != "from")
    return f"{file[:2]} {table} {first}, from: {row['from']}"
