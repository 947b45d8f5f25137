"""One setting swept over its range in entry steps: at which of them each rule flags."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from ..documents.location import NOWHERE
from ..documents.profile import Given
from ..documents.schema import Property, canonical, properties
from ..expressions.course import Range
from ..quantities.book import Book
from ..quantities.number import ceiling, floor, tidy
from ..quantities.registry import affected
from .clause import Clause
from .evaluation import ruling
from .rule import SEVERITIES, Severity
from .thresholds import Thresholds


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
    offset: float = 0.0

    @property
    def whole(self) -> Piece:
        """The whole range in steps."""
        return self.first, self.last

    def value(self, steps: int) -> float:
        """What is entered at so many steps."""
        return tidy(steps * self.step)

    @property
    def line(self) -> tuple[float, float]:
        """The canonical value at no step, and what one step adds."""
        return self.offset, self.step * self.factor

    def steps(self, entered: float) -> float:
        """How many steps an entered value makes, whole or not."""
        return entered / self.step

    def inside(self, entered: float, piece: Piece) -> float:
        """The value nearest to an entered one within a run of steps."""
        return min(max(entered, self.value(piece[0])), self.value(piece[1]))


def key_of(name: str, given: Given | None) -> Key:
    """The key that the document uses for a setting, or the canonical one."""
    entry = _entry_of(name, given)
    step = entry.step or 1.0
    low, high = entry.lowest or 0.0, entry.highest or 0.0
    first = ceiling(low / step)
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
        last=floor(high / step),
        offset=entry.offset,
    )


def _entry_of(name: str, given: Given | None) -> Property:
    """The property under whose key the setting was entered, in a mode by the key's last word."""
    if given is not None:
        last = given.entered_as.rsplit(".", 1)[-1]
        for path, entry in properties().items():
            if entry.quantity == name and path.rsplit(".", 1)[-1] == last:
                return entry
    return canonical()[name]


# From the first to the last step of a run, both allowed.
Piece = tuple[int, int]
SMALL = 3  # sets of rules up to this size are tried one by one


def overlap(sets: Iterable[Sequence[Piece]], whole: Piece) -> list[Piece]:
    """The steps that all sets of pieces share.

    >>> overlap([[(1, 5), (8, 9)], [(4, 8)]], (0, 10))
    [(4, 5), (8, 8)]
    """
    shared = [whole]
    for pieces in sets:
        shared = [
            (max(a, c), min(b, d)) for a, b in shared for c, d in pieces if max(a, c) <= min(b, d)
        ]
    return shared


def conflict_of(allowed: Mapping[str, Sequence[Piece]], whole: Piece) -> tuple[str, ...]:
    """The smallest set of rules that leave no step between them; empty where all can hold.

    >>> conflict_of({"high": [(0, 4)], "wide": [(0, 9)], "low": [(5, 9)]}, (0, 9))
    ('high', 'low')
    """
    if overlap(allowed.values(), whole):
        return ()
    for size in range(1, SMALL + 1):
        for names in combinations(allowed, size):
            if not overlap([allowed[name] for name in names], whole):
                return names
    needed = dict(allowed)
    for name in allowed:
        fewer = {kept: pieces for kept, pieces in needed.items() if kept != name}
        if not overlap(fewer.values(), whole):
            needed = fewer
    return tuple(needed)


class Sweep:
    """The flags of one setting's rules, each asked once.

    `books` has the book of every mode in which the setting's value is in force, by its seat.
    """

    def __init__(
        self, key: Key, given: Given | None, books: dict[str, Book], clauses: Sequence[Clause]
    ) -> None:
        self.key, self.given, self.books, self.clauses = key, given, books, clauses
        self.moved = affected(frozenset({key.name}))
        self._books: dict[tuple[str, int], Book] = {}
        self._grades: dict[tuple[str, str, int], Severity | None] = {}
        self._thresholds: dict[str, Thresholds] = {}

    def rest(self) -> None:
        """Forget the books of the steps, and what was made of them, but for the grades."""
        self._books.clear()
        self._thresholds.clear()

    def thresholds(self, seat: str) -> Thresholds:
        """What the quantities of one book do while the setting is swept."""
        if seat not in self._thresholds:
            self._thresholds[seat] = self.about(seat)
        return self._thresholds[seat]

    def about(self, seat: str) -> Thresholds:
        """The same, made anew."""
        return Thresholds(
            self.key.name,
            self.key.line,
            Range(*self.key.whole),
            self.moved,
            self.books[seat],
            lambda steps: self.book(seat, steps),
        )

    def book(self, seat: str, steps: int) -> Book:
        """The book with the setting at so many steps."""
        book = self._books.get((seat, steps))
        if book is None:
            book = self._books[seat, steps] = self.made(seat, steps)
        return book

    def made(self, seat: str, steps: int) -> Book:
        """The same, made anew."""
        return self.books[seat].changed({self.key.name: self.entered(steps)})

    def entered(self, steps: int) -> Given:
        """The setting as it would be entered at so many steps."""
        key = self.key
        entered = key.value(steps)
        place = self.given.place if self.given is not None else NOWHERE
        value = key.factor * entered + key.offset
        return Given(key.name, value, key.entered_as, entered, key.factor, place, key.offset)

    def grade(self, clause: Clause, steps: int) -> Severity | None:
        """How grave the rule's finding is with the setting at so many steps; None without one."""
        asked = (clause.seat, clause.rule.id, steps)
        if asked not in self._grades:
            self._grades[asked] = self._graded(clause, steps)
        return self._grades[asked]

    def _graded(self, clause: Clause, steps: int) -> Severity | None:
        decided = ruling(clause.rule, self.book(clause.seat, steps))
        if decided.outcome != "flagged":
            return None
        for seat in self.others(clause):
            if ruling(clause.rule, self.book(seat, steps)).outcome != "flagged":
                return None
        return min(clause.severity, decided.severity, key=SEVERITIES.index)

    def others(self, clause: Clause) -> list[str]:
        """The books of other modes, of a rule for which any mode that is clear will do."""
        if clause.rule.modes != "any":
            return []
        return [mode for mode in self.books if mode != clause.mode]

    def pieces(self, clause: Clause, refused: Sequence[Severity] = SEVERITIES) -> list[Piece]:
        """The runs of steps at which the rule makes no finding of these severities."""
        if not self._applies(clause):
            return [self.key.whole]
        found: list[Piece] = []
        for low, high in self.stretches(clause):
            if self.grade(clause, low) in refused:
                continue
            if found and found[-1][1] == low - 1:
                low = found.pop()[0]
            found.append((low, high))
        return found

    def runs(self, clause: Clause) -> list[Piece]:
        """The runs between the steps after which the outcome may be another."""
        runs = self.thresholds(clause.seat).stretches(clause.rule)
        for seat in self.others(clause):
            others = self.thresholds(seat).stretches(clause.rule)
            runs = sorted(overlap([runs, others], self.key.whole))
        return runs

    def stretches(self, clause: Clause) -> Iterator[Piece]:
        """The runs over which the outcome stays; one whose ends differ is asked step by step."""
        for low, high in self.runs(clause):
            if self.grade(clause, low) == self.grade(clause, high):
                yield low, high
            else:
                yield from ((step, step) for step in range(low, high + 1))

    def _applies(self, clause: Clause) -> bool:
        """False where the rule is out of scope, or not checked, whatever the setting is."""
        applies = clause.rule.applies
        if applies is None or not self.moved.isdisjoint(applies.names):
            return True
        return applies.evaluate(self.books[clause.seat].operand).value is True
