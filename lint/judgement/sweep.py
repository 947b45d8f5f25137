"""One setting swept over its range in entry steps: at which of them each rule flags."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from ..documents.location import NOWHERE
from ..documents.profile import Given
from ..documents.schema import Property, canonical, properties
from ..quantities.book import Book
from ..quantities.number import ceiling, floor, tidy
from ..quantities.operand import ABSENT, EXACT, Operand
from ..quantities.registry import affected
from .evaluation import ruling
from .expression import Expression
from .rule import Rule, Severity


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
        return tidy(steps * self.step)

    def steps(self, entered: float) -> float:
        """How many steps an entered value makes, whole or not."""
        return entered / self.step


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


def clash(allowed: Mapping[str, Sequence[Piece]], whole: Piece) -> tuple[str, ...]:
    """The smallest set of rules that leave no step between them; empty where all can hold.

    >>> clash({"high": [(0, 4)], "wide": [(0, 9)], "low": [(5, 9)]}, (0, 9))
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


GRID = 16  # stretches of the range that are looked at, even where nothing suggests a change
NEAR = 3  # steps by which a limit that is worked out may miss the one that judging finds
NUMBER = re.compile(r"(?<![\w.])\d+(?:\.\d+)?")


@dataclass(frozen=True, slots=True)
class Clause:
    """A rule as it holds in one mode ("" for the base settings)."""

    rule: Rule
    severity: Severity
    mode: str


class Sweep:
    """The flags of one setting's rules, each asked once.

    `books` has the book of every mode in which the setting's value is in force.
    """

    def __init__(
        self, key: Key, given: Given | None, books: dict[str, Book], clauses: Sequence[Clause]
    ) -> None:
        self.key, self.given, self.books, self.clauses = key, given, books, clauses
        self.moved = affected(frozenset({key.name}))
        self._books: dict[tuple[str, int], Book] = {}
        self._flags: dict[tuple[str, str, int], bool] = {}

    def book(self, mode: str, steps: int) -> Book:
        """The mode's book with the setting at so many steps."""
        book = self._books.get((mode, steps))
        if book is None:
            key = self.key
            entered = key.value(steps)
            place = self.given.place if self.given is not None else NOWHERE
            given = Given(
                key.name, entered * key.factor, key.entered_as, entered, key.factor, place
            )
            book = self._books[mode, steps] = self.books[mode].changed({key.name: given})
        return book

    def flagged(self, clause: Clause, steps: int) -> bool:
        """Whether the rule flags with the setting at so many steps."""
        asked = (clause.mode, clause.rule.id, steps)
        known = self._flags.get(asked)
        if known is None:
            decided = ruling(clause.rule, self.book(clause.mode, steps))
            known = self._flags[asked] = decided.outcome == "flagged"
        return known

    def pieces(self, clause: Clause) -> list[Piece]:
        """The runs of steps at which the rule does not flag."""
        rule = clause.rule
        if not self._applies(clause):
            return [self.key.whole]
        own = frozenset[str]().union(
            *(part.names for part in (rule.low, rule.high, rule.applies) if part is not None)
        )
        if rule.of == self.key.name and rule.condition is None and self.moved.isdisjoint(own):
            found = self._plain(clause)
            if found is not None:
                return found
        return self._searched(clause)

    def _applies(self, clause: Clause) -> bool:
        """False where the rule is out of scope, or not judged, whatever the setting is."""
        applies = clause.rule.applies
        if applies is None or not self.moved.isdisjoint(applies.names):
            return True
        return applies.evaluate(self.books[clause.mode].operand).value is True

    def _plain(self, clause: Clause) -> list[Piece] | None:
        """The one run of a bound that does not move with the setting; None if it is not so plain."""
        rule, look_up = clause.rule, self.books[clause.mode].operand
        ends = [end.evaluate(look_up) if end is not None else None for end in (rule.low, rule.high)]
        if any(end is not None and end.side == ABSENT for end in ends):
            return [self.key.whole]
        if any(end is not None and end.side != EXACT for end in ends):
            return None
        low, high = (
            self._settled(clause, end, side) for end, side in zip(ends, (-1, 1), strict=True)
        )
        if low is None or high is None or low > high:
            return None
        return [(low, high)]

    def _settled(self, clause: Clause, end: Operand | None, outwards: int) -> int | None:
        """The last clear step towards an end, found by judging next to where it should be."""
        first, last = self.key.whole
        edge = last if outwards > 0 else first
        if end is None or end.value is None:
            return edge
        expected = self.key.steps(end.value / self.key.factor)
        if not math.isfinite(expected):
            return None
        steps = math.floor(expected) if outwards > 0 else math.ceil(expected)
        if not first <= steps <= last:
            inside = steps > last if outwards > 0 else steps < first
            return edge if inside and not self.flagged(clause, edge) else None
        for _ in range(NEAR):
            if self.flagged(clause, steps):
                steps -= outwards
            elif steps != edge and not self.flagged(clause, steps + outwards):
                steps += outwards
            else:
                return steps
            if not first <= steps <= last:
                return None
        return None

    def _searched(self, clause: Clause) -> list[Piece]:
        """The runs between changes of outcome, each closed in on from the samples about it."""
        found: list[Piece] = []
        start: int | None = None
        before: int | None = None
        samples = self._samples(clause)

        def ask(steps: int) -> bool:
            return self.flagged(clause, steps)

        for steps in samples:
            flagged = ask(steps)
            if start is None and not flagged:
                start = steps if before is None else _change(ask, before, steps)
            elif start is not None and flagged:
                assert before is not None
                found.append((start, _change(ask, before, steps) - 1))
                start = None
            before = steps
        if start is not None:
            found.append((start, samples[-1]))
        return found

    def _samples(self, clause: Clause) -> list[int]:
        """Steps to look at: an even grid, and both sides of every value that may matter."""
        first, last = self.key.whole
        steps = {first + (last - first) * part // GRID for part in range(GRID + 1)} | {first + 1}
        for entered in self._likely(clause):
            middle = self.key.steps(entered)
            if first - 1 <= middle <= last + 1:
                steps.update((math.floor(middle) - 1, math.floor(middle), math.ceil(middle) + 1))
        samples = sorted(at for at in steps if first <= at <= last)
        if clause.rule.condition is not None:
            return samples
        crossings = self._crossings(clause, samples)
        return sorted({*samples, *(at for at in crossings if first <= at <= last)})

    def _likely(self, clause: Clause) -> Iterable[float]:
        """Today's value, that of every like quantity that the rule reads, and its own numbers."""
        if self.given is not None:
            yield float(self.given.entered)
        for name in clause.rule.reads:
            value = self.books[clause.mode].operand(name).value
            if isinstance(value, int | float) and not isinstance(value, bool):
                yield value / self.key.factor
        for part in (clause.rule.condition, clause.rule.applies):
            for number in NUMBER.findall(part.text) if part is not None else ():
                yield float(number) / self.key.factor

    def _crossings(self, clause: Clause, samples: Sequence[int]) -> Iterable[int]:
        """Steps about each crossing of the bound, be the rule in scope there or not."""
        of = clause.rule.of
        assert of is not None
        for end in (clause.rule.low, clause.rule.high):
            if end is None:
                continue

            def over(steps: int, end: Expression = end) -> bool | None:
                book = self.book(clause.mode, steps)
                value, limit = book.operand(of).value, end.evaluate(book.operand).value
                return None if value is None or limit is None else bool(value > limit)

            known = [(steps, answer) for steps in samples if (answer := over(steps)) is not None]
            for (before, one), (steps, other) in pairwise(known):
                if one != other:
                    at = _change(over, before, steps)
                    yield from (at - 2, at - 1, at, at + 1)  # on the limit noise decides


def _change(ask: Callable[[int], bool | None], below: int, above: int) -> int:
    """The first step after `below` whose answer is that of `above`."""
    wanted = ask(above)
    while above - below > 1:
        middle = (below + above) // 2
        if ask(middle) == wanted:
            above = middle
        else:
            below = middle
    return above
