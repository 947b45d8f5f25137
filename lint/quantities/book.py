"""The book: every quantity of one vehicle, worked out on demand and remembered."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Literal, NamedTuple

from ..documents.given import Given, Value
from ..documents.schema import canonical
from ..tables.table import table
from .number import is_number
from .operand import ABSENT, EXACT, NOT_THERE, Operand
from .registry import CELL, CHEMISTRY, RATED_TWICE, TYPICAL, WORKED, affected
from .worked import Worked, result

IN_BASE = "base."  # before the name of a quantity: as it is in the base settings
Origin = Literal["given", "worked", "typical", "house", "unknown", "absent"]


class Entry(NamedTuple):
    """One line of the book."""

    name: str
    origin: Origin
    operand: Operand
    inputs: tuple[str, ...] = ()
    given: Given | None = None
    worked: Worked | None = None

    @property
    def value(self) -> Value | None:
        """The value in the quantity's own unit, or None."""
        return self.operand.value


def typical(name: str, chemistry: str | None) -> float | None:
    """The chemistry's value of a cell quantity, or None where the chemistry is not given.

    A cell's datasheet overrides it; a chemistry that the table does not hold has none.
    """
    if chemistry is None:
        return None
    for row in table("chemistries")["rows"]:
        if row["chemistry"] == chemistry:
            value: Any = row.get(name.removeprefix(CELL))
            return None if value is None else float(value)
    return None


class Book:
    """The quantities of one vehicle in one mode.

    `given` holds what the documents say, `absent` the sections said to be `none`, `house` the
    shop's allowances, `judged_on` the day to judge by. What is given wins over what can be worked
    out, but of a rating known both ways the safer figure counts; what can be worked out wins over
    what is typical of the chemistry.
    """

    __slots__ = (
        "_absent",
        "_answers",
        "_base",
        "_entries",
        "_given",
        "_house",
        "_judged_on",
        "_operands",
    )

    def __init__(
        self,
        given: Mapping[str, Given],
        house: Mapping[str, float],
        judged_on: str,
        absent: Iterable[str] = (),
    ) -> None:
        self._given = given
        self._house = house
        self._base: Book | None = None
        self._judged_on = judged_on
        self._absent = tuple(f"{prefix}." for prefix in absent)
        self._entries: dict[str, Entry] = {}
        self._operands: dict[str, Operand] = {"judged.on": Operand(judged_on)}
        self._answers: dict[str, Operand] = {}  # whether a quantity is given; of this book alone

    def changed(self, changes: Mapping[str, Given | None]) -> Book:
        """This book with other values given (None: no longer given); only what moves is redone."""
        given = {**self._given, **{name: new for name, new in changes.items() if new is not None}}
        for name, new in changes.items():
            if new is None:
                given.pop(name, None)
        book = Book(given, self._house, self._judged_on)
        book._base = self._base
        book._absent = _absent_after(self._absent, changes)
        book._entries, book._operands = self._entries.copy(), self._operands.copy()
        for name in affected(frozenset(changes)):
            book._entries.pop(name, None)
            book._operands.pop(name, None)
        return book

    def overlaid(self, changes: Mapping[str, Given | None]) -> Book:
        """The book of a mode, which still knows what the base settings come to."""
        book = self.changed(changes)
        book._base = self
        return book

    def told(self, entries: Mapping[str, Entry], base: Book | None = None) -> Book:
        """This book with lines that are known from elsewhere; all that rests on them is redone.

        `base` is the book of the base settings, for one of a mode.
        """
        book = self.changed({})
        book._base = base if base is not None else self._base
        for name in affected(frozenset(entries)):
            book._entries.pop(name, None)
            book._operands.pop(name, None)
        for name, entry in entries.items():
            book._entries[name], book._operands[name] = entry, entry.operand
        return book

    def take_over(self, other: Book, moved: frozenset[str]) -> None:
        """Know what another vehicle's book has worked out, but for what has `moved` since."""
        for name, operand in other._operands.items():
            if name not in moved:
                self._operands.setdefault(name, operand)

    def operand(self, name: str) -> Operand:
        """The value of a quantity with its side; the short way for those who need no origin."""
        known = self._operands.get(name)
        if known is not None:
            return known
        if not name.startswith("given("):
            return self.entry(name).operand
        answer = self._answers.get(name)
        if answer is None:
            answer = self._answers[name] = Operand(self.is_given(name[6:-1]))
        return answer

    def given(self, name: str) -> Given | None:
        """The quantity as the documents give it, if they do and if it is there at all."""
        return None if self.is_absent(name) else self._given.get(name)

    def enters_in(self, ending: str) -> bool:
        """Whether any entry stands under a key with this ending."""
        return any(given.entered_as.endswith(ending) for given in self._given.values())

    def is_given(self, name: str) -> bool:
        """Whether the documents give a value, or give all that it is worked out from."""
        if name.startswith(IN_BASE):
            return (self._base or self).is_given(name.removeprefix(IN_BASE))
        given = self.given(name)
        if given is not None:
            return given.value is not None
        return name in WORKED and self.operand(name).known

    def is_absent(self, name: str) -> bool:
        """True for anything below a section that the vehicle is said not to have."""
        return bool(self._absent) and name.startswith(self._absent)

    def entry(self, name: str) -> Entry:
        """The line of the book for a quantity; unknown names are unknown quantities."""
        entry = self._entries.get(name)
        if entry is not None:
            return entry
        if name.startswith(IN_BASE):
            return (self._base or self).entry(name.removeprefix(IN_BASE))
        entry = self._entries[name] = self._look_up(name)
        self._operands[name] = entry.operand
        return entry

    def _look_up(self, name: str) -> Entry:
        if self._absent and self.is_absent(name):
            return Entry(name, "absent", NOT_THERE)
        given = self._given.get(name)
        if given is not None:
            if given.value is None:
                return Entry(name, "absent", NOT_THERE, given=given)
            entered = Entry(name, "given", Operand(given.value), given=given)
            return self._safer(entered, given.value) if name in RATED_TWICE else entered
        if name in WORKED:
            return self._work_out(name)
        if name.startswith("house."):
            return Entry(name, "house", Operand(self._house.get(name)))
        if name in TYPICAL:
            return self._typical(name)
        if name == "judged.on":
            return Entry(name, "house", Operand(self._judged_on))
        return Entry(name, "unknown", Operand(None, EXACT, frozenset({name})))

    def otherwise(self, name: str) -> Entry | None:
        """What the other entries come to for a quantity that is entered; None without exact figures."""
        if name not in WORKED or name not in self._given or self.is_absent(name):
            return None
        other = self._work_out(name)
        return other if other.operand.known and other.operand.side == EXACT else None

    def is_typical(self, entry: Entry) -> bool:
        """Whether a chemistry's usual value went into it, where the cell's own is not entered."""
        return any(self.entry(name).origin == "typical" for name in entry.inputs)

    def _safer(self, entered: Entry, figure: Value) -> Entry:
        """Of a rating entered and the same worked out of other entries, the one that allows less.

        What is only typical of a chemistry does not overrule a datasheet.
        """
        other = self.otherwise(entered.name)
        if other is None or not (is_number(figure) and is_number(other.value)):
            return entered
        if self.is_typical(other):
            return entered
        upper = RATED_TWICE[entered.name] == "upper"
        lets_less = other.value < figure if upper else other.value > figure
        return other if lets_less else entered

    def _typical(self, name: str) -> Entry:
        chemistry = self.operand(CHEMISTRY).value
        value = typical(name, chemistry if isinstance(chemistry, str) else None)
        if value is None:
            return Entry(name, "unknown", Operand(None, EXACT, frozenset({name})))
        return Entry(name, "typical", Operand(value), inputs=(CHEMISTRY,))

    def _work_out(self, name: str) -> Entry:
        """The first formula that gives a value; else the one that lacks the fewest inputs."""
        bound = best = None
        for spec in WORKED[name]:
            operand = result(spec, self.operand)
            entry = Entry(
                name,
                "absent" if operand.side == ABSENT else "worked",
                operand,
                tuple(spec.inputs.values()),
                worked=spec,
            )
            if operand.known and operand.side == EXACT:
                return entry
            if operand.known:
                bound = bound or entry
            elif best is None or _nearer(operand, best.operand):
                best = entry
        if bound is not None:
            return _named(bound, best)
        return self._unknown(name, best)

    def _unknown(self, name: str, best: Entry | None) -> Entry:
        """An entry that nothing is known of asks for itself, where a document may give it."""
        property_ = canonical().get(name)
        if best is None or (
            property_ is not None
            and best.operand.missing
            and not any(self.operand(given).known for given in best.inputs)
        ):
            asked = property_.path if property_ is not None else name
            return Entry(name, "unknown", Operand(None, EXACT, frozenset({asked})))
        if property_ is not None and not best.operand.missing and best.operand.side != ABSENT:
            asked_besides = best.operand._replace(missing=frozenset({property_.path}))
            return best._replace(operand=asked_besides)
        return best


def _absent_after(absent: tuple[str, ...], changes: Mapping[str, Given | None]) -> tuple[str, ...]:
    """The absent sections once some are fitted or no longer given, and others are `none`."""
    shut = {f"{name}." for name, new in changes.items() if new is not None and new.value == "none"}
    if not (absent or shut):
        return absent
    kept = (prefix for prefix in absent if prefix[:-1] not in changes)
    return (*kept, *sorted(shut))


def _named(bound: Entry, better: Entry | None) -> Entry:
    """A bound that says what would make it exact: what the better formula lacks."""
    if bound.operand.missing or better is None:
        return bound
    return bound._replace(operand=bound.operand._replace(missing=better.operand.missing))


def _nearer(first: Operand, second: Operand) -> bool:
    """Whether the first unknown is nearer to being known than the second."""
    if (first.side == ABSENT) != (second.side == ABSENT):
        return second.side == ABSENT
    if bool(first.reason) != bool(
        second.reason
    ):  # no entry helps a formula that does not hold here
        return bool(second.reason)
    return bool(first.missing) and (not second.missing or len(first.missing) < len(second.missing))
