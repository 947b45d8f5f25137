"""The ranking: entries that explain a profile's findings, alike ones as one class, with probabilities."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from ..documents.motors import entry_path
from ..documents.profile import Profile
from ..documents.schema import properties
from ..judgement.catalogue import Catalogue
from ..judgement.finding import Finding, Judgement, Verdict
from ..judgement.judge import judge
from ..judgement.rule import STOPS
from .explaining import Suspicion, suspicion
from .explanations import Explanation
from .hypotheses import Hypothesis
from .looked_up import look_ups
from .next_reading import NextReading, Predicted, are_alike, best_reading, predictions
from .past_limit import behind_settings, told_first
from .sites import Change, with_changes

MOST_SUSPECTS = 5
_COMPARED = 16  # entries among which classes are looked for
_LEAST_SHARE = 0.01  # of the first
_WORTH_A_LOOK = 0.02  # of the others
SURE = 0.5  # from which one suspect is named before all others
_SURE_BESIDE_FAULT = 0.6  # the same of an entry, where a fault of the machine explains as much
_BEFORE_THE_NEXT = 2.0  # times as likely as the next has to be what is said to be it
_LESS_LIKELY = 3.0  # natural logarithms by which another value of an entry may be less likely


@dataclass(frozen=True, slots=True)
class Suspect:
    """One entry, or a fault of the machine, that explains findings; `probability` is by our own guesses.

    `same_class` are the keys of all entries that explain the same and that no reading tells apart, its
    own first. `explains` and `leaves` name the rules of today's dangers and faults, `brings` those of
    findings that would be new. `verdict` is what the profile would get. `may_be_meant` says that it is
    the rating of a part, an ordinary one today.
    """

    hypothesis: Hypothesis
    same_class: tuple[str, ...]
    members: tuple[Hypothesis, ...]
    other_values: tuple[Any, ...]
    explains: tuple[str, ...]
    leaves: tuple[str, ...]
    brings: tuple[str, ...]
    probability: float
    verdict: Verdict
    may_be_meant: bool = False

    @property
    def first(self) -> Change | None:
        """The first entry that would change; None for a fault of the machine."""
        return self.hypothesis.changes[0] if self.hypothesis.changes else None


@dataclass(frozen=True, slots=True)
class Suspects:
    """What explains the dangers and faults of a judgement, the likeliest first, and what to do next."""

    judgement: Judgement
    suspects: tuple[Suspect, ...]
    none_of_these: float
    next: tuple[NextReading, ...]
    tried: int

    @property
    def stops(self) -> tuple[Finding, ...]:
        """The dangers and faults that nobody accepted."""
        return stopping(self.judgement)

    @property
    def stands_out(self) -> bool:
        """Whether the first is likelier than not, and far likelier than the next.

        A setting of which is only known that it is past its limit never does: so much says the finding,
        and what limits it may be wrong as well. An entry has to be likelier where a fault of the machine
        explains the same: nobody is to look at paper alone while a motor is broken.
        """
        if not self.suspects or self.suspects[0].hypothesis.at_limit:
            return False
        first, *others = self.suspects
        bar = _SURE_BESIDE_FAULT if any(_is_fault_for(first, one) for one in others) else SURE
        next_one = max((one.probability for one in others), default=0.0)
        likely = first.probability
        return (
            likely >= bar and likely > self.none_of_these and likely >= _BEFORE_THE_NEXT * next_one
        )


def _is_fault_for(entry: Suspect, other: Suspect) -> bool:
    """Whether `other` is a fault of the machine that explains all that an entry explains."""
    if entry.hypothesis.fault is not None or other.hypothesis.fault is None:
        return False
    return set(entry.explains) <= set(other.explains)


class _Class(NamedTuple):
    """Hypotheses of one entry, or of several alike: the likeliest, their weights and predictions."""

    best: Explanation
    all_of: tuple[Explanation, ...]
    told: Mapping[str, Predicted]
    profile: Profile


def stopping(judgement: Judgement) -> tuple[Finding, ...]:
    """The dangers and faults of a judgement that nobody accepted."""
    return tuple(one for one in judgement.findings if one.severity in STOPS and not one.waived)


def ranked(
    profile: Profile,
    catalogue: Catalogue,
    judged_on: str,
    judgement: Judgement,
    before: Profile | None = None,
) -> Suspects:
    """The entries of a profile that explain its dangers and faults; `before` is the previous revision."""
    found = suspicion(profile, catalogue, judged_on, judgement, before)
    if not found.explanations:
        return Suspects(judgement, (), 1.0, (), found.tried)
    classes = _classes(profile, judged_on, found)
    most = max(found.none_weight, found.explanations[0].weight)
    none = math.exp(found.none_weight - most)
    heard = [_weight(one.all_of, most) for one in classes]
    weights = behind_settings(heard, [one.all_of for one in classes])
    total = none + sum(math.exp(one.weight - most) for one in found.explanations)
    total += sum(weights) - sum(heard)
    chosen: list[tuple[_Class, Suspect]] = []
    for at in sorted(range(len(classes)), key=lambda at: -weights[at]):
        share = weights[at] / total
        if len(chosen) == MOST_SUSPECTS or share < (_WORTH_A_LOOK if chosen else _LEAST_SHARE):
            break
        suspect = _suspect(classes[at], share, catalogue, judged_on, judgement)
        if suspect.explains:  # not only what another finding tells with it
            chosen.append((classes[at], suspect))
    suspects = tuple(suspect for _, suspect in chosen)
    then = _next(profile, judged_on, chosen, none / total) if chosen else ()
    return Suspects(judgement, suspects, none / total, then, found.tried)


def _weight(all_of: Sequence[Explanation], most: float) -> float:
    return sum(math.exp(one.weight - most) for one in all_of)


def _classes(profile: Profile, judged_on: str, found: Suspicion) -> list[_Class]:
    """Hypotheses of one entry together, and entries that nothing tells apart."""
    by_entry: dict[object, list[Explanation]] = {}
    for one in found.explanations:
        fault = one.hypothesis.fault
        what = one.hypothesis.title if fault else one.hypothesis.places
        by_entry.setdefault(what, []).append(one)
    groups = sorted(by_entry.values(), key=lambda group: -group[0].weight)
    classes: list[_Class] = []
    for group in groups[:_COMPARED]:
        best = told_first(group)
        changed = with_changes(profile, (*best.hypothesis.changes, *best.hypothesis.reread))
        as_read = (
            with_changes(profile, best.hypothesis.changes) if best.hypothesis.reread else changed
        )
        told = predictions(as_read, judged_on)
        for at, known in enumerate(classes):
            if _is_same(known, best, told):
                classes[at] = known._replace(all_of=(*known.all_of, *group))
                break
        else:
            classes.append(_Class(best, tuple(group), told, changed))
    return classes


def _is_same(known: _Class, one: Explanation, told: Mapping[str, Predicted]) -> bool:
    """Whether findings and predictions are those of a class; a fault of the machine is its own.

    Nor is what may be meant, a rating or what is asked of the vehicle, told beside a slip.
    """
    if known.best.hypothesis.fault or one.hypothesis.fault:
        return False
    if known.best.may_be_meant != one.may_be_meant:
        return False
    same = known.best.heard.flags.keys() == one.heard.flags.keys()
    return same and are_alike(known.told, told)


def _suspect(
    one: _Class, share: float, catalogue: Catalogue, judged_on: str, judgement: Judgement
) -> Suspect:
    """A class judged in full, as if the likeliest of it were corrected."""
    hypothesis = one.best.hypothesis
    members: dict[str, Hypothesis] = {}
    for each in one.all_of:
        members.setdefault(hypothesis_key(each.hypothesis), each.hypothesis)
    today = [finding.rule.id for finding in stopping(judgement)]
    if hypothesis.fault is not None:
        shown = {name.partition(":")[0] for name in one.best.explains}
        left = [rule for rule in today if rule not in shown]
        brought: list[str] = []
        verdict = judgement.verdict if left else "incomplete"
    else:
        then = judge(one.profile, catalogue, judged_on)
        stops = {finding.rule.id for finding in stopping(then)}
        left = [rule for rule in today if rule in stops]
        known = {finding.rule.id for finding in judgement.findings}
        known |= {rule for finding in judgement.findings for rule in finding.also}
        new = [finding for finding in then.findings if not finding.waived]
        brought = [finding.rule.id for finding in new if finding.rule.id not in known]
        brought += [rule for rule in stops if rule not in today and rule not in brought]
        verdict = then.verdict
    return Suspect(
        hypothesis,
        tuple(dict.fromkeys(key for each in members.values() for key in all_keys(each))),
        tuple(members.values()),
        _other_values(one),
        tuple(dict.fromkeys(rule for rule in today if rule not in left)),
        tuple(dict.fromkeys(left)),
        tuple(dict.fromkeys(brought)),
        share,
        verdict,
        one.best.may_be_meant,
    )


def _other_values(one: _Class) -> tuple[Any, ...]:
    """Less likely values of the likeliest entry of a class, two at most."""
    hypothesis = one.best.hypothesis
    if not hypothesis.known or not hypothesis.changes:
        return ()
    values = [
        each.hypothesis.changes[0].entered
        for each in one.all_of
        if each.hypothesis.places == hypothesis.places
        and each.hypothesis.known
        and each.weight > one.best.weight - _LESS_LIKELY
    ]
    return tuple(value for at, value in enumerate(values) if value not in values[:at])[1:3]


def hypothesis_key(hypothesis: Hypothesis) -> str:
    """The keys of a hypothesis, or the name of its fault."""
    return " ".join(all_keys(hypothesis)) or hypothesis.slip


def all_keys(hypothesis: Hypothesis) -> tuple[str, ...]:
    """The keys of all entries that a hypothesis changes."""
    return tuple(change.site.key for change in hypothesis.changes)


def _next(
    profile: Profile, judged_on: str, chosen: Sequence[tuple[_Class, Suspect]], none: float
) -> tuple[NextReading, ...]:
    """The reading that tells the first two apart best, and the entry to look up again."""
    suspects = [suspect for _, suspect in chosen]
    weights = [*(one.probability for one in suspects), none]
    told = [*(_told(one) for one, _ in chosen), predictions(profile, judged_on)]
    known = properties()
    units = {
        name: known[entry_path(name)].unit
        for one in told
        for name in one
        if entry_path(name) in known
    }
    reading = best_reading(weights, told, units, _read(profile))
    first = () if reading is None else (reading,)
    measured = {one.measure for one in first}
    second = 1 if len(suspects) > 1 else None
    again = look_ups(profile, suspects[0].hypothesis, second)
    return (*first, *(one for one in again if one.measure not in measured))


def _told(one: _Class) -> Mapping[str, Predicted]:
    """What a class predicts; readings that a fault of the machine spoils say nothing, nor what nobody knows."""
    fault = one.best.hypothesis.fault
    if not one.best.hypothesis.known:
        return {}
    if fault is None:
        return one.told
    return {
        name: told for name, told in one.told.items() if entry_path(name) not in fault.sets_aside
    }


def _read(profile: Profile) -> frozenset[str]:
    owners = (profile, *profile.motors.values())
    return frozenset(given.entered_as for own in owners for given in own.givens.values())
