"""A value and how sure it is: exact, a bound, unknown and what is missing, or not there at all."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Literal, NamedTuple

from ..documents.given import Scalar, Value

Side = Literal["exact", "no more than", "no less than", "absent"]

EXACT: Side = "exact"
NO_MORE: Side = "no more than"
NO_LESS: Side = "no less than"
ABSENT: Side = "absent"
TURNED: dict[Side, Side] = {EXACT: EXACT, NO_MORE: NO_LESS, NO_LESS: NO_MORE}
NOTHING: frozenset[str] = frozenset()


class Operand(NamedTuple):
    """A value with its side; `value` is None when it is unknown or the vehicle has no such thing.

    `missing` names the root quantities that would make it known, or exact.
    """

    value: Value | None
    side: Side = EXACT
    missing: frozenset[str] = NOTHING
    reason: str = ""

    @property
    def known(self) -> bool:
        """True when there is a value, be it only a bound."""
        return self.value is not None

    @property
    def number(self) -> float:
        """The value of a number; TypeError where it is none."""
        value = self.value
        if isinstance(value, float | int):
            return value
        raise TypeError(f"{value!r} is no number")

    @property
    def members(self) -> tuple[Scalar, ...]:
        """The values of a list; TypeError where it is none."""
        value = self.value
        if isinstance(value, tuple):
            return tuple(member for member in value if not isinstance(member, Mapping))
        raise TypeError(f"{value!r} is no list")


NOT_THERE = Operand(None, ABSENT)
Lookup = Callable[[str], Operand]  # from a quantity's name to its value


class NotWorked(Exception):
    """Raised by a quantity outside its limits of validity; carries the reason in trade words.

    `to_take` names a reading that has to be taken again before there is a value.
    """

    def __init__(self, reason: str, to_take: str = "") -> None:
        super().__init__(reason)
        self.to_take = frozenset({to_take} - {""})


class NoMoreThan(float):
    """A worked value of which only an upper bound is known, such as torque beyond saturation."""


class NoLessThan(float):
    """A worked value of which only a lower bound is known, such as past the end of a curve."""
