"""The book of a failure: quantities that only a rehearsal works out, over those of the vehicle's book."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from ..documents.units import UNITS
from ..expressions.names import title_of, vocabulary
from ..expressions.types import Type
from ..quantities.book import Book, Entry, Origin
from ..quantities.operand import ABSENT, EXACT, Operand
from ..quantities.registry import Registry, formulas_of, unit_of
from ..quantities.worked import Worked, result
from . import broken_drive, bus, generation, inductance, short_circuit, stopping
from .inductance import INDUCTANCE, LEAST_INDUCTANCE, MOST_INDUCTANCE

FAILURE_FORMULAS: Registry = formulas_of(
    (bus, generation, broken_drive, short_circuit, inductance, stopping)
)
TRIALS = 5  # inductances at which a failure is judged where none is entered, the ends among them


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
        self._trials: tuple[FailureBook, ...] | None = None

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

    @property
    def trials(self) -> tuple[FailureBook, ...]:
        """This book with each of several phase inductances that the motor can have, where none is known.

        From the least to the most in even steps of their ratio; empty where it is known, or nothing tells
        the ends.
        """
        if self._trials is None:
            self._trials = tuple(map(self._with_inductance, self._inductances()))
        return self._trials

    def _inductances(self) -> list[float]:
        least, most = self.operand(LEAST_INDUCTANCE), self.operand(MOST_INDUCTANCE)
        if not self.book.operand(INDUCTANCE).missing or not (least.known and most.known):
            return []
        step = (most.number / least.number) ** (1.0 / (TRIALS - 1))
        return [least.number * step**count for count in range(TRIALS)]

    def _with_inductance(self, inductance_uH: float) -> FailureBook:
        assumed = Entry(INDUCTANCE, "typical", Operand(inductance_uH))
        return FailureBook(self.book.told({INDUCTANCE: assumed}))

    @property
    def traced(self) -> Book:
        """The vehicle's book with the quantities of its failures in it, each with how it came about."""
        return self.book.told(dict(map(self._entry, FAILURE_FORMULAS.items())))

    def _entry(self, formula: tuple[str, tuple[Worked, ...]]) -> tuple[str, Entry]:
        name, specs = formula
        spec, operand = self._decided(specs)
        origin: Origin = "absent" if operand.side == ABSENT else "worked"
        return name, Entry(name, origin, operand, tuple(spec.inputs.values()), worked=spec)

    def _worked(self, specs: tuple[Worked, ...]) -> Operand:
        return self._decided(specs)[1]

    def _decided(self, specs: tuple[Worked, ...]) -> tuple[Worked, Operand]:
        """The first formula that gives an exact value, else a bound, else what is missing."""
        found = [(spec, result(spec, self.operand)) for spec in specs]
        known = [one for one in found if one[1].known]
        exact = (one for one in known if one[1].side == EXACT)
        return next(exact, None) or next(iter(known), found[0])
