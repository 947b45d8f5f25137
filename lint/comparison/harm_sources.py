"""Which of several changes harms a vehicle: the new side is judged again without each of them.

A change of a file that forty vehicles read stands beside what each of them changed itself. Where a danger
goes, or a check comes back, with the file as it was, the file brought it; where it stays, it did not.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from ..documents.given import Given
from ..documents.profile import Profile
from ..judgement.catalogue import Catalogue
from ..judgement.finding import Finding, Judgement
from ..judgement.judge import judge
from ..judgement.rule import SEVERITIES
from ..judgement.subject_record import record_in
from ..quantities.number import noise
from .change import ValueChange
from .comparison import Comparison
from .finding_change import FindingChange
from .statement import HOUSE_KEYS

OWN_RULES = "rules."  # begins the name of a change of a rule of the shop
JUDGED_OTHERWISE = ("rules", "severities")  # what of a house file makes another catalogue


class Harm(NamedTuple):
    """What the changes of one file bring to a vehicle: harm, or a required rule no longer checked."""

    harms: bool = False
    hides: bool = False


class JudgedBy(NamedTuple):
    """The catalogues of both sides."""

    old: Catalogue
    new: Catalogue


def harm_by_source(
    comparison: Comparison, sources: Mapping[str, Sequence[ValueChange]], judged_by: JudgedBy
) -> dict[str, Harm]:
    """What each of some files brought, by its name; only those that brought something.

    Where no single one did, all of them together may have.
    """
    if not sources or not (comparison.harms_by_finding or comparison.hides):
        return {}
    every = [change for changes in sources.values() for change in changes]
    if len(sources) == 1 and len(every) == len(comparison.made):
        return dict.fromkeys(sources, Harm(comparison.harms_by_finding, comparison.hides))
    own = frozenset(change.quantity for change in every if change.quantity.startswith(OWN_RULES))
    found = {name: _brought(comparison, some, judged_by, own) for name, some in sources.items()}
    if len(sources) > 1 and not all(map(any, zip(*found.values(), strict=True))):
        together = _brought(comparison, every, judged_by, own)
        harms, hides = (any(ways) for ways in zip(*found.values(), strict=True))
        found = {
            name: Harm(
                harm.harms or (together.harms and not harms),
                harm.hides or (together.hides and not hides),
            )
            for name, harm in found.items()
        }
    return {name: harm for name, harm in found.items() if any(harm)}


def _brought(
    comparison: Comparison,
    changes: Sequence[ValueChange],
    judged_by: JudgedBy,
    own: frozenset[str],
) -> Harm:
    """What is not there without some changes; `own` names all rules of the shop that changed."""
    assert comparison.new is not None
    without = _judged_without(comparison, changes, judged_by)
    gates = {entry.rule.id for entry in without.not_checked if entry.gate}
    now = comparison.new.profile
    names = {change.quantity for change in changes}
    return Harm(
        any(
            change.harms
            and _is_concerned(change.finding.rule.id, names, own, without)
            and _is_brought(change, now, without)
            for change in comparison.finding_changes
        ),
        any(
            entry.gate
            and entry.rule.id not in gates
            and _is_concerned(entry.rule.id, names, own, without)
            for entry in comparison.waiting.introduced
        ),
    )


def _is_concerned(rule: str, names: set[str], own: frozenset[str], without: Judgement) -> bool:
    """Whether some changes may be to blame for what a rule says: the shop's own rules are put back together.

    One that changed itself is to blame for what it says, and for what it told in its own finding before.
    """
    if f"{OWN_RULES}{rule}" in own:
        return not names.isdisjoint((f"{OWN_RULES}{rule}", f"severities.{rule}"))
    told = (one for one in without.findings if f"{OWN_RULES}{one.rule.id}" in names)
    return not names <= own or any(rule in one.also for one in told)


def _is_brought(change: FindingChange, now: Profile, without: Judgement) -> bool:
    """Whether a finding would not be, or would still be seen, without the changes."""
    if change.new is None or change.is_unflagged:
        assert change.old is not None
        grave = [one for one in without.findings if one.rule.id == change.old.rule.id]
        return any(_rank(one) <= _rank(change.old) for one in grave)
    return not any(_is_as_bad(one, change.new, now, without.profile) for one in without.findings)


def _is_as_bad(one: Finding, new: Finding, now: Profile, without: Profile) -> bool:
    if new.rule.id in one.also:
        return True
    if one.rule.id != new.rule.id or _record(one, without) != _record(new, now):
        return False
    if _rank(one) > _rank(new) or (one.motors and not set(new.motors) <= set(one.motors)):
        return False
    if one.margin is None or new.margin is None:
        return True
    return one.margin <= new.margin + noise(one.margin, new.margin)


def _rank(finding: Finding) -> int:
    return SEVERITIES.index(finding.severity)


def _record(finding: Finding, profile: Profile) -> str:
    return "" if finding.rule.subject in ("profile", "motors") else record_in(finding, profile)


def _judged_without(
    comparison: Comparison, changes: Sequence[ValueChange], judged_by: JudgedBy
) -> Judgement:
    assert comparison.old is not None and comparison.new is not None
    was, now = comparison.old.profile, comparison.new.profile
    heads = {change.quantity.split(".")[0] for change in changes}
    names = {change.quantity for change in changes}
    profile = _with_values(now, was, names)
    if not heads.isdisjoint(("house", *HOUSE_KEYS)):
        motors = {name: replace(one, house=was.house) for name, one in profile.motors.items()}
        profile = replace(profile, house=was.house, motors=motors)
    catalogue = judged_by.new if heads.isdisjoint(JUDGED_OTHERWISE) else judged_by.old
    return judge(profile, catalogue, comparison.new.judged_on)


def _with_values(now: Profile, was: Profile, names: Iterable[str]) -> Profile:
    """The new side, some of its entries as they were."""
    every = set(names)
    motors = {
        name: _with_values(one, was.motors[name], every) if name in was.motors else one
        for name, one in now.motors.items()
    }
    givens: dict[str, Given] = {
        name: given for name, given in now.givens.items() if name not in every
    }
    givens.update((name, given) for name, given in was.givens.items() if name in every)
    absent = type(now.absent)(
        [
            *(name for name in now.absent if name not in every),
            *(name for name in was.absent if name in every),
        ]
    )
    return replace(now, givens=givens, absent=absent, motors=motors)
