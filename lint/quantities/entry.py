"""What is known of one quantity: its value, how sure it is, and where it came from."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from ..documents.dataclass import dataclass

if TYPE_CHECKING:
    from ..documents.profile import Given
    from .worked import Worked

Side = Literal["exact", "no more than", "no less than", "absent"]
Origin = Literal["given", "worked", "typical", "house", "unknown", "absent"]

EXACT: Side = "exact"
NO_MORE: Side = "no more than"
NO_LESS: Side = "no less than"
ABSENT: Side = "absent"
NOTHING: frozenset[str] = frozenset()


class Operand(NamedTuple):
    """A value with its side; `value` is None when it is unknown or the vehicle has no such thing.

    `missing` names the root quantities that would make it known, or exact.
    """

    value: Any
    side: Side = EXACT
    missing: frozenset[str] = NOTHING
    reason: str = ""

    @property
    def known(self) -> bool:
        """True when there is a value, be it only a bound."""
        return self.value is not None


NOT_THERE = Operand(None, ABSENT)


class NotWorked(Exception):
    """Raised by a quantity outside its limits of validity; carries the reason in trade words."""


class NoMoreThan(float):
    """A worked value of which only an upper bound is known, such as torque beyond saturation."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the book."""

    name: str
    unit: str
    origin: Origin
    operand: Operand
    inputs: tuple[str, ...] = ()
    given: Given | None = None
    worked: Worked | None = None

    @property
    def value(self) -> Any:
        """The value in the quantity's own unit, or None."""
        return self.operand.value
