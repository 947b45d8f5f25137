"""Reference tables, read when a quantity first needs one and kept for the rest of the run."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from types import MappingProxyType
from typing import Any

from ..documents.contents import contents


@cache
def table(name: str) -> Mapping[str, Any]:
    """The table of that name: its `source`, its constants and its `rows`.

    >>> table("insulation_classes")["rows"][0]
    {'insulation_class': 'Y', 'max_degC': 90}
    """
    return MappingProxyType(contents(str(__package__), name))


@cache
def column(name: str, key: str, value: str) -> Mapping[Any, Any]:
    """One column of a table by another, for looking up: `column("magnet_grades", "grade", …)`.

    >>> column("insulation_classes", "insulation_class", "max_degC")["F"]
    155
    """
    return MappingProxyType({row[key]: row.get(value) for row in table(name)["rows"]})


def names() -> Iterator[str]:
    """The names of all tables, in the order of the alphabet."""
    from importlib.resources import files  # late: who reads a table need not list them

    found = (entry.name.partition(".") for entry in files(__package__).iterdir())
    return iter(sorted(name for name, _, form in found if form in ("yaml", "json")))
