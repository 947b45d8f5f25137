"""Published tables, kept as data with their sources beside these tests."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

DATA = Path(__file__).parent / "data"


def reference(file: str) -> dict[str, Any]:
    """One file of published tables; missing data is an error, not a skip."""
    content: dict[str, Any] = YAML(typ="safe").load((DATA / f"{file}.yaml").read_text("utf-8"))
    return content


def rows(file: str, table: str) -> list[Any]:
    """A table's rows as parameters, each named by its source's file and its first values."""
    found = reference(file)["tables"][table]["rows"]
    assert found, f"{file}: {table} is empty"
    return [pytest.param(row, id=_named(file, table, row)) for row in found]


def _named(file: str, table: str, row: dict[str, Any]) -> str:
    first = " ".join(f"{key}={value}" for key, value in list(row.items())[:2])
    return f"{file[:2]} {table} {first}"
