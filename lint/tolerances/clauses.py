"""Each rule of a profile as a question over its box, in the base settings and every mode."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from ..documents.profile import Given, Profile
from ..judgement.catalogue import Catalogue
from ..judgement.evaluation import Hearing, ruling
from ..judgement.rule import Rule, Severity
from ..quantities.book import Book
from .enclosure import Box, Enclosure
from .excess import clause_severities, excess_of, flags_at, without_texts
from .extent import Extent, all_hold, one_holds
from .interval import Interval
from .search import BUDGET, BoxAnswer, BoxPoint, BoxQuestion, answer_of
from .tolerance import Tolerated, rules_of_entries


@dataclass(frozen=True, slots=True)
class CornerClause:
    """A rule at one of its severities, with the seats in which it is judged: the base and modes.

    Of a rule for which any mode will do, `told_in` is the one whose numbers are wanted; None: the best one's.
    """

    rule: Rule
    severity: Severity
    counts_as: Severity
    seats: tuple[str, ...]
    told_in: str | None = None


@dataclass(slots=True)
class CornerBench:
    """One vehicle with the books of its seats, and what was enclosed of them already."""

    profile: Profile
    catalogue: Catalogue
    books: Mapping[str, Book]
    tolerated: Tolerated
    _enclosures: dict[tuple[str, frozenset[tuple[str, Interval]]], Enclosure] = field(
        default_factory=dict
    )
    _changed: dict[frozenset[tuple[str, float]], dict[str, Book]] = field(default_factory=dict)

    @property
    def budget(self) -> int:
        """How many boxes are looked at for one answer."""
        return BUDGET

    @property
    def about(self) -> tuple[str, ...]:
        """The motor that it is about, of several."""
        return ()

    def question(self, clause: CornerClause, swept: str = "") -> BoxQuestion:
        """The clause as a question over boxes and points; of `swept` they have many values."""
        return BoxQuestion(
            lambda box: self.excess(clause, box, swept),
            lambda point: bool(self.flagged(clause, point)),
        )

    def answer(self, clause: CornerClause, exact: frozenset[str] = frozenset()) -> BoxAnswer:
        """Where the clause holds, with some entries known to be exact."""
        box = self.tolerated.box(clause.rule, exact)
        if not box:
            return BoxAnswer("nowhere" if self.flagged(clause, {}) else "everywhere", {}, {})
        answer = answer_of(self.question(clause), box, self.budget)
        if answer.holds == "everywhere":
            clear = self.clear_seats(clause)
            if clear and self.excess(replace(clause, seats=clear), box).open:
                return BoxAnswer("undecided")  # broken nowhere, but not checked somewhere either
        return answer

    def clear_seats(self, clause: CornerClause) -> tuple[str, ...]:
        """Where the judge checks the rule with everything as entered, and finds it kept."""
        return tuple(
            seat
            for seat in clause.seats
            if ruling(clause.rule, self.books[seat]).outcome == "clear"
        )

    def excess(self, clause: CornerClause, box: Box, swept: str = "") -> Extent:
        """How far the rule is broken over a box: in any seat, or in all where any will do.

        `swept` is a side for which the rest of the box is asked again and again.
        """
        spans = [
            without_texts(excess_of(clause.rule, clause.severity, self.enclosure(seat, box, swept)))
            for seat in clause.seats
        ]
        if len(spans) == 1:
            return spans[0]
        return all_hold(spans) if clause.rule.modes == "any" else one_holds(spans)

    def enclosure(self, seat: str, box: Box, swept: str = "") -> Enclosure:
        """The enclosure of a seat's book; it is kept for the next rule that asks about the same box."""
        key = (seat, frozenset(box.items()))
        made = self._enclosures.get(key)
        if made is None:
            known = None
            if swept in box:
                without = {name: side for name, side in box.items() if name != swept}
                known = self.enclosure(seat, without)
            base = self.enclosure("", box, swept) if seat else None
            made = Enclosure(
                self.books[seat], self._in_mode(seat, box), base, known, frozenset({swept})
            )
            if len(self._enclosures) >= _ENCLOSED:
                for old in list(self._enclosures)[: _ENCLOSED // 2]:
                    del self._enclosures[old]
            self._enclosures[key] = made
        return made

    def _in_mode(self, seat: str, box: Box) -> Box:
        """The box without the sides that a mode puts at values of its own."""
        own = self.profile.modes.get(seat, {}).keys() & box.keys()
        return {name: side for name, side in box.items() if name not in own} if own else box

    def flagged(self, clause: CornerClause, point: BoxPoint) -> list[str]:
        """The seats in which the judge flags the rule at a point; none unless all, where any will do."""
        books = self.at(point)
        found = [s for s in clause.seats if flags_at(clause.rule, clause.severity, books[s])]
        if clause.rule.modes == "any" and len(found) < len(clause.seats):
            return []
        return found

    def at(self, point: BoxPoint) -> Mapping[str, Book]:
        """The books with the entries at a point."""
        moved = {
            name: self.given(name, value)
            for name, value in point.items()
            if value != self.tolerated.entered.get(name)
        }
        key = frozenset((name, value) for name, value in point.items() if name in moved)
        books = self._changed.get(key)
        if books is None:
            base = self.books[""].changed(moved)
            books = {"": base}
            for mode, changes in self.profile.modes.items():
                books[mode] = base.overlaid(changes)
            if len(self._changed) > _KEPT:
                self._changed.clear()
            self._changed[key] = books
        return books

    def given(self, name: str, value: float) -> Given:
        """An entry as it would be given at another value; a list shifts as a whole."""
        return entry_at(self.profile.givens[name], value)


def entry_at(given: Given, value: float) -> Given:
    """An entry as it would be given at another value; a list shifts as a whole."""
    moved: float | tuple[float, ...] = value
    if isinstance(given.value, tuple):
        moved = tuple(float(one) + value for one in given.value if isinstance(one, int | float))
        entered: object = [(one - given.offset) / given.factor for one in moved]
    else:
        entered = (value - given.offset) / given.factor
    return Given(
        given.name, moved, given.entered_as, entered, given.factor, given.place, given.offset
    )


_KEPT, _ENCLOSED = (
    400,
    1000,
)  # books at points, and boxes, that are kept: several rules ask of the same


def corner_clauses(
    hearing: Hearing, catalogue: Catalogue, mode: str | None = None
) -> Iterator[CornerClause]:
    """Every rule that holds what is there against a limit, at each of its severities.

    With a mode in its settings alone; what it does not touch is as in the base settings.
    """
    spared = rules_of_entries()
    base, *modes = hearing.rulings
    for rule in catalogue.about("profile"):
        if rule.id in spared:
            continue
        seats = (base, *(one for one in modes if rule.id in hearing.rulings[one]))
        if rule.modes == "any":
            seats = (base, *modes)
        elif mode is not None:
            seats = (mode,) if mode in seats else (base,)
        told_in = mode if rule.modes == "any" else None
        for severity in clause_severities(rule):
            counts_as = catalogue.at_least(rule, severity)
            yield CornerClause(rule, severity, counts_as, seats, told_in)


def at_measured(clause: CornerClause, bench: CornerBench) -> bool:
    """Whether the judge flags the clause with everything as it is entered."""
    return bool(bench.flagged(clause, {}))
