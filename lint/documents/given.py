"""A value that a document gives: what was entered, under which key, and where."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from .document import Document
from .frozen import frozen
from .location import Place
from .schema import Property, property_of, schema
from .trade_units import GAUGE_UNIT, in_ours, is_trade_key
from .wire_gauge import gauge_number, gauge_of_section, section_of_gauge
from .yaml_tree import YamlNode

Scalar = bool | int | float | str
Member = Scalar | Mapping[str, int]  # a mapping is one stage of a drive, with its teeth
LoadEntries = Mapping[str, Scalar]  # of a load beside the drive; what it lacks is `none`
Value = Scalar | tuple[Member, ...] | Mapping[str, LoadEntries]


@frozen
class Given:
    """One quantity as a document gives it.

    `value` is canonical: `factor` × `entered` + `offset` where it is a number (of a wire gauge its
    cross-section), a tuple where it is a list, and None where `none` says that the vehicle has no such
    number, answer or marking. `entered_as` is the key's path
    in the profile, also where a part gives it.
    """

    name: str
    value: Value | None
    entered_as: str
    entered: Any
    factor: float
    place: Place
    offset: float = 0.0

    @property
    def number(self) -> float:
        """The value of a number; TypeError where it is none."""
        if isinstance(self.value, float | int):
            return self.value
        raise TypeError(f"{self.name} is no number: {self.value!r}")


def read_given(entry: Property, node: YamlNode, entered_as: str, document: Document) -> Given:
    """What stands under a property's key."""
    entered = node.value
    value = value_of(entry, entered)
    place = document.place_of(node.event)
    return Given(entry.quantity, value, entered_as, entered, entry.factor, place, entry.offset)


def number_of(entry: Property, entered: Any) -> float:
    """A number entered under a key, in the unit of its quantity.

    >>> from gonogo.documents.schema import properties
    >>> number_of(properties()["vehicle.mass_lb"], 100), number_of(properties()["vehicle.mass_kg"], 45)
    (45.359237, 45.0)
    """
    if entry.unit == GAUGE_UNIT:
        gauge = gauge_number(entered)
        assert gauge is not None  # or its schema would have refused it
        return section_of_gauge(gauge)
    if is_trade_key(entry.path):
        return in_ours(entered, entry.factor, entry.offset)
    return entered * entry.factor if entry.factor != 1.0 else float(entered)


def as_entered_under(entry: Property, value: float) -> float:
    """The other way about: a number in the unit of its quantity as it is entered under a key.

    >>> from gonogo.documents.schema import properties
    >>> as_entered_under(properties()["readings.ambient_degF"], 25.0)
    77.0
    """
    if entry.unit == GAUGE_UNIT:
        return gauge_of_section(value)
    return (value - entry.offset) / entry.factor


def is_nothing(entry: Property, entered: Any) -> bool:
    """Whether an entry leaves no value: `none`, where that is no section's or choice's own word."""
    own_word = entry.kind == "section" or "none" in entry.choices
    return entered == "none" and entry.can_be_none and not own_word


def value_of(entry: Property, entered: Any) -> Value | None:
    """The canonical value of what is entered under a key; None where it leaves none."""
    if is_nothing(entry, entered):
        return None
    if entry.kind == "number":
        return number_of(entry, entered)
    if entry.kind == "integer":
        return int(entered)
    if entry.kind == "list":
        items = entered if isinstance(entered, list) else [entered]
        return tuple(items) if entry.choices else tuple(float(item) for item in items)
    if entry.kind == "loads":
        return {str(name): _load(load) for name, load in entered.items()}
    if entry.kind == "settings":
        return tuple(_told_by_setting(entered))
    return tuple(entered) if entry.kind == "stages" else entered


@lru_cache(maxsize=1)
def load_entries() -> Mapping[str, Property]:
    """Every key of a load beside the drive."""
    nodes = schema("profile")["$defs"]["load"]["properties"]
    return MappingProxyType({key: property_of(key, key, node) for key, node in nodes.items()})


def _load(entered: Mapping[str, Any]) -> LoadEntries:
    """A load's entries under the keys of ours."""
    load: dict[str, Scalar] = {}
    for key, value in entered.items():
        entry = load_entries()[key]
        is_number = entry.kind == "number" and value != "none"
        load[entry.quantity] = number_of(entry, value) if is_number else value
    return load


def _told_by_setting(entered: Mapping[str, Any], above: str = "") -> Iterator[str]:
    """What is told of each setting, as a line of text each, for those who compare or show it."""
    for name, told in entered.items():
        if isinstance(told, Mapping) and not isinstance(next(iter(told.values()), 0), Mapping):
            words = ", ".join(f"{key} {value}" for key, value in told.items())
            yield f"{above}{name}: {words}"
        elif isinstance(told, Mapping):
            yield from _told_by_setting(told, f"{name}.")
        else:
            yield f"{above}{name}: {told}"
