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
from ..judgement.explanation import roots_given
from ..judgement.rule import SEVERITIES, STOPS, Severity
from ..judgement.sweep import Key, key_of
from ..judgement.window import End, RuleSpan, Span, Window
from ..quantities.registry import affected
from .clauses import CornerBench, CornerClause, corner_clauses
from .enclosure import Box
from .interval import Interval
from .search import BoxQuestion, answer_of, holds_everywhere
from .tolerance import Tolerated, decides_of, reads_of, refuse_unknown_rows

STEP_BUDGET = 24  # boxes looked at for one value; one that needs more is taken not to hold
RUN_BUDGET = 6  # of a run of values, which is halved instead
FEW_STEPS = 64
RETRIES = 4  # from where a run was too wide for its budget
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
        key = key_of(window.quantity, given)
        alone = [(clause, self._alone(clause, key, window)) for clause in self._about(key)]
        alone = _without_mere_grades(alone, key, _today(key, window))
        runs = [(clause, run) for clause, run in alone if run is not None]
        broken = [clause for clause, run in alone if run is None]
        shown = [one for one in broken if self._is_broken(one, key, window)]
        doubted = [one for one in broken if one not in shown]
        hard = self._cut(key, window.hard, STOPS, runs, broken)
        inner = None if hard is None else _tighter(window.good or hard, hard)
        rules = self._rule_spans(key, window, runs)
        always = dict.fromkeys((*window.flagged_regardless, *(one.rule.id for one in shown)))
        return replace(
            window,
            hard=hard,
            good=self._cut(key, inner, SEVERITIES, runs, broken),
            rules=rules,
            conflict=() if hard is not None else window.conflict or _clash(rules, shown, doubted),
            flagged_regardless=tuple(always),
            depends_on=self._depends_on(key, window, rules),
            at_corners=True,
            undecided=_undecided(shown, doubted),
            # no value mends what is broken anyway, but the others still bound it
            otherwise=self._cut(key, window.hard, STOPS, runs, ()) if hard is None else None,
        )

    def _about(self, key: Key) -> list[CornerClause]:
        """The clauses that the setting moves, the gravest first."""
        moved = affected(frozenset({key.name}))
        found = [clause for clause in self.clauses if moved & reads_of(clause.rule)]
        return sorted(found, key=lambda clause: SEVERITIES.index(clause.counts_as))

    def _alone(self, clause: CornerClause, key: Key, window: Window) -> Run | None:
        """The run of values about today's, else about an end of the window, that one clause allows."""
        first, last = _steps(key, window.hard)
        today = _today(key, window)
        inside = min(max(today, first), last)
        if self._holds(clause, key, key.whole):
            return key.whole
        anchors = (today, inside, first, last, (first + last) // 2, key.first, key.last)
        for anchor in dict.fromkeys(anchors):
            if self._holds(clause, key, (anchor, anchor)):
                low, high = (self._edge(clause, key, anchor, end) for end in key.whole)
                return low, high
        # As long as `gonogo corners` looks: what it proves of today's value is not denied here.
        at_today = self._question_at(clause, key, today)
        return (today, today) if holds_everywhere(*at_today, self.bench.budget) else None

    def _is_broken(self, clause: CornerClause, key: Key, window: Window) -> bool:
        """Whether the judge breaks a clause at a corner, with today's value: else it is not decided."""
        at_today = self._question_at(clause, key, _today(key, window))
        return answer_of(*at_today, self.bench.budget).worst is not None

    def _question_at(self, clause: CornerClause, key: Key, step: int) -> tuple[BoxQuestion, Box]:
        return self._question(clause, key, (step, step))

    def _cut(
        self,
        key: Key,
        span: Span | None,
        refused: Sequence[Severity],
        runs: Sequence[tuple[CornerClause, Run]],
        broken: Sequence[CornerClause],
    ) -> Span | None:
        """What all clauses of some severities leave of a span."""
        if span is None or any(clause.counts_as in refused for clause in broken):
            return None
        low, high = span.low, span.high
        first, last = _steps(key, span)
        for clause, run in runs:
            if clause.counts_as in refused and run[0] > first:
                first, low = run[0], self._end(clause, key, run[0], -1)
            if clause.counts_as in refused and run[1] < last:
                last, high = run[1], self._end(clause, key, run[1], 1)
        return Span(low, high) if first <= last else None

    def _end(self, clause: CornerClause, key: Key, edge: int, outwards: int) -> End:
        mode = self._mode_beyond(clause, key, edge + outwards)
        return End(key.value(edge), clause.rule.id, mode, clause.counts_as)

    def _mode_beyond(self, clause: CornerClause, key: Key, step: int) -> str:
        """The first mode in which a clause does not hold at a step; the base settings come first."""
        if clause.rule.modes == "any" or len(clause.seats) == 1:
            return BASE
        for seat in clause.seats:
            if not self._holds_over(replace(clause, seats=(seat,)), key, (step, step)):
                return seat
        return BASE

    def _rule_spans(
        self, key: Key, window: Window, runs: Sequence[tuple[CornerClause, Run]]
    ) -> tuple[RuleSpan, ...]:
        """What each rule alone allows at every corner; those with no corners as everything is entered."""
        known = {clause.rule.id for clause in self.clauses}
        spans = [rule for rule in window.rules if rule.rule not in known]
        seen: set[tuple[str, Run]] = set()
        for clause, run in runs:
            if run == key.whole or (clause.rule.id, run) in seen:
                continue
            seen.add((clause.rule.id, run))
            low = key.value(run[0]) if run[0] > key.first else None
            high = key.value(run[1]) if run[1] < key.last else None
            beyond = run[0] - 1 if high is None else run[1] + 1
            mode = self._mode_beyond(clause, key, beyond)
            spans.append(RuleSpan(clause.rule.id, clause.counts_as, mode, low, high))
        return tuple(spans)

    def _depends_on(self, key: Key, window: Window, rules: Sequence[RuleSpan]) -> tuple[str, ...]:
        """The given quantities on which the limits hang, of a rule that bounds at a corner alone too."""
        known = {rule.rule for rule in window.rules}
        reads = {
            name
            for rule in rules
            if rule.rule not in known
            for name in reads_of(self.bench.catalogue.rules[rule.rule])
        }
        found = roots_given(self.bench.books[BASE], sorted(reads))
        return tuple(sorted({*window.depends_on, *found} - {key.name}))

    def _edge(self, clause: CornerClause, key: Key, anchor: int, end: int) -> int:
        """The step furthest towards an end up to which the clause holds over the whole box."""
        kept = anchor
        for _ in range(RETRIES):
            if kept == end or self._holds(clause, key, _run(kept, end)):
                return end
            broken = end
            while abs(broken - kept) > 1:
                middle = (kept + broken) // 2
                if self._holds(clause, key, _run(kept, middle)):
                    kept = middle
                else:
                    broken = middle
            if not self._at_step(clause, key, broken):
                break
            kept = broken  # a run up to it was too wide to be told of, and it alone is not
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
        budget = STEP_BUDGET if run[0] == run[1] else RUN_BUDGET
        return holds_everywhere(*self._question(clause, key, run), budget)

    def _question(self, clause: CornerClause, key: Key, run: Run) -> tuple[BoxQuestion, Box]:
        """What is asked of a clause with the setting anywhere in a run, and over which box."""
        start, step = key.line
        ends = sorted(start + step * steps for steps in run)
        box = {**self.bench.tolerated.box(clause.rule), key.name: Interval(ends[0], ends[1])}
        return self.bench.question(clause, key.name), box


def _today(key: Key, window: Window) -> int:
    """The step of today's value."""
    return min(max(round(key.steps(window.today or 0.0)), key.first), key.last)


def _without_mere_grades(
    alone: Sequence[tuple[CornerClause, Run | None]], key: Key, today: int
) -> list[tuple[CornerClause, Run | None]]:
    """The runs of clauses, but none that a rule leaves only by being less grave there.

    Where a setting does not move what breaks a rule, and that stays broken whatever is entered, another
    value only changes whom it endangers: that heals nothing, so it is no value that fits. Today's own
    may still be the last before it gets graver.
    """
    moved = affected(frozenset({key.name}))
    stays = {
        clause.rule.id
        for clause, run in alone
        if run is None and clause.severity == clause.rule.severity
    }
    mere = {
        clause.rule.id
        for clause, _ in alone
        if clause.rule.id in stays and moved.isdisjoint(decides_of(clause.rule))
    }
    return [
        (clause, run)
        if clause.rule.id not in mere or run is None or run[0] <= today <= run[1]
        else (clause, None)
        for clause, run in alone
    ]


def _tighter(good: Span, hard: Span) -> Span:
    """The good window inside the hard one."""
    low, high = good.low, good.high
    if hard.low.limit is not None and (low.limit is None or low.limit < hard.low.limit):
        low = hard.low
    if hard.high.limit is not None and (high.limit is None or high.limit > hard.high.limit):
        high = hard.high
    return Span(low, high)


def _steps(key: Key, span: Span | None) -> Run:
    """The first and the last step of a span; all of them where nothing bounds it."""
    low, high = (None, None) if span is None else (span.low.limit, span.high.limit)
    first = key.first if low is None else round(key.steps(low))
    return first, key.last if high is None else round(key.steps(high))


def _undecided(broken: Sequence[CornerClause], doubted: Sequence[CornerClause]) -> tuple[str, ...]:
    """The rules in doubt, but those that are known to stop a ride whatever is entered."""
    known = {one.rule.id for one in broken if one.counts_as in STOPS}
    return tuple(dict.fromkeys(one.rule.id for one in doubted if one.rule.id not in known))


def _clash(
    rules: Sequence[RuleSpan], broken: Sequence[CornerClause], doubted: Sequence[CornerClause]
) -> tuple[str, ...]:
    """The rules that leave nothing: one that fails whatever is entered, one that is not decided at any
    value, else the two that lie apart.
    """
    for clause in (*broken, *doubted):
        if clause.counts_as in STOPS:
            return (clause.rule.id,)
    stops = [rule for rule in rules if rule.severity in STOPS]
    lows = [(rule.low, rule.rule) for rule in stops if rule.low is not None]
    highs = [(rule.high, rule.rule) for rule in stops if rule.high is not None]
    ends = [max(lows)[1]] * bool(lows) + [min(highs)[1]] * bool(highs)
    return tuple(dict.fromkeys(ends))


def _run(anchor: int, end: int) -> Run:
    return (anchor, end) if anchor <= end else (end, anchor)
