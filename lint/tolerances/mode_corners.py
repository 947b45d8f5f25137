"""The corners mode by mode: which mode fails, by which rule and at which corner."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from ..documents.profile import BASE
from ..judgement.evaluation import Hearing
from ..judgement.finding import Judgement
from ..judgement.rule import STOPS, Rule, Severity
from ..judgement.verdict import verdicts
from .clauses import CornerBench, CornerClause
from .corner_words import corner_finding
from .search import WhereHolds


@dataclass(frozen=True, slots=True)
class ModeFailure:
    """A rule that fails in one mode at a corner, or whatever is off."""

    rule: Rule
    severity: Severity
    holds: WhereHolds
    causes: tuple[str, ...]
    in_words: str


@dataclass(frozen=True, slots=True)
class ModeCorners:
    """One mode, "" for the base settings, and what stops a ride in it at a corner, the worst first."""

    mode: str
    fails: tuple[ModeFailure, ...]


def corners_of_modes(
    bench: CornerBench, clauses: Sequence[CornerClause], judged_on: str
) -> tuple[ModeCorners, ...]:
    """Each mode with what fails in it, of the clauses that fail somewhere; none without modes.

    A rule for which any mode will do is about all of them, and stands below each.
    """
    if not bench.profile.modes:
        return ()
    return tuple(
        ModeCorners(mode, tuple(_of_mode(mode, bench, clauses, judged_on)))
        for mode in (BASE, *bench.profile.modes)
    )


def _of_mode(
    mode: str, bench: CornerBench, clauses: Sequence[CornerClause], judged_on: str
) -> list[ModeFailure]:
    found: dict[str, ModeFailure] = {}
    for clause in clauses:
        if clause.counts_as not in STOPS:
            continue
        alone = replace(clause, told_in=mode)
        if clause.rule.modes != "any":
            seat = mode if mode in clause.seats else BASE
            if seat not in clause.seats:
                continue
            alone = replace(clause, seats=(seat,))
        answer = bench.answer(alone)
        if answer.holds == "everywhere" or answer.worst is None:
            continue
        told = corner_finding(alone, answer.worst, bench, judged_on)
        if told.waived or told.told_by:
            continue
        known = found.get(clause.rule.id)
        if known is None or STOPS.index(clause.counts_as) < STOPS.index(known.severity):
            found[clause.rule.id] = ModeFailure(
                clause.rule, clause.counts_as, answer.holds, told.together, told.in_words
            )
    return sorted(found.values(), key=lambda one: STOPS.index(one.severity))


def judgement_in_mode(judgement: Judgement, hearings: Sequence[Hearing], mode: str) -> Judgement:
    """A judgement with the findings of one mode alone: its own, and those that it does not touch."""
    findings = tuple(
        one
        for one in judgement.findings
        if mode in one.modes or (not one.modes and any(_flagged(one.rule, hearings, mode)))
    )
    waiting = tuple(one for one in judgement.not_checked if not one.modes or mode in one.modes)
    stages = verdicts(findings, waiting, False)
    return replace(judgement, findings=findings, not_checked=waiting, stages=stages)


def _flagged(rule: Rule, hearings: Sequence[Hearing], mode: str) -> Iterator[bool]:
    """By the motor, if there are several, whether what the base settings break stays broken in a mode."""
    for hearing in hearings:
        ruled = hearing.rulings[mode].get(rule.id)
        yield ruled is None or ruled.outcome == "flagged"
