"""Reference tables, read when a quantity first needs one and kept for the rest of the run."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any


@cache
def table(name: str) -> Mapping[str, Any]:
    """The table of that name: its `source`, its constants and its `rows`.

    >>> table("insulation_classes")["rows"][0]
    {'insulation_class': 'Y', 'hottest_degC': 90}
    """
    from ruamel.yaml import YAML  # only where a table is touched: the import costs more than it

    text = files(__package__).joinpath(f"{name}.yaml").read_text(encoding="utf-8")
    content: dict[str, Any] = YAML(typ="safe").load(text)
    return MappingProxyType(content)


@cache
def column(name: str, key: str, value: str) -> Mapping[Any, Any]:
    """One column of a table by another, for looking up: `column("magnet_grades", "grade", …)`.

    >>> column("insulation_classes", "insulation_class", "hottest_degC")["F"]
    155
    """
    return MappingProxyType({row[key]: row.get(value) for row in table(name)["rows"]})


def names() -> Iterator[str]:
    """The names of all tables, in the order of the alphabet."""
    found = (entry.name for entry in files(__package__).iterdir())
    return iter(sorted(name.removesuffix(".yaml") for name in found if name.endswith(".yaml")))
