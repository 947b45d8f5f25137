"""The key under which a setting is entered: its range in entry steps, its unit, its factor."""

from __future__ import annotations

import math

from ..documents.dataclass import dataclass
from ..documents.profile import Given
from ..documents.schema import Property, canonical, properties
from .piece import Piece


@dataclass(frozen=True, slots=True)
class Key:
    """The key under which a setting is entered: its range in steps, its unit, its factor."""

    name: str
    entered_as: str
    unit: str
    kind: str
    step: float
    factor: float
    first: int
    last: int

    @property
    def whole(self) -> Piece:
        """The whole range in steps."""
        return self.first, self.last

    def value(self, steps: int) -> float:
        """What is entered at so many steps."""
        return round(steps * self.step, 9)

    def steps(self, entered: float) -> float:
        """How many steps an entered value makes, whole or not."""
        return entered / self.step


def key_of(name: str, given: Given | None) -> Key:
    """The key that the document uses for a setting, or the canonical one."""
    entry = _entry_of(name, given)
    step = entry.step or 1.0
    low, high = entry.lowest or 0.0, entry.highest or 0.0
    first = math.ceil(low / step - 1e-9)
    if entry.strictly_above and first * step <= low:
        first += 1
    return Key(
        name=name,
        entered_as=given.entered_as if given is not None else entry.path,
        unit=entry.unit,
        kind=entry.kind,
        step=step,
        factor=entry.factor,
        first=first,
        last=math.floor(high / step + 1e-9),
    )


def _entry_of(name: str, given: Given | None) -> Property:
    """The property under whose key the setting was entered, in a mode by the key's last word."""
    if given is not None:
        last = given.entered_as.rsplit(".", 1)[-1]
        for path, entry in properties().items():
            if entry.quantity == name and path.rsplit(".", 1)[-1] == last:
                return entry
    return canonical()[name]
