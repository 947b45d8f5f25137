"""A finding that went away because the shop changed its own rule, severity or allowance.

Nothing on the vehicle was corrected then. The new side is judged once more as the shop judged before:
what is found so and is not found now, or is less grave now, went by the change of the rule alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from ..documents.profile import Profile
from ..judgement.finding import Finding, Judgement
from ..judgement.judge import judge
from ..judgement.rule import SEVERITIES, Rule
from ..judgement.subject_record import record_in
from ..quantities.registry import affected
from .finding_change import FindingChange, JudgedSide
from .statement import house_statement


def with_changed_rules(
    changes: tuple[FindingChange, ...], old: JudgedSide, new: JudgedSide
) -> tuple[FindingChange, ...]:
    """The changes, each that went by a change of the shop's rules alone with what was changed."""
    asked = [change for change in changes if _is_less(change)]
    was, now = old.judgement.profile, new.judgement.profile
    differing = _differing(was, now) if asked else ()
    if not differing or old.judged_by is None:
        return changes
    before = judge(_in_house_of(now, was), old.judged_by, new.judgement.judged_on)
    return tuple(
        replace(change, rule_changed=_causes(change.finding.rule, differing))
        if _is_less(change) and _stands(change, was, before)
        else change
        for change in changes
    )


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
