"""A finding that went away because the shop changed its own rule, severity or allowance.

Nothing on the vehicle was corrected then. The new side is judged once more as the shop judged before:
what is found so and is not found now, or is less grave now, went by the change of the rule alone; or it
came in with the same change, and the rule was changed to let it through.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from ..documents.profile import Profile
from ..judgement.finding import Finding, Judgement
from ..judgement.rule import SEVERITIES, STOPS, Rule
from ..judgement.subject_record import record_in
from ..quantities.registry import affected
from .finding_change import FindingChange, JudgedSide, worst_in_each_way
from .judged_side import judged_side
from .statement import house_statement


def as_judged_before(old: JudgedSide, new: JudgedSide) -> JudgedSide | None:
    """The new side as the shop judged before; None where it changed nothing of its rules."""
    was, now = old.judgement.profile, new.judgement.profile
    if old.judged_by is None or not _differing(was, now):
        return None
    return judged_side(_in_house_of(now, was), old.judged_by, new.judgement.judged_on)


def with_changed_rules(
    changes: tuple[FindingChange, ...],
    old: JudgedSide,
    new: JudgedSide,
    before: JudgedSide | None,
) -> tuple[FindingChange, ...]:
    """The changes, each that went by a change of the shop's rules alone with what was changed.

    `before` is the new side as the shop judged before: a danger or fault that is found there alone
    came in beside the change of the rule that lets it through, and stands among them.
    """
    if before is None:
        return changes
    was = old.judgement.profile
    differing = _differing(was, new.judgement.profile)
    told = tuple(
        replace(change, rule_changed=_causes(change.finding.rule, differing))
        if _is_less(change) and _stands(change, was, before.judgement)
        else change
        for change in changes
    )
    let_through = [
        FindingChange(
            way="resolved",
            old=finding,
            new=None,
            modes=finding.modes,
            everywhere=finding.everywhere,
            rule_changed=_causes(finding.rule, differing),
            is_let_through=True,
        )
        for finding in before.judgement.findings
        if finding.waived is None
        and finding.severity in STOPS
        and not _is_told(finding, before.judgement.profile, told, old, new)
    ]
    return tuple(sorted((*told, *let_through), key=worst_in_each_way)) if let_through else told


def _is_told(
    finding: Finding,
    profile: Profile,
    told: Iterable[FindingChange],
    old: JudgedSide,
    new: JudgedSide,
) -> bool:
    """Whether what the rules as they were find is found as grave now, or is told to be lost."""
    rule, record = finding.rule.id, _record(finding, profile)
    was, now = old.judgement.profile, new.judgement.profile
    for change in told:
        one = change.finding
        if change.new is not None and rule in change.new.also:
            return True
        side = now if change.new is not None else was
        if one.rule.id != rule or _record(one, side) != record:
            continue
        if finding.modes and change.modes and set(finding.modes).isdisjoint(change.modes):
            continue
        is_as_grave = change.new is not None and _rank(change.new) <= _rank(finding)
        if is_as_grave or change.is_unchecked or change.is_unflagged:
            return True
    return False


def _is_less(change: FindingChange) -> bool:
    """Whether a finding is gone, and not since nobody can check it, or is less grave than it was."""
    if change.old is None or change.is_unchecked:
        return False
    if change.new is None:
        return True
    return _rank(change.new) > _rank(change.old)


def _rank(finding: Finding) -> int:
    return SEVERITIES.index(finding.severity)


def _differing(old: Profile, new: Profile) -> tuple[str, ...]:
    """The allowances, severities and own rules that the two houses state otherwise."""
    was, now = _by_name(old), _by_name(new)
    return tuple(name for name in {**was, **now} if was.get(name) != now.get(name))


def _by_name(profile: Profile) -> Mapping[str, Any]:
    return {name: value for (_, name), value in house_statement(profile)}


def _in_house_of(profile: Profile, other: Profile) -> Profile:
    motors = {name: replace(one, house=other.house) for name, one in profile.motors.items()}
    return replace(profile, house=other.house, motors=motors)


def _stands(change: FindingChange, old: Profile, before: Judgement) -> bool:
    """Whether the rules as they were still find it on the new side, graver than it is told now."""
    was = change.old
    assert was is not None
    return any(
        one.rule.id == was.rule.id
        and one.waived is None
        and _record(one, before.profile) == _record(was, old)
        and (not one.modes or not set(one.modes).isdisjoint(change.modes))
        and (change.new is None or _rank(one) < _rank(change.new))
        for one in before.findings
    )


def _record(finding: Finding, profile: Profile) -> str:
    is_whole = finding.rule.subject in ("profile", "motors")
    return "" if is_whole else record_in(finding, profile)


def _causes(rule: Rule, differing: Iterable[str]) -> tuple[str, ...]:
    """What of that which differs the rule comes from or reads; all of it where that cannot be told."""
    own = (f"rules.{rule.id}", f"severities.{rule.id}")
    told = tuple(
        name
        for name in differing
        if name in own or not affected(frozenset((name,))).isdisjoint(rule.reads)
    )
    return told or tuple(differing)
