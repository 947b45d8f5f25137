"""A value that a document gives: what was entered, under which key, and where."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from .document import Document
from .location import Place
from .schema import Property
from .yaml_tree import YamlNode

Scalar = bool | int | float | str
Member = Scalar | Mapping[str, int]  # a mapping is one stage of a drive, with its teeth
Value = Scalar | tuple[Member, ...]


@dataclass(frozen=True, slots=True)
class Given:
    """One quantity as a document gives it.

    `value` is canonical: `factor` × `entered` where it is a number, a tuple where it is a list,
    and None where `none` says that the vehicle has no such number, answer or marking. `entered_as` is the key's path
    in the profile, also where a part gives it.
    """

    name: str
    value: Value | None
    entered_as: str
    entered: Any
    factor: float
    place: Place

    @property
    def number(self) -> float:
        """The value of a number; TypeError where it is none."""
        if isinstance(self.value, float | int):
            return self.value
        raise TypeError(f"{self.name} is no number: {self.value!r}")


def read_given(entry: Property, node: YamlNode, entered_as: str, document: Document) -> Given:
    """What stands under a property's key."""
    entered = node.value
    value = _canonical(entry, entered)
    place = document.place_of(node.event)
    return Given(entry.quantity, value, entered_as, entered, entry.factor, place)


def is_nothing(entry: Property, entered: Any) -> bool:
    """Whether an entry leaves no value: `none`, where that is no section's or choice's own word."""
    own_word = entry.kind == "section" or "none" in entry.choices
    return entered == "none" and entry.can_be_none and not own_word


def _canonical(entry: Property, entered: Any) -> Value | None:
    if is_nothing(entry, entered):
        return None
    if entry.kind == "number":
        return entered * entry.factor if entry.factor != 1.0 else float(entered)
    if entry.kind == "integer":
        return int(entered)
    if entry.kind == "list":
        items = entered if isinstance(entered, list) else [entered]
        return tuple(items) if entry.choices else tuple(float(item) for item in items)
    return tuple(entered) if entry.kind == "stages" else entered
