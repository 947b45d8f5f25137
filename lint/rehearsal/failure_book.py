"""The book of a failure: quantities that only a rehearsal works out, over those of the vehicle's book."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from ..documents.units import UNITS
from ..expressions.names import title_of, vocabulary
from ..expressions.types import Type
from ..quantities.book import Book
from ..quantities.operand import EXACT, Operand
from ..quantities.registry import Registry, formulas_of, unit_of
from ..quantities.worked import Worked, result
from . import broken_drive, bus, generation, stopping

FAILURE_FORMULAS: Registry = formulas_of((bus, generation, broken_drive, stopping))


@lru_cache(maxsize=1)
def failure_names() -> Mapping[str, Type]:
    """Every name that an expression about a failure may use, each with its type."""
    own = {name: Type("number", UNITS[specs[0].unit]) for name, specs in FAILURE_FORMULAS.items()}
    return MappingProxyType({**vocabulary(), **own})


def failure_title(name: str) -> str:
    """What a quantity of a failure, or of the vehicle, is called.

    >>> failure_title("failure.inrush_ms"), failure_title("ride.push_N")
    ('time of the inrush', 'push at the driven wheel')
    """
    specs = FAILURE_FORMULAS.get(name)
    return specs[0].title if specs else title_of(name)


def failure_unit(name: str) -> str:
    """The unit of a quantity of a failure, or of the vehicle."""
    specs = FAILURE_FORMULAS.get(name)
    return specs[0].unit if specs else unit_of(name)


class FailureBook:
    """The quantities of one vehicle in one mode, those of its failures among them."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self._known: dict[str, Operand] = {}

    def operand(self, name: str) -> Operand:
        """The value of a quantity with its side; what only a failure has is worked out once."""
        asked = name.removeprefix("given(").removesuffix(")")
        if asked != name and asked in FAILURE_FORMULAS:
            return Operand(self.operand(asked).known)
        specs = FAILURE_FORMULAS.get(name)
        if specs is None:
            return self.book.operand(name)
        if name not in self._known:
            self._known[name] = self._worked(specs)
        return self._known[name]

    def _worked(self, specs: tuple[Worked, ...]) -> Operand:
        """The first formula that gives an exact value, else a bound, else what is missing."""
        found = [result(spec, self.operand) for spec in specs]
        exact = (one for one in found if one.known and one.side == EXACT)
        return next(exact, None) or next((one for one in found if one.known), found[0])
