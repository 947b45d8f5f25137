"""The corners of a profile: where each rule holds, the verdict everywhere, and what would settle it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from ..documents.error import UsageError
from ..documents.given import Value
from ..documents.profile import Profile
from ..documents.schema import canonical
from ..judgement.catalogue import Catalogue
from ..judgement.evaluation import hear
from ..judgement.finding import Judgement, Verdict
from ..judgement.judge import concluded
from ..judgement.rule import SEVERITIES, STOPS, Rule, Severity
from .clauses import Bench, Clause, at_measured, clauses_of
from .corner_words import CornerFinding, corner_finding
from .interval import Interval
from .search import Answer, Holds
from .spread_points import spread_points
from .tolerance import Reach, Tolerated

Everywhere = Verdict | Literal["undecided"]
SETTINGS = "settings."


@dataclass(frozen=True, slots=True)
class RuleCorners:
    """Where one rule holds at one severity.

    `corner` has the worst values of what moves it, by the entry, in the unit of the quantity; `in_words`
    says the same. `share` is the part of the box in which it holds, of points spread over it evenly:
    no probability. `measured` says whether it holds as everything is entered; `waived` whether a waiver
    covers it at its corner, `told_by` a rule that tells the same cause better there.
    """

    rule: Rule
    severity: Severity
    holds: Holds
    corner: Mapping[str, Value]
    in_words: str
    share: float
    measured: bool
    waived: bool = False
    told_by: str = ""
    causes: tuple[str, ...] = ()
    modes: tuple[str, ...] = ()

    @property
    def stops(self) -> bool:
        """Whether nobody rides where it does not hold."""
        return self.severity in STOPS and not self.waived


@dataclass(frozen=True, slots=True)
class Settling:
    """An entry that, were it known exactly and as it is entered, would settle these rules."""

    quantity: str
    rules: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Room:
    """An entry with the room that its tolerance gives it; of a list how far it shifts."""

    quantity: str
    entered: Value
    side: Interval
    reaches: tuple[Reach, ...]


@dataclass(frozen=True, slots=True)
class Corners:
    """A profile judged over the box of all that is given within its tolerance.

    `untold` names entries of which no tolerance is known: they are taken as they are entered.
    """

    judgement: Judgement
    rules: tuple[RuleCorners, ...]
    everywhere: Everywhere
    settle: tuple[Settling, ...]
    rooms: tuple[Room, ...]
    untold: tuple[str, ...]


def corners_of(profile: Profile, catalogue: Catalogue, judged_on: str) -> Corners:
    """The corners of a profile of one motor; raises UsageError for one of several."""
    if profile.motors:
        raise UsageError(
            f"{profile.file}: corners are judged for one motor, and this vehicle has "
            f"{len(profile.motors)}. Put one motor's entries into a profile of its own."
        )
    hearing = hear(profile, catalogue, judged_on)
    judgement = concluded(hearing, catalogue, judged_on, sweeps=False)
    book = hearing.books[""]
    tolerated = Tolerated(book, profile.givens)
    bench = Bench(profile, catalogue, hearing.books, tolerated)
    answers = [(clause, bench.answer(clause)) for clause in clauses_of(hearing, catalogue)]
    scope = {"clear", "flagged"}
    rules = tuple(
        _told(clause, answer, bench, judged_on)
        for clause, answer in answers
        if answer.holds != "everywhere"
        or any(hearing.rulings[seat][clause.rule.id].outcome in scope for seat in clause.seats
               if clause.rule.id in hearing.rulings[seat])
    )
    return Corners(
        judgement,
        rules,
        _everywhere(judgement, rules),
        tuple(_settling(bench, answers)),
        tuple(_rooms(bench)),
        tuple(_untold(profile, tolerated)),
    )


def _told(clause: Clause, answer: Answer, bench: Bench, judged_on: str) -> RuleCorners:
    """A clause with its answer, and the corner where it does not hold."""
    measured = not at_measured(clause, bench)
    found = CornerFinding()
    if answer.worst is not None and answer.holds != "everywhere":
        found = corner_finding(clause, answer.worst, bench, judged_on)
    return RuleCorners(
        clause.rule,
        clause.counts_as,
        answer.holds,
        found.corner,
        found.in_words,
        _share(clause, answer, bench),
        measured,
        found.waived,
        found.told_by,
        found.causes,
        found.modes,
    )


def _share(clause: Clause, answer: Answer, bench: Bench) -> float:
    """The share of the box in which the clause holds."""
    if answer.holds in ("everywhere", "nowhere"):
        return 1.0 if answer.holds == "everywhere" else 0.0
    points = list(spread_points(bench.tolerated.box(clause.rule)))
    return sum(not bench.flagged(clause, point) for point in points) / len(points)


def _everywhere(judgement: Judgement, rules: Sequence[RuleCorners]) -> Everywhere:
    """The verdict that holds at every corner."""
    measured = judgement.stages["ride"]
    stops = {rule.holds for rule in rules if rule.stops}
    if measured == "no-go" or stops & {"somewhere", "nowhere"}:
        return "no-go"
    return "undecided" if "undecided" in stops else measured


def _settling(
    bench: Bench, answers: Sequence[tuple[Clause, Answer]]
) -> Iterator[Settling]:
    """The entries of which one alone settles rules that are in doubt, those that settle most first."""
    settled: dict[str, list[Clause]] = {}
    for clause, answer in answers:
        if answer.holds not in ("somewhere", "undecided"):
            continue
        box = bench.tolerated.box(clause.rule)
        for name in sorted(bench.excess(clause, box).sides):
            if bench.answer(clause, frozenset({name})).holds in ("everywhere", "nowhere"):
                settled.setdefault(name, []).append(clause)
    ranked = sorted(settled.items(), key=lambda one: (*_weight(one[1]), one[0]))
    for name, clauses in ranked:
        ordered = sorted(clauses, key=lambda one: SEVERITIES.index(one.counts_as))
        yield Settling(name, tuple(dict.fromkeys(one.rule.id for one in ordered)))


def _weight(clauses: Sequence[Clause]) -> tuple[int, int]:
    """Fewest first: of what stops, then of all, counted below nought."""
    stops = {one.rule.id for one in clauses if one.counts_as in STOPS}
    return -len({one.rule.id for one in clauses}), -len(stops)


def _rooms(bench: Bench) -> Iterator[Room]:
    for name, reaches in bench.tolerated.reaches.items():
        given = bench.profile.givens[name]
        if given.value is not None:
            yield Room(name, given.value, bench.tolerated.side(name, reaches), reaches)


def _untold(profile: Profile, tolerated: Tolerated) -> Iterator[str]:
    """The numbers that are given, are no settings, ratings or counts, and have no tolerance."""
    entries = canonical()
    for name, given in profile.givens.items():
        entry = entries.get(name)
        if entry is None or entry.kind != "number" or entry.rating or name.startswith(SETTINGS):
            continue
        if given.value is not None and name not in tolerated.reaches:
            yield name
