"""Windows that hold at every corner: what a setting may be while all else lies within its tolerance.

The setting is one more side of the box. A run of its values is kept if no point of that whole box breaks
a rule, so that nothing between two values that were tried is taken on trust.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..documents.profile import BASE, Profile
from ..judgement.catalogue import Catalogue
from ..judgement.evaluation import Hearing
from ..judgement.rule import SEVERITIES, STOPS, Severity
from ..judgement.sweep import Key, key_of
from ..judgement.window import End, Span, Window
from ..quantities.registry import affected
from .clauses import CornerBench, CornerClause, corner_clauses
from .interval import Interval
from .search import holds_everywhere
from .tolerance import Tolerated, refuse_unknown_rows

RUN_BUDGET = 24  # boxes looked at for one run; one that needs more is taken not to hold
FEW_STEPS = 64
Run = tuple[int, int]  # from a first to a last step


class CornerWindows:
    """The windows of one vehicle's base settings at every corner."""

    def __init__(self, profile: Profile, catalogue: Catalogue, hearing: Hearing) -> None:
        refuse_unknown_rows(profile.house)
        book, house = hearing.books[BASE], profile.house.tolerances
        tolerated = Tolerated(book, profile.givens, house, profile.tolerances)
        self.bench = CornerBench(profile, catalogue, hearing.books, tolerated)
        self.profile = profile
        self.clauses = list(corner_clauses(hearing, catalogue))
        self._steps: dict[tuple[str, Severity, str, int], bool] = {}

    def window(self, window: Window) -> Window | None:
        """A window cut to what holds at every corner; None for one of a mode, or without a value."""
        given = self.profile.givens.get(window.quantity)
        if window.mode != BASE or given is None or window.today is None:
            return None
        if window.hard is None:
            return window  # nothing holds as everything is entered
        key = key_of(window.quantity, given)
        hard = self._span(key, window, window.hard, STOPS)
        inner = None if hard is None else _tighter(window.good or hard, hard)
        good = None if inner is None else self._span(key, window, inner, SEVERITIES)
        return replace(window, hard=hard, good=good)

    def _span(
        self, key: Key, window: Window, span: Span, refused: Sequence[Severity]
    ) -> Span | None:
        """The run of values about today's that holds everywhere, else about an end of the window."""
        first = key.first if span.low.limit is None else round(key.steps(span.low.limit))
        last = key.last if span.high.limit is None else round(key.steps(span.high.limit))
        if first > last:
            return None
        clauses = self._about(key, refused)
        today = round(key.steps(window.today or 0.0))
        for anchor in (min(max(today, first), last), first, last, (first + last) // 2):
            if all(self._holds(clause, key, (anchor, anchor)) for clause in clauses):
                return self._grown(key, span, clauses, anchor, (first, last))
        return None

    def _about(self, key: Key, refused: Sequence[Severity]) -> list[CornerClause]:
        """The clauses that the setting moves."""
        moved = affected(frozenset({key.name}))
        return [
            clause
            for clause in self.clauses
            if clause.counts_as in refused and not moved.isdisjoint(clause.rule.reads)
        ]

    def _grown(
        self, key: Key, span: Span, clauses: Sequence[CornerClause], anchor: int, whole: Run
    ) -> Span:
        low, high = span.low, span.high
        first, last = whole
        for clause in clauses:
            edge = self._edge(clause, key, anchor, first)
            if edge != first:
                first, low = edge, End(key.value(edge), clause.rule.id, BASE, clause.counts_as)
            edge = self._edge(clause, key, anchor, last)
            if edge != last:
                last, high = edge, End(key.value(edge), clause.rule.id, BASE, clause.counts_as)
        return Span(low, high)

    def _edge(self, clause: CornerClause, key: Key, anchor: int, end: int) -> int:
        """The step furthest towards an end up to which the clause holds over the whole box."""
        if anchor == end or self._holds(clause, key, _run(anchor, end)):
            return end
        kept, broken = anchor, end
        while abs(broken - kept) > 1:
            middle = (kept + broken) // 2
            if self._holds(clause, key, _run(anchor, middle)):
                kept = middle
            else:
                broken = middle
        return kept

    def _holds(self, clause: CornerClause, key: Key, run: Run) -> bool:
        """Whether a clause holds at every point of its box with the setting anywhere in a run.

        What cannot be told of a run as a whole is asked of each of its steps, if they are few.
        """
        if self._holds_over(clause, key, run):
            return True
        first, last = run
        few = 0 < last - first <= FEW_STEPS
        return few and all(self._at_step(clause, key, step) for step in range(first, last + 1))

    def _at_step(self, clause: CornerClause, key: Key, step: int) -> bool:
        asked = (clause.rule.id, clause.severity, key.name, step)
        if asked not in self._steps:
            self._steps[asked] = self._holds_over(clause, key, (step, step))
        return self._steps[asked]

    def _holds_over(self, clause: CornerClause, key: Key, run: Run) -> bool:
        start, step = key.line
        ends = sorted(start + step * steps for steps in run)
        box = {**self.bench.tolerated.box(clause.rule), key.name: Interval(ends[0], ends[1])}
        return holds_everywhere(self.bench.question(clause), box, RUN_BUDGET)


def _tighter(good: Span, hard: Span) -> Span:
    """The good window inside the hard one."""
    low, high = good.low, good.high
    if hard.low.limit is not None and (low.limit is None or low.limit < hard.low.limit):
        low = hard.low
    if hard.high.limit is not None and (high.limit is None or high.limit > hard.high.limit):
        high = hard.high
    return Span(low, high)


def _run(anchor: int, end: int) -> Run:
    return (anchor, end) if anchor <= end else (end, anchor)
