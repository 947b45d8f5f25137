"""Findings on both sides where one has several motors: each as it is told, held motor against motor."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from ..documents.profile import BASE
from ..judgement.finding import Finding, NotChecked
from ..judgement.motor_books import ROAD_SPEED
from ..judgement.rule import Outcome
from ..judgement.subject_record import record_in
from ..quantities.operand import NO_LESS
from .finding_change import (
    FindingChange,
    FindingKey,
    JudgedSide,
    Way,
    graver_by,
    gravity,
    less_room,
    missing_for,
    worst_in_each_way,
)
from .margin import effective
from .motor_changes import Pairs

# Of the outcomes of a rule for several motors on a side without the finding, the one that is said.
SAID_FIRST: tuple[Outcome, ...] = ("not_checked", "clear", "flagged", "out_of_scope")
ByMotor = Mapping[str, Finding]


class Passed(NamedTuple):
    """How one told finding passed in one mode."""

    way: Way
    improved: bool
    other_side: Outcome | None
    old: Finding | None
    new: Finding | None


def motor_findings(old: JudgedSide, new: JudgedSide, pairs: Pairs) -> tuple[FindingChange, ...]:
    """Every finding of either side once, worst first within each way.

    One that has come to hold for another motor is worse; for one motor fewer, it is improved.
    """
    modes = list(dict.fromkeys([BASE, *new.judgement.profile.modes, *old.judgement.profile.modes]))
    was, now = _table(old, modes), _table(new, modes)
    sides = Sides(old, new, pairs)
    told: list[FindingChange] = []
    for subject in dict.fromkeys([*now, *was]):
        groups: dict[tuple[object, ...], list[tuple[str, Passed]]] = {}
        for mode in modes:
            before = was.get(subject, {}).get(mode, {})
            after = now.get(subject, {}).get(mode, {})
            for one in sides.passed(mode, before, after):
                key = (one.way, one.improved, one.other_side, id(one.old), id(one.new))
                groups.setdefault(key, []).append((mode, one))
        told += [_change(group, len(modes), sides) for group in groups.values()]
    return tuple(sorted(told, key=worst_in_each_way))


def _change(group: Sequence[tuple[str, Passed]], count: int, sides: Sides) -> FindingChange:
    members = [mode for mode, _ in group]
    way, improved, other_side, old, new = group[0][1]
    return FindingChange(
        way=way,
        old=old,
        new=new,
        modes=() if BASE in members else tuple(members),
        everywhere=BASE in members and 1 < count == len(members),
        improved=improved,
        other_side=other_side,
        missing=missing_for(way, other_side, old, sides.old, sides.new),
    )


def _table(
    side: JudgedSide, modes: Iterable[str]
) -> dict[FindingKey, dict[str, dict[str, Finding]]]:
    """Each finding under every mode and motor in which it holds; a missing mode rides as the base."""
    by_subject: dict[FindingKey, list[Finding]] = {}
    for one in side.judgement.findings:
        kind = one.rule.subject
        record = "" if kind in ("profile", "motors") else record_in(one, side.judgement.profile)
        by_subject.setdefault((one.rule.id, record), []).append(one)
    table: dict[FindingKey, dict[str, dict[str, Finding]]] = {}
    for subject, findings in by_subject.items():
        for mode in modes:
            for motor in side.hearings:
                held = _holding(side, subject[0], mode, motor, findings)
                if held is not None:
                    table.setdefault(subject, {}).setdefault(mode, {})[motor] = held
    return table


def _holding(
    side: JudgedSide, rule: str, mode: str, motor: str, findings: Iterable[Finding]
) -> Finding | None:
    """The finding of a rule that holds for a motor in a mode."""
    about = [one for one in findings if not one.motors or motor in one.motors]
    base = next((one for one in about if not one.modes), None)
    own = next((one for one in about if mode in one.modes), None)
    if base is not None and base.rule.subject != "profile":
        return own or (base if mode == BASE else None)
    ruling = effective(side.hearings[motor], mode, rule)
    return own or (base if ruling is None or ruling.outcome == "flagged" else None)


class Sides(NamedTuple):
    """Two sides, and which motor of the new one is which of the old."""

    old: JudgedSide
    new: JudgedSide
    pairs: Pairs

    def passed(self, mode: str, was: ByMotor, now: ByMotor) -> Iterator[Passed]:
        """Each finding of a rule in a mode once: as it stands, or as it was last."""
        met: set[int] = set()
        for finding in _each(now):
            before = self._before(finding, was, now)
            met.update(id(one) for one in before.values() if one is not None)
            yield self._stands(mode, finding, before, now)
        back = {other: name for name, other in self.pairs.items()}
        for finding in _each(was):
            if id(finding) not in met:
                about = [back[name] for name, one in was.items() if one is finding and name in back]
                outcome = _outcome(self.new, mode, finding, about)
                yield Passed("resolved", False, outcome, finding, None)

    def _before(self, finding: Finding, was: ByMotor, now: ByMotor) -> dict[str, Finding | None]:
        """What each motor that a finding is about had of it; None for one that had nothing."""
        about = [name for name, one in now.items() if one is finding]
        alike = next((one for one in was.values() if not one.motors), None)
        if alike is not None and not finding.motors:  # about the vehicle on both sides
            return dict.fromkeys(about, alike)
        return {name: was.get(self.pairs[name]) if name in self.pairs else None for name in about}

    def _stands(
        self,
        mode: str,
        finding: Finding,
        before: Mapping[str, Finding | None],
        now: ByMotor,
    ) -> Passed:
        known = {name: one for name, one in before.items() if one is not None}
        if not known:
            about = [self.pairs[name] for name in before if name in self.pairs]
            outcome = _outcome(self.old, mode, finding, about)
            return Passed("introduced", False, outcome, None, finding)
        worse = [self._worse(mode, name, one, finding) for name, one in known.items()]
        least = min(known.values(), key=gravity)
        if len(known) < len(before) or max(worse) > 0:
            grown = list(known.values())[worse.index(max(worse))]
            return Passed("worsened", False, None, grown, finding)
        left = set(self.pairs.values()) - {self.pairs.get(name) for name in now}
        every = self.old.hearings if finding.motors else ()  # about the vehicle it is on both sides
        fewer = any(left.intersection(one.motors or every) for one in known.values())
        return Passed("standing", min(worse) < 0 or fewer, None, least, finding)

    def _worse(self, mode: str, name: str, was: Finding, now: Finding) -> int:
        """Above nought where a motor's finding is graver or further out than it was."""
        graver = graver_by(was, now)
        if graver or name not in self.pairs:
            return graver
        before, after = self.old.hearings[self.pairs[name]], self.new.hearings[name]
        return less_room(was, now, mode, before, after)


def _each(findings: ByMotor) -> list[Finding]:
    return list({id(one): one for one in findings.values()}.values())


def _outcome(
    side: JudgedSide, mode: str, finding: Finding, motors: Sequence[str]
) -> Outcome | None:
    """What a finding's rule says of motors on a side without it; None where they are not there."""
    if finding.rule.subject == "motors":
        return _of_speeds(side)
    heard = [side.hearings[name] for name in motors]
    if not heard and not finding.motors:
        heard = list(side.hearings.values())
    rulings = [effective(hearing, mode, finding.rule.id) for hearing in heard]
    outcomes = {"out_of_scope" if one is None else one.outcome for one in rulings}
    return next((outcome for outcome in SAID_FIRST if outcome in outcomes), None)


def _of_speeds(side: JudgedSide) -> Outcome:
    """What a rule about how several motors go together says of a side without its finding."""
    if not side.judgement.profile.motors:
        return "out_of_scope"
    speed = side.hearing.books[BASE].operand(ROAD_SPEED)
    return "not_checked" if speed.value is None or speed.side == NO_LESS else "clear"


def unchecked_now(old: JudgedSide, new: JudgedSide, pairs: Pairs) -> tuple[NotChecked, ...]:
    """What is no longer checked, or no longer of one of the motors that both sides have."""
    known = {entry.rule.id for entry in old.judgement.not_checked}
    return tuple(
        entry
        for entry in new.judgement.not_checked
        if entry.rule.id not in known or _lost(entry.rule.id, old, new, pairs)
    )


def _lost(rule: str, old: JudgedSide, new: JudgedSide, pairs: Pairs) -> bool:
    """Whether a rule was checked of a motor and is not any more."""
    return any(
        _unchecked(new, name, rule) and not _unchecked(old, other, rule)
        for name, other in pairs.items()
    )


def _unchecked(side: JudgedSide, motor: str, rule: str) -> bool:
    rulings = side.hearings[motor].rulings.values()
    return any(
        ruling.outcome == "not_checked" or bool(ruling.undecided)
        for ruling in (of_mode[rule] for of_mode in rulings if rule in of_mode)
    )
