"""Windows: what one setting may be with the others as they stand, and the rule at each end."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ..documents.profile import Given
from ..documents.schema import Property, canonical, properties
from ..quantities.book import Book
from ..quantities.registry import moved_by
from .catalogue import Catalogue
from .judge import BASE, Hearing
from .place import roots_given
from .rule import SEVERITIES, Rule, Severity
from .ruling import Ruling, ruling

GRID = 48
HARD: tuple[Severity, ...] = ("danger", "fault")
# Fixed by the build or by a reading: they have a value, not a window.
FIXED = frozenset({"settings.pole_pairs"})

Piece = tuple[int, int]


@dataclass(frozen=True, slots=True)
class End:
    """An end of a window, in the unit of the key as entered; no rule: nothing bounds it there."""

    limit: float | None
    rule: str | None


@dataclass(frozen=True, slots=True)
class Span:
    """From the lowest to the highest allowed value."""

    low: End
    high: End


@dataclass(frozen=True, slots=True)
class RuleSpan:
    """What one rule alone allows; `low` or `high` is None where it does not bound that side."""

    rule: str
    severity: Severity
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class OpenEnd:
    """A rule that could bound the setting if these quantities were told."""

    rule: str
    missing: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Window:
    """The window of one setting in one mode, true with the other settings as they stand.

    `hard` keeps every danger and fault away, `good` the cautions too; None where rules that cannot
    all hold (`contrary`) leave nothing. `broken` names rules that flag whatever is entered here.
    """

    quantity: str
    entered_as: str
    mode: str
    unit: str
    step: float
    today: float | None
    hard: Span | None
    good: Span | None
    rules: tuple[RuleSpan, ...]
    contrary: tuple[str, ...]
    broken: tuple[str, ...]
    open_ends: tuple[OpenEnd, ...]
    depends_on: tuple[str, ...]


def windows(
    hearing: Hearing, catalogue: Catalogue, only: frozenset[str] | None = None
) -> tuple[Window, ...]:
    """The windows of every setting of the base settings, and of those that each mode sets.

    `only` restricts them to the named settings. Their order is that of the schema.
    """
    found: list[Window] = []
    for mode, book in hearing.books.items():
        names = settings_of(hearing, mode)
        for name in names:
            if only is None or name in only:
                window = window_of(name, mode, book, hearing.rulings[BASE].values(), catalogue)
                if window is not None:
                    found.append(window)
    return tuple(found)


def settings_of(hearing: Hearing, mode: str) -> list[str]:
    """The settings with a window: all of them in the base settings, in a mode those it sets."""
    book = hearing.books[mode]
    names = [
        name
        for name, entry in canonical().items()
        if name.startswith("settings.") and entry.kind in ("number", "integer")
    ]
    if mode != BASE:
        changes = hearing.profile.modes[mode]
        names = [name for name in names if changes.get(name) is not None]
    return [name for name in names if name not in FIXED and not book.is_absent(name)]


def window_of(
    name: str, mode: str, book: Book, rulings: Iterable[Ruling], catalogue: Catalogue
) -> Window | None:
    """The window of one setting by the rules that it reaches."""
    moved = moved_by(frozenset({name})) | {name}
    rules = [decided.rule for decided in rulings if not moved.isdisjoint(decided.rule.reads)]
    return _Sweep(name, mode, book, rules, catalogue).window()


class _Sweep:
    """One setting swept over its range in entry steps, every change of outcome closed in on."""

    def __init__(
        self, name: str, mode: str, book: Book, rules: Sequence[Rule], catalogue: Catalogue
    ) -> None:
        self.name, self.mode, self.book, self.rules = name, mode, book, rules
        self.severity = {rule.id: catalogue.severity(rule) for rule in rules}
        given = book.given(name)
        self.given = given if given is not None and given.value is not None else None
        self.entry = _entry_of(name, self.given)
        self.factor = self.given.factor if self.given is not None else self.entry.factor
        self.step = self.entry.step or 1.0
        self.first = math.ceil((self.entry.lowest or 0.0) / self.step - 1e-9)
        self.last = math.floor((self.entry.highest or 0.0) / self.step + 1e-9)
        if self.entry.strictly_above and self.first * self.step <= (self.entry.lowest or 0.0):
            self.first += 1
        self.books: dict[int, Book] = {}
        self.flags: dict[tuple[str, int], bool] = {}

    def value(self, steps: int) -> float:
        """What would be entered at so many steps."""
        return round(steps * self.step, 9)

    def book_at(self, steps: int) -> Book:
        book = self.books.get(steps)
        if book is None:
            entered = self.value(steps)
            value = entered * self.factor
            place = self.given.place if self.given is not None else None
            given = Given(self.name, value, self.entry.path, entered, self.factor, place)  # type: ignore[arg-type]
            book = self.books[steps] = self.book.changed({self.name: given})
        return book

    def flagged(self, rule: Rule, steps: int) -> bool:
        key = (rule.id, steps)
        known = self.flags.get(key)
        if known is None:
            known = self.flags[key] = ruling(rule, self.book_at(steps)).outcome == "flagged"
        return known

    def samples(self) -> list[int]:
        """Steps to look at first: an even grid, today's value, and every like quantity's value."""
        span = self.last - self.first
        steps = {self.first + span * part // GRID for part in range(GRID + 1)}
        for entered in self._candidates():
            middle = entered / self.step
            steps.update((math.floor(middle) - 1, math.floor(middle), math.ceil(middle) + 1))
        return sorted(steps_ for steps_ in steps if self.first <= steps_ <= self.last)

    def _candidates(self) -> Iterable[float]:
        if self.given is not None:
            yield self.given.value / self.factor
        for rule in self.rules:
            for end in (rule.low, rule.high):
                if end is not None and rule.of == self.name:
                    value = end.evaluate(self.book.operand).value
                    if isinstance(value, int | float):
                        yield value / self.factor
            for name in rule.reads:
                value = self.book.operand(name).value
                if isinstance(value, int | float) and not isinstance(value, bool):
                    yield value / self.factor

    def pieces(self, rule: Rule, samples: Sequence[int]) -> list[Piece]:
        """The runs of steps at which the rule does not flag."""
        found: list[Piece] = []
        start: int | None = None
        before: int | None = None
        for steps in samples:
            flagged = self.flagged(rule, steps)
            if start is None and not flagged:
                start = steps if before is None else self.change(rule, before, steps)
            elif start is not None and flagged:
                assert before is not None
                found.append((start, self.change(rule, before, steps) - 1))
                start = None
            before = steps
        if start is not None:
            found.append((start, samples[-1]))
        return found

    def change(self, rule: Rule, below: int, above: int) -> int:
        """The first step after `below` whose outcome is that of `above`."""
        wanted = self.flagged(rule, above)
        while above - below > 1:
            middle = (below + above) // 2
            if self.flagged(rule, middle) == wanted:
                above = middle
            else:
                below = middle
        return above

    def window(self) -> Window | None:
        if self.last < self.first:
            return None
        samples = self.samples()
        allowed = {rule.id: self.pieces(rule, samples) for rule in self.rules}
        broken = [rule.id for rule in self.rules if not allowed[rule.id]]
        live = [rule for rule in self.rules if allowed[rule.id]]
        binding = [rule for rule in live if allowed[rule.id] != [(self.first, self.last)]]
        hard_rules = [rule for rule in binding if self.severity[rule.id] in HARD]
        hard = self.nearest(_overlap([allowed[rule.id] for rule in hard_rules], self.whole))
        good = self.nearest(_overlap([allowed[rule.id] for rule in binding], self.whole))
        at_ends = [rule for rule in binding]
        return Window(
            quantity=self.name,
            entered_as=self.entry.path
            if self.mode == BASE or not self.given
            else self.given.entered_as,
            mode=self.mode,
            unit=self.entry.unit,
            step=self.step,
            today=self.given.entered if self.given is not None else None,
            hard=self.span(hard, hard_rules),
            good=self.span(good, binding),
            rules=tuple(self.rule_spans(binding, allowed)),
            contrary=() if hard else contrary(hard_rules, allowed, self.whole),
            broken=tuple(broken),
            open_ends=tuple(self.open_ends()),
            depends_on=self.depends_on(at_ends),
        )

    @property
    def whole(self) -> Piece:
        return (self.first, self.last)

    def nearest(self, pieces: Sequence[Piece]) -> Piece | None:
        """The piece that holds today's value, else the nearest; the widest where none is set."""
        if not pieces:
            return None
        if self.given is None:
            return max(pieces, key=lambda piece: piece[1] - piece[0])
        today = float(self.given.entered) / self.step
        return min(pieces, key=lambda piece: max(piece[0] - today, today - piece[1], 0.0))

    def span(self, piece: Piece | None, rules: Sequence[Rule]) -> Span | None:
        if piece is None:
            return None
        return Span(self.end(piece[0], -1, rules), self.end(piece[1], 1, rules))

    def end(self, steps: int, outwards: int, rules: Sequence[Rule]) -> End:
        """The end at `steps` with the gravest rule that flags one step further out."""
        beyond = steps + outwards
        if not self.first <= beyond <= self.last:
            return End(None, None)
        flagging = [rule for rule in rules if self.flagged(rule, beyond)]
        flagging.sort(key=lambda rule: (SEVERITIES.index(self.severity[rule.id]), rule.id))
        return End(self.value(steps), flagging[0].id if flagging else None)

    def rule_spans(
        self, rules: Sequence[Rule], allowed: dict[str, list[Piece]]
    ) -> Iterable[RuleSpan]:
        for rule in rules:
            piece = self.nearest(allowed[rule.id])
            assert piece is not None
            low = self.value(piece[0]) if piece[0] > self.first else None
            high = self.value(piece[1]) if piece[1] < self.last else None
            yield RuleSpan(rule.id, self.severity[rule.id], low, high)

    def open_ends(self) -> Iterable[OpenEnd]:
        book = self.book if self.given is not None else self.book_at((self.first + self.last) // 2)
        for rule in self.rules:
            decided = ruling(rule, book)
            if decided.outcome == "not_judged":
                yield OpenEnd(rule.id, tuple(sorted(decided.missing)))

    def depends_on(self, rules: Sequence[Rule]) -> tuple[str, ...]:
        names = sorted(frozenset().union(*(rule.reads for rule in rules)))
        return tuple(name for name in roots_given(self.book, names) if name != self.name)


def _entry_of(name: str, given: Given | None) -> Property:
    """The property under whose key the setting was entered."""
    if given is not None:
        entry = properties().get(given.entered_as)
        if entry is not None:
            return entry
        key = given.entered_as.rsplit(".", 1)[-1]
        for path, candidate in properties().items():
            if candidate.quantity == name and path.rsplit(".", 1)[-1] == key:
                return candidate
    return canonical()[name]


def _overlap(sets: Sequence[list[Piece]], whole: Piece) -> list[Piece]:
    """The steps that all sets of pieces share."""
    shared = [whole]
    for pieces in sets:
        shared = [
            (max(a, c), min(b, d)) for a, b in shared for c, d in pieces if max(a, c) <= min(b, d)
        ]
    return shared


def contrary(
    rules: Sequence[Rule], allowed: dict[str, list[Piece]], whole: Piece
) -> tuple[str, ...]:
    """The smallest set of rules that cannot all hold: a pair where one is found, else all needed."""
    for place, one in enumerate(rules):
        for other in rules[place + 1 :]:
            if not _overlap([allowed[one.id], allowed[other.id]], whole):
                return (one.id, other.id)
    needed = list(rules)
    for rule in rules:
        fewer = [kept for kept in needed if kept is not rule]
        if not _overlap([allowed[kept.id] for kept in fewer], whole):
            needed = fewer
    return tuple(rule.id for rule in needed)
