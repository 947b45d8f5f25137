"""The names that an expression may use, with what each of them is."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from ..documents.schema import Property, allowances, canonical
from ..documents.units import UNITS
from ..quantities.registry import WORKED
from ..quantities.worked import Worked
from .rule import Subject
from .types import Kind, Sort

SORT_OF_ENTRY: Mapping[str, Sort] = {
    "text": "text",
    "date": "text",
    "section": "text",
    "boolean": "boolean",
    "stages": "structure",
}
# What a formula returns, where it is no number: as its function's `->` says.
RETURNED: Mapping[str, Sort] = {
    "str": "text",
    "bool": "boolean",
    "list[str]": "texts",
    "list[int]": "numbers",
    "list[float]": "numbers",
}
# Names that only rules about papers and windows may use, by what the rules are about.
OF_SUBJECT: Mapping[Subject, Mapping[str, Kind]] = {
    "waiver": {
        "waiver.rule": Kind("text"),
        "waiver.known": Kind("boolean"),
        "waiver.waivable": Kind("boolean"),
        "waiver.left_days": Kind("number", UNITS["days"]),
        "waiver.reason_length": Kind("number", UNITS[""]),
    },
    "override": {
        "override.rating": Kind("text", choices=("upper", "lower", "none")),
        "override.value": Kind("number"),
        "override.part_value": Kind("number"),
    },
    "required": {"required.name": Kind("text"), "required.told": Kind("boolean")},
    "document": {
        "document.typical_under_danger": Kind("texts"),
        "document.typical_count": Kind("number", UNITS[""]),
    },
    "window": {
        "window.setting": Kind("text"),
        "window.rules": Kind("texts"),
        "window.empty": Kind("boolean"),
        "window.danger": Kind("boolean"),
    },
}


def _property_kind(entry: Property) -> Kind:
    choices = tuple(entry.choices)
    if entry.kind in ("number", "integer"):
        return Kind("number", UNITS[entry.unit])
    if entry.kind == "list":
        return Kind("texts", choices=choices) if choices else Kind("numbers", UNITS[entry.unit])
    if entry.kind == "section":
        return Kind("text", choices=("none", "fitted"))
    return Kind(SORT_OF_ENTRY.get(entry.kind, "structure"), choices=choices)


def _worked_kind(spec: Worked) -> Kind:
    sort = RETURNED.get(spec.function.__annotations__.get("return", ""), "number")
    return Kind(sort, UNITS[spec.unit] if sort in ("number", "numbers") else None)


@lru_cache(maxsize=8)
def vocabulary(subject: Subject = "profile") -> Mapping[str, Kind]:
    """Every quantity that a rule of this subject may name."""
    if subject in OF_SUBJECT:
        return MappingProxyType({**vocabulary(), **OF_SUBJECT[subject]})
    names = {name: _property_kind(entry) for name, entry in canonical().items()}
    for name, specs in WORKED.items():
        names.setdefault(name, _worked_kind(specs[0]))
    for name, allowance in allowances().items():
        names[name] = Kind("number", UNITS[allowance.unit])
    names["judged.on"] = Kind("text")
    return MappingProxyType(names)
