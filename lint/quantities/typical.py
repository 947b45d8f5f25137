"""What is typical of a chemistry: stands in for a cell's value that is not given."""

from __future__ import annotations

from typing import Any

from ..tables.table import table

_CELL = "pack.cell."
_KEYS = (
    "full_V",
    "nominal_V",
    "minimum_V",
    "working_minimum_V",
    "charge_from_degC",
    "charge_to_degC",
)

TYPICAL: frozenset[str] = frozenset(_CELL + key for key in _KEYS)


def typical(name: str, chemistry: str | None) -> float | None:
    """The chemistry's value of a cell quantity, or None where the chemistry is not told.

    A cell's datasheet overrides it; a chemistry that the table does not hold has none.
    """
    if chemistry is None:
        return None
    for row in table("chemistries")["rows"]:
        if row["chemistry"] == chemistry:
            value: Any = row.get(name.removeprefix(_CELL))
            return None if value is None else float(value)
    return None
