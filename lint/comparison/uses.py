"""What takes up a part, an allowance or a rule: each vehicle, what it gets, what the rule says there."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal, NamedTuple

from ..documents.given import Given
from ..documents.part_references import PartReference
from ..documents.profile import Profile
from ..documents.schema import properties
from ..judgement.catalogue import Catalogue
from ..judgement.document_rules import of_papers, paperwork
from ..judgement.evaluation import Hearing
from ..judgement.finding import Finding, NotChecked
from ..judgement.rule import SEVERITIES, Outcome, Rule, Severity
from ..judgement.sentences import entered_in
from ..quantities.number import tidy
from ..quantities.registry import affected
from .finding_change import JudgedSide
from .margin import distance_of, told_distance

OUTCOMES_WORST_FIRST: tuple[Outcome, ...] = ("flagged", "not_checked", "clear", "out_of_scope")


@dataclass(frozen=True, slots=True)
class UseTarget:
    """What was asked about: a part's file, which may be gone, a key of the house file, or a rule."""

    kind: Literal["part", "house", "rule"]
    name: str
    path: Path | None = None


@dataclass(frozen=True, slots=True)
class TakenValue:
    """A value that a vehicle gets from a part: its key in the profile, what was entered, its unit."""

    key: str
    value: object
    unit: str


@dataclass(frozen=True, slots=True)
class PartUse:
    """A vehicle that names a part, itself or through other parts.

    `sections` are those that take it, `line` where the first stands in the vehicle's file or in the last
    of the parts `through` which it comes; `gets` what holds of it, `overridden` the keys of it that the
    vehicle has otherwise. A vehicle that cannot be `read` gets nothing.
    """

    file: str
    name: str
    sections: tuple[str, ...]
    through: tuple[str, ...]
    place: str
    line: int
    gets: tuple[TakenValue, ...]
    overridden: tuple[str, ...]
    read: bool


@dataclass(frozen=True, slots=True)
class RuleState:
    """What a rule comes to on a vehicle, in the mode and motor where it comes out worst.

    `told` is the finding's sentence or what is missing; `margin` the distance to the nearer limit in
    `unit`, negative outside, None for a condition; `told_by` the rule that tells the same cause better.
    """

    rule: str
    severity: Severity
    outcome: Outcome
    modes: tuple[str, ...] = ()
    motors: tuple[str, ...] = ()
    told: str = ""
    missing: tuple[str, ...] = ()
    margin: float | None = None
    share: float | None = None
    unit: str = ""
    waived: bool = False
    told_by: str = ""


@dataclass(frozen=True, slots=True)
class RuleUse:
    """A vehicle and what the rules asked about come to on it, the worst first."""

    file: str
    name: str
    states: tuple[RuleState, ...]

    @property
    def worst(self) -> RuleState | None:
        """The state that matters most; None where no rule applies."""
        return next((one for one in self.states if one.outcome != "out_of_scope"), None)


def readers_of(names: Iterable[str], catalogue: Catalogue) -> list[str]:
    """The rules whose outcome depends on some names, be it through what is calculated from them."""
    reached = affected(frozenset(names))
    return [rule.id for rule in catalogue.rules.values() if not reached.isdisjoint(rule.reads)]


def part_use(
    profile: Profile, file: str, references: Iterable[PartReference], part: str
) -> PartUse:
    """What a profile takes from the part that is shown as `part`, by references that lead to it."""
    known = list(references)
    every = (profile, *profile.motors.values())
    taken = dict.fromkeys(
        _taken(given) for one in every for given in one.givens.values() if given.place.file == part
    )
    overridden = dict.fromkeys(
        override.quantity
        for one in every
        for override in one.overrides
        if override.part_place.file == part
    )
    return PartUse(
        file,
        profile.name,
        tuple(dict.fromkeys(one.section for one in known)),
        tuple(dict.fromkeys(way for one in known for way in one.through)),
        known[0].place.file,
        known[0].place.line,
        tuple(taken),
        tuple(overridden),
        True,
    )


def _taken(given: Given) -> TakenValue:
    entry = properties().get(given.entered_as) or properties().get(given.name)
    value = tuple(given.entered) if isinstance(given.entered, list) else given.entered
    told = value if isinstance(value, str | int | float | bool) else str(given.entered)
    return TakenValue(given.entered_as, told, entry.unit if entry is not None else "")


def rule_states(
    side: JudgedSide, catalogue: Catalogue, asked: Collection[str]
) -> tuple[RuleState, ...]:
    """What each rule asked about comes to on a vehicle, the worst first."""
    states = [
        _state(catalogue.rules[name], side, catalogue) for name in asked if name in catalogue.rules
    ]
    return tuple(sorted(states, key=worst_state_first))


def worst_state_first(state: RuleState) -> tuple[int, bool, int, float, str]:
    """Flagged before not checked before clear; the graver, then the tighter before."""
    return (
        OUTCOMES_WORST_FIRST.index(state.outcome),
        state.waived,
        SEVERITIES.index(state.severity),
        state.margin if state.share is None and state.margin is not None else state.share or 0.0,
        state.rule,
    )


def _state(rule: Rule, side: JudgedSide, catalogue: Catalogue) -> RuleState:
    judgement = side.judgement
    own = [one for one in judgement.findings if one.rule.id == rule.id]
    if own:
        return _flagged(min(own, key=_gravest_first))
    told_in = next((one for one in judgement.findings if rule.id in one.also), None)
    if told_in is not None:
        state = RuleState(rule.id, catalogue.severity(rule), "flagged", told_by=told_in.rule.id)
        return _with_margin(state, rule, side)
    waiting = next((one for one in judgement.not_checked if one.rule.id == rule.id), None)
    if waiting is not None:
        return _waiting(waiting)
    outcome: Outcome = "clear" if _applies(rule, side, catalogue) else "out_of_scope"
    return _with_margin(RuleState(rule.id, catalogue.severity(rule), outcome), rule, side)


def _gravest_first(finding: Finding) -> tuple[bool, int]:
    return finding.waived is not None, SEVERITIES.index(finding.severity)


def _flagged(finding: Finding) -> RuleState:
    return RuleState(
        finding.rule.id,
        finding.severity,
        "flagged",
        () if finding.everywhere else finding.modes,
        finding.motors,
        finding.message,
        (),
        finding.margin,
        finding.share,
        finding.unit,
        finding.waived is not None,
    )


def _waiting(entry: NotChecked) -> RuleState:
    return RuleState(
        entry.rule.id,
        entry.severity,
        "not_checked",
        entry.modes,
        told=entry.reason,
        missing=entry.missing,
    )


def _applies(rule: Rule, side: JudgedSide, catalogue: Catalogue) -> bool:
    """Whether a rule that neither flags nor waits was checked at all."""
    if rule.subject == "window":
        return True
    if rule.subject == "profile":
        return any(
            rulings[rule.id].outcome != "out_of_scope"
            for hearing in side.hearings.values()
            for rulings in hearing.rulings.values()
            if rule.id in rulings
        )
    if rule.subject == "motors":
        return _compares_motors(rule, side, catalogue)
    alone = len(side.hearings) == 1
    day, findings = side.judgement.judged_on, list(side.judgement.findings)
    papers = (
        paperwork(hearing, catalogue, day, findings, alone=alone)
        for hearing in side.hearings.values()
    )
    return any(paper.outcomes.get(rule.id, "out_of_scope") != "out_of_scope" for paper in papers)


def _compares_motors(rule: Rule, side: JudgedSide, catalogue: Catalogue) -> bool:
    """Whether a rule about how several motors go together was checked."""
    if not side.heard:
        return False
    from ..judgement.motor_differences import differences  # late: most vehicles have one motor

    papers, _ = differences(side.heard, side.judgement.profile)
    paper = of_papers({"motors": papers}, side.hearing, catalogue)
    return paper.outcomes.get(rule.id, "out_of_scope") != "out_of_scope"


class _Room(NamedTuple):
    margin: float
    share: float | None
    unit: str
    mode: str
    motor: str


def _with_margin(state: RuleState, rule: Rule, side: JudgedSide) -> RuleState:
    """A state with the tightest margin of all modes and motors."""
    rooms = [
        room
        for motor, hearing in side.hearings.items()
        for room in _rooms(rule, hearing, motor if len(side.hearings) > 1 else "")
    ]
    if not rooms:
        return state
    least = min(rooms, key=lambda room: room.share if room.share is not None else room.margin)
    return replace(
        state,
        margin=least.margin,
        share=least.share,
        unit=least.unit,
        modes=(least.mode,) if least.mode else (),
        motors=(least.motor,) if least.motor else (),
    )


def _rooms(rule: Rule, hearing: Hearing, motor: str) -> Iterator[_Room]:
    """The margin of a bound in the base settings and in each mode that moves it."""
    for mode, rulings in hearing.rulings.items():
        distance = distance_of(rulings.get(rule.id))
        if distance is None or rule.of is None:
            continue
        spoken = entered_in(rule.of, hearing.books[mode])
        told = told_distance(distance, spoken)
        share = None if told.share is None else tidy(told.share)
        yield _Room(told.room, share, spoken.unit_of_numbers, mode, motor)
