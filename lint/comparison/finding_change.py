"""Findings on both sides: introduced, worsened, resolved, or standing as they were."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from ..documents.profile import BASE
from ..judgement.evaluation import Hearing
from ..judgement.finding import Finding, Judgement
from ..judgement.rule import SEVERITIES, STOPS, Outcome
from ..judgement.subject_record import record_in
from ..quantities.number import is_number
from .gone_inputs import gone_inputs
from .margin import differ, distance_of, effective

if TYPE_CHECKING:
    from ..judgement.catalogue import Catalogue
    from ..judgement.motor_books import OfMotor

Way = Literal["introduced", "worsened", "resolved", "standing"]
WAYS: tuple[Way, ...] = ("introduced", "worsened", "resolved", "standing")

# A finding's rule and, where a rule can flag several records, which of them.
FindingKey = tuple[str, str]


@dataclass(frozen=True, slots=True)
class FindingChange:
    """One finding as it passes from the old side to the new; a side without it has None.

    `improved` marks a standing one that became less. `other_side` is what the rule says on the side
    without the finding: a rule that is no longer checked has resolved nothing, nor has one that is out of
    scope since what it reads is `missing` from the new side. `rule_changed` names what the shop changed
    of its rules where the finding went, or is less grave, by that alone. One that `is_let_through` was on no
    side: the rules as they were find it on the new one, as `old` has it.
    """

    way: Way
    old: Finding | None
    new: Finding | None
    modes: tuple[str, ...]
    everywhere: bool
    improved: bool = False
    other_side: Outcome | None = None
    missing: tuple[str, ...] = ()
    rule_changed: tuple[str, ...] = ()
    is_let_through: bool = False

    @property
    def finding(self) -> Finding:
        """The finding as it stands, or as it was last."""
        finding = self.new or self.old
        assert finding is not None
        return finding

    @property
    def is_unchecked(self) -> bool:
        """Whether the finding is gone only since its rule cannot be checked any more."""
        return self.way == "resolved" and (self.other_side == "not_checked" or bool(self.missing))

    @property
    def is_unflagged(self) -> bool:
        """Whether the finding is gone, or less grave, only since the shop changed its rules."""
        return bool(self.rule_changed)

    @property
    def is_let_off(self) -> bool:
        """Whether the shop's own rules let the finding go: one of them was changed, or is gone."""
        is_gone = bool(self.missing) and all(name.startswith("rules.") for name in self.missing)
        return self.is_unflagged or (self.is_unchecked and is_gone)

    @property
    def is_resolved(self) -> bool:
        """Whether the finding is gone since the vehicle came to be another."""
        return self.way == "resolved" and not (self.is_unchecked or self.is_unflagged)

    @property
    def is_waived_here(self) -> bool:
        """Whether a danger or fault came with its waiver, or got one, or one for more.

        One whose waiver had run out on the day was not waived any more: renewed, it is waived here.
        """
        if self.new is None or self.new.waived is None or self.new.severity not in STOPS:
            return False
        return self.old is None or self.old.waived is None or self._is_waived_for_more

    @property
    def is_waived_longer(self) -> bool:
        """Whether a danger or fault that was waived is so until a later day now."""
        return self._is_waived_still and self._until(self.new) > self._until(self.old)

    @property
    def is_waived_further(self) -> bool:
        """Whether a danger or fault that was waived is so for longer, or for more than before."""
        return self.is_waived_longer or self._is_waived_for_more

    @property
    def _is_waived_for_more(self) -> bool:
        if not self._is_waived_still:
            return False
        assert self.old is not None and self.old.waived and self.new is not None and self.new.waived
        before, now = self.old.waived.accepts, self.new.waived.accepts
        if self.old.unit != self.new.unit and now is not None:
            return True  # the number means another size, since the key is another: to be looked at
        return now != before and not _accepts_less(self.new, before, now)

    @property
    def _is_waived_still(self) -> bool:
        old, new = self.old, self.new
        was_waived = old is not None and old.waived is not None
        return was_waived and new is not None and bool(new.waived) and new.severity in STOPS

    @staticmethod
    def _until(finding: Finding | None) -> str:
        return finding.waived.until if finding is not None and finding.waived else ""

    @property
    def harms(self) -> bool:
        """Whether the change made a danger or fault new or worse, or hid one that was there.

        One that was waived before, and is still within what was accepted, does not count.
        """
        if self.is_unchecked or self.is_unflagged:
            assert self.old is not None
            return self.old.waived is None and self.old.severity in STOPS
        return (
            self.way in ("introduced", "worsened")
            and self.new is not None
            and self.new.severity in STOPS
            and (self.new.waived is None or self.is_waived_here)
        )


def _accepts_less(finding: Finding, before: float | None, now: float | None) -> bool:
    """Whether a waiver of a finding accepts less than it did; without a bound nothing is less."""
    value, low, high = finding.value, finding.low, finding.high
    if before is None or now is None or not is_number(value):
        return False
    if high is not None and value >= high:
        return now < before
    return low is not None and now > before


@dataclass(frozen=True, slots=True)
class JudgedSide:
    """One side as it was judged; each of several motors has its hearing under its name, one under "".

    `heard` holds the books of each of several motors; it is empty of one. `judged_by` is the catalogue.
    """

    hearings: Mapping[str, Hearing]
    judgement: Judgement
    heard: Mapping[str, OfMotor] = field(default_factory=dict)
    judged_by: Catalogue | None = None

    @property
    def hearing(self) -> Hearing:
        """That of the only motor, or of the first of several."""
        return next(iter(self.hearings.values()))


def finding_changes(old: JudgedSide, new: JudgedSide) -> tuple[FindingChange, ...]:
    """Every finding of either side, worst first within each way."""
    modes = [*dict.fromkeys([BASE, *new.hearing.books, *old.hearing.books])]
    was, now = _table(old, modes), _table(new, modes)
    changes: list[FindingChange] = []
    for subject in dict.fromkeys([*now, *was]):
        before, after = was.get(subject, {}), now.get(subject, {})
        changes += _passed(subject[0], modes, before, after, old, new)
    return tuple(sorted(changes, key=worst_in_each_way))


def _table(side: JudgedSide, modes: Iterable[str]) -> dict[FindingKey, dict[str, Finding]]:
    """Each finding under every mode in which it holds; a mode that is not there rides as the base."""
    table: dict[FindingKey, dict[str, Finding]] = {}
    by_rule: dict[str, list[Finding]] = {}
    for finding in side.judgement.findings:
        if finding.rule.subject != "profile":
            subject = (finding.rule.id, record_in(finding, side.judgement.profile))
            table.setdefault(subject, {}).update(dict.fromkeys(finding.modes or (BASE,), finding))
        else:
            by_rule.setdefault(finding.rule.id, []).append(finding)
    for name, findings in by_rule.items():
        base = next((finding for finding in findings if not finding.modes), None)
        by_mode = table[name, ""] = {}
        for mode in modes:
            ruling = effective(side.hearing, mode, name)
            own = next((finding for finding in findings if mode in finding.modes), base)
            if own is not None and (ruling is None or ruling.outcome == "flagged"):
                by_mode[mode] = own
    return table


def _passed(
    rule: str,
    modes: Sequence[str],
    before: Mapping[str, Finding],
    after: Mapping[str, Finding],
    old: JudgedSide,
    new: JudgedSide,
) -> list[FindingChange]:
    """One subject over all modes; modes that share both findings are one change."""
    groups: dict[tuple[Way, bool, Outcome | None, int, int], list[str]] = {}
    for mode in modes:
        was, now = before.get(mode), after.get(mode)
        if was is None and now is None:
            continue
        way, improved = _way(was, now, mode, old, new)
        missing = old if was is None else new if now is None else None
        other_side = _other_side(missing, mode, rule) if missing else None
        groups.setdefault((way, improved, other_side, id(was), id(now)), []).append(mode)
    count = len(modes)
    return [
        FindingChange(
            way=way,
            old=before.get(members[0]),
            new=after.get(members[0]),
            modes=() if BASE in members else tuple(members),
            everywhere=BASE in members and 1 < count == len(members),
            improved=improved,
            other_side=other_side,
            missing=missing_for(way, other_side, before.get(members[0]), old, new),
        )
        for (way, improved, other_side, _, _), members in groups.items()
    ]


def missing_for(
    way: Way, other_side: Outcome | None, was: Finding | None, old: JudgedSide, new: JudgedSide
) -> tuple[str, ...]:
    """What a finding that is out of scope now lacks on the new side."""
    if way != "resolved" or other_side != "out_of_scope" or was is None:
        return ()
    heard = {
        rule: ruling
        for hearing in new.hearings.values()
        for rule, ruling in hearing.rulings[BASE].items()
    }
    rules = old.judged_by.rules if old.judged_by is not None else {}
    return gone_inputs(was, old.judgement.profile, new.judgement.profile, heard, rules)


def _other_side(side: JudgedSide, mode: str, rule: str) -> Outcome:
    ruling = effective(side.hearing, mode, rule)
    return ruling.outcome if ruling is not None else "out_of_scope"


def _way(
    was: Finding | None, now: Finding | None, mode: str, old: JudgedSide, new: JudgedSide
) -> tuple[Way, bool]:
    """How a finding passed, and whether it is less than it was."""
    if was is None:
        return "introduced", False
    if now is None:
        return "resolved", False
    worse = graver_by(was, now) or less_room(was, now, mode, old.hearing, new.hearing)
    return ("worsened", False) if worse > 0 else ("standing", worse < 0)


def gravity(finding: Finding) -> int:
    """How grave a finding is, 0 the gravest; a waived one is less than any other."""
    return len(SEVERITIES) if finding.waived else SEVERITIES.index(finding.severity)


def graver_by(was: Finding, now: Finding) -> int:
    """Above nought where a finding is graver than it was, or waived no longer.

    A waiver alone makes nothing smaller.
    """
    if now.waived and not was.waived:
        return SEVERITIES.index(was.severity) - SEVERITIES.index(now.severity)
    return gravity(was) - gravity(now)


def less_room(was: Finding, now: Finding, mode: str, old: Hearing, new: Hearing) -> int:
    """1 where the value is further outside its limit than it was, -1 where it is nearer, else 0."""
    name = now.rule.id
    before = distance_of(effective(old, mode, name))
    after = distance_of(effective(new, mode, name))
    if before is not None and after is not None:
        if not differ(before, after, now.rule):
            return 0
        return 1 if after.room < before.room else -1
    if was.margin is None or now.margin is None or was.unit != now.unit:
        return 0
    return (now.margin < was.margin) - (now.margin > was.margin)


def worst_in_each_way(change: FindingChange) -> tuple[int, int, bool, str, tuple[str, ...]]:
    finding = change.finding
    return (
        WAYS.index(change.way),
        gravity(finding),
        not finding.rule.gate,
        finding.rule.id,
        change.modes,
    )
