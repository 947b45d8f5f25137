"""The corners of a profile: where each rule holds, the verdict everywhere, and what would settle it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from ..documents.error import UsageError
from ..documents.given import Value
from ..documents.profile import Profile
from ..documents.schema import canonical
from ..judgement.catalogue import Catalogue
from ..judgement.evaluation import Hearing, hear
from ..judgement.finding import Judgement, Verdict
from ..judgement.judge import concluded
from ..judgement.rule import STOPS, Rule, Severity
from ..quantities.book import Book
from ..quantities.number import is_number
from ..quantities.operand import EXACT
from .clauses import CornerBench, CornerClause, at_measured, corner_clauses
from .corner_words import CornerFinding, corner_finding
from .interval import Interval
from .mode_corners import ModeCorners, corners_of_modes, judgement_in_mode
from .search import BoxAnswer, WhereHolds
from .settling import Settling, SettlingTogether, settling, settling_together
from .spread_points import spread_points
from .tolerance import Reach, Tolerated, refuse_unknown_rows, stated_entries

Everywhere = Verdict | Literal["undecided"]
_SETTINGS = "settings."


@dataclass(frozen=True, slots=True)
class RuleCorners:
    """Where one rule holds at one severity.

    `share` is the part of the box in which it holds, of points spread over it evenly: no probability.
    `measured` says whether it holds as everything is entered, `at_corner` what the judge says at the
    worst corner; `motors` names the motors that it is about, of several and not of all.
    """

    rule: Rule
    severity: Severity
    holds: WhereHolds
    share: float
    measured: bool
    at_corner: CornerFinding
    motors: tuple[str, ...] = ()

    @property
    def stops(self) -> bool:
        """Whether nobody rides where it does not hold."""
        return self.severity in STOPS and not self.at_corner.waived


@dataclass(frozen=True, slots=True)
class Room:
    """An entry with the room that its tolerance gives it; of a list how far it shifts.

    `measured` names what of the readings tells it better, with the value there.
    """

    quantity: str
    entered: Value
    side: Interval
    reaches: tuple[Reach, ...]
    measured: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Corners:
    """A profile judged over the box of all that is given within its tolerance.

    `untold` names entries of which no tolerance is known: they are taken as they are entered. `modes`
    has what fails in each mode, of a profile that has any; with `mode` all is told of that one alone.
    """

    judgement: Judgement
    rules: tuple[RuleCorners, ...]
    everywhere: Everywhere
    settle: tuple[Settling, ...]
    settle_together: tuple[SettlingTogether, ...]
    rooms: tuple[Room, ...]
    untold: tuple[str, ...]
    modes: tuple[ModeCorners, ...] = ()
    mode: str | None = None


class OnBench(NamedTuple):
    """What the corners of one book come to: its rules, and the clauses that fail or are in doubt.

    Each doubted clause comes with the entries that bring it to its corner, the strongest first.
    """

    bench: CornerBench
    rules: tuple[RuleCorners, ...]
    failing: tuple[CornerClause, ...]
    doubted: tuple[tuple[CornerClause, tuple[str, ...]], ...]


def corners_of(
    profile: Profile, catalogue: Catalogue, judged_on: str, mode: str | None = None
) -> Corners:
    """The corners of a profile, or of one of its modes; raises UsageError for a mode that it has not."""
    if mode is not None and mode not in profile.modes:
        raise UsageError(f"{mode}: no such mode in the profile. Modes: {', '.join(profile.modes)}.")
    refuse_unknown_rows(profile.house)
    if profile.motors:
        from .motor_corners import corners_of_motors  # late: most vehicles have one motor

        return corners_of_motors(profile, catalogue, judged_on, mode)
    hearing = hear(profile, catalogue, judged_on)
    judgement = concluded(hearing, catalogue, judged_on, sweeps=False)
    if mode is not None:
        judgement = judgement_in_mode(judgement, (hearing,), mode)
    book = hearing.books[""]
    house = profile.house.tolerances
    tolerated = Tolerated(book, profile.givens, house, profile.tolerances)
    bench = CornerBench(profile, catalogue, hearing.books, tolerated)
    found = corners_on(bench, corner_clauses(hearing, catalogue, mode), hearing, judged_on)
    settle = tuple(settling(bench, [clause for clause, _ in found.doubted]))
    alone = {rule for one in settle for rule in one.rules}
    together = [one for one in found.doubted if one[0].rule.id not in alone]
    return Corners(
        judgement,
        found.rules,
        verdict_everywhere(judgement, found.rules),
        settle,
        tuple(settling_together(bench, together)),
        tuple(rooms_of(profile, book, tolerated)),
        tuple(untold_of(profile, tolerated)),
        corners_of_modes(bench, found.failing, judged_on) if mode is None else (),
        mode,
    )


def corners_on(
    bench: CornerBench, clauses: Iterable[CornerClause], hearing: Hearing, judged_on: str
) -> OnBench:
    """What some clauses come to over their boxes."""
    answers = [(clause, bench.answer(clause)) for clause in clauses]
    found = [
        (clause, answer, _told(clause, answer, bench, judged_on))
        for clause, answer in answers
        if answer.holds != "everywhere" or _in_scope(clause, hearing)
    ]
    return OnBench(
        bench,
        tuple(told for _, _, told in found),
        tuple(clause for clause, answer, _ in found if answer.holds != "everywhere"),
        tuple(
            (clause, tuple(told.at_corner.corner))
            for clause, answer, told in found
            if answer.holds in ("somewhere", "undecided")
        ),
    )


def _in_scope(clause: CornerClause, hearing: Hearing) -> bool:
    """Whether the rule was checked as everything is entered, in the base settings or a mode."""
    rulings = [hearing.rulings[seat].get(clause.rule.id) for seat in clause.seats]
    return any(one is not None and one.outcome in ("clear", "flagged") for one in rulings)


def _told(
    clause: CornerClause, answer: BoxAnswer, bench: CornerBench, judged_on: str
) -> RuleCorners:
    """A clause with its answer, and the corner where it does not hold."""
    measured = not at_measured(clause, bench)
    found = CornerFinding()
    if answer.worst is not None and answer.holds != "everywhere":
        found = corner_finding(clause, answer.worst, bench, judged_on)
    share = _share(clause, answer, bench)
    return RuleCorners(clause.rule, clause.counts_as, answer.holds, share, measured, found)


def _share(clause: CornerClause, answer: BoxAnswer, bench: CornerBench) -> float:
    """The share of the box in which the clause holds."""
    if answer.holds in ("everywhere", "nowhere"):
        return 1.0 if answer.holds == "everywhere" else 0.0
    points = list(spread_points(bench.tolerated.box(clause.rule)))
    return sum(not bench.flagged(clause, point) for point in points) / len(points)


def verdict_everywhere(judgement: Judgement, rules: Sequence[RuleCorners]) -> Everywhere:
    """The verdict that holds at every corner."""
    measured = judgement.stages["ride"]
    stops = {rule.holds for rule in rules if rule.stops}
    if measured == "no-go" or stops & {"somewhere", "nowhere"}:
        return "no-go"
    return "undecided" if "undecided" in stops else measured


def rooms_of(profile: Profile, book: Book, tolerated: Tolerated) -> Iterator[Room]:
    """The entries of a profile with the room that their tolerances give them."""
    for name, reaches in tolerated.reaches.items():
        given = profile.givens[name]
        if given.value is not None:
            side = tolerated.side(name, reaches)
            yield Room(name, given.value, side, reaches, dict(_measured(book, reaches)))


def _measured(book: Book, reaches: Sequence[Reach]) -> Iterator[tuple[str, float]]:
    """What is known of an entry by measurement; a bound on it tells no value."""
    for reach in reaches:
        for name in reach.tolerance.measured_by:
            operand = book.operand(name)
            if operand.side == EXACT and is_number(operand.value):
                yield name, float(operand.value)


def untold_of(profile: Profile, tolerated: Tolerated) -> Iterator[str]:
    """The numbers that are given, are no settings, ratings or choices, and have no tolerance."""
    entries = canonical()
    for name, given in profile.givens.items():
        entry = entries.get(name)
        if entry is None or entry.kind != "number" or entry.rating or name.startswith(_SETTINGS):
            continue
        if given.value is not None and not {name} & (tolerated.reaches.keys() | stated_entries()):
            yield name
