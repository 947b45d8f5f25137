"""What the book holds of one quantity: its value, and where it came from."""

from __future__ import annotations

from typing import Any, Literal

from ..documents.dataclass import dataclass
from ..documents.given import Given
from .operand import Operand
from .worked import Worked

Origin = Literal["given", "worked", "typical", "house", "unknown", "absent"]


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
