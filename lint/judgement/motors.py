"""Several motors judged: each alone, what they share by the sums, and what is alike told once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from ..documents.profile import BASE, Profile
from ..documents.schema import entered_under
from ..expressions.formatting import listed, shown
from ..expressions.names import Subject
from ..quantities.registry import rests_on, unit_of
from .alike import Alike
from .catalogue import Catalogue
from .document_rules import Paper, Paperwork, of_papers, paperwork, waiver_paper
from .finding import Finding, Judgement, NotChecked, Related
from .motor_books import (
    ADDED,
    AT_ITS_BATTERY,
    OF_CONTROLLER,
    OF_MOTOR,
    OfMotor,
    hear_motors,
    which_book,
)
from .motor_differences import differences
from .motor_display import Raw, by_one_display, held_together
from .motor_keys import keys_missing
from .motor_sums import on_the_bus
from .outcome import first_needed, of_rule, worst_first, yielded
from .rule import SEVERITIES, STOPS, Outcome, Stage
from .verdict import reached, verdicts
from .waivers import covered


def judge_motors(
    profile: Profile,
    catalogue: Catalogue,
    judged_on: str,
    strict: bool,
    stage: Stage,
    alike: Alike | None = None,
) -> Judgement:
    """The judgement of a profile of several motors; what is alike for all of them is told once."""
    heard = (hear_motors if alike is None else alike.hear_motors)(profile, catalogue, judged_on)
    return concluded_of(profile, heard, catalogue, judged_on, strict, stage)


def concluded_of(
    profile: Profile,
    heard: Mapping[str, OfMotor],
    catalogue: Catalogue,
    judged_on: str,
    strict: bool = False,
    stage: Stage = "ride",
    sweeps: bool = True,
) -> Judgement:
    """The judgement that the hearings of several motors come to.

    Settings that no value fits are looked for where it `sweeps`; they stop what is stopped already.
    """
    raw = {name: _of_motor(name, one, catalogue, judged_on) for name, one in heard.items()}
    raw = by_one_display(raw)
    papers = _papers(profile, heard, raw, catalogue, judged_on)
    outcomes: dict[str, Outcome] = dict(papers.outcomes)
    for one in raw.values():
        for rule, outcome in one.outcomes.items():
            outcomes[rule] = min(outcomes.get(rule, outcome), outcome, key=WHICH_COUNTS.index)
    findings = told_once({name: one.findings for name, one in raw.items()}, heard)
    findings = sorted([*findings, *papers.findings], key=worst_first)
    advised = any(one.advised is not None for one in findings)
    if sweeps and (advised or any(one.severity in STOPS and not one.waived for one in findings)):
        from .motor_advice import advised_on  # late: only what is wrong needs advice
        from .motor_entries import Heard

        findings = advised_on(findings, Heard(profile, heard, catalogue))
    waiting = [*merged({name: one.not_checked for name, one in raw.items()}, profile)]
    waiting = sorted([*waiting, *papers.not_checked], key=lambda one: first_needed(one, stage))
    counted = Counter(
        outcome for rule, outcome in outcomes.items() if reached(catalogue.rules[rule].stage, stage)
    )
    return Judgement(
        profile=profile,
        stages=verdicts(findings, waiting, strict),
        findings=tuple(findings),
        not_checked=tuple(waiting),
        checked=counted["clear"] + len(catalogue.about("window")),
        out_of_scope=counted["out_of_scope"],
        judged_on=judged_on,
        stage=stage,
        house_rules=catalogue.own_rules,
        held=held_together(raw, {name: one.hearing for name, one in heard.items()}),
    )


# Of the outcomes of one rule for several motors, the one that counts.
WHICH_COUNTS: tuple[Outcome, ...] = ("not_checked", "flagged", "clear", "out_of_scope")


def _of_motor(name: str, heard: OfMotor, catalogue: Catalogue, judged_on: str) -> Raw:
    hearing = heard.hearing
    findings: list[Finding] = []
    waiting: list[NotChecked] = []
    outcomes: dict[str, Outcome] = {}
    for rule in catalogue.about("profile"):
        number = which_book(rule)
        books = {mode: of_mode.books[number] for mode, of_mode in heard.books.items()}
        flagged, unchecked, scope = of_rule(rule, catalogue, hearing, books)
        findings += flagged
        waiting += unchecked
        outcomes[rule.id] = "not_checked" if unchecked else "clear" if scope else "out_of_scope"
    papers = paperwork(hearing, catalogue, judged_on, findings, alone=False)
    outcomes.update(papers.outcomes)
    every = [replace(one, motors=(name,)) for one in (*findings, *papers.findings)]
    every = covered(every, hearing.profile, catalogue, judged_on)
    return Raw(
        yielded(every, hearing),
        every,
        [*waiting, *papers.not_checked],
        outcomes,
        papers.held,
    )


def _papers(
    profile: Profile,
    heard: Mapping[str, OfMotor],
    raw: Mapping[str, Raw],
    catalogue: Catalogue,
    judged_on: str,
) -> Paperwork:
    """The rules about waivers, held against the findings of all motors, and about the motors."""
    known = [finding for one in raw.values() for finding in one.yielding]
    waivers = [waiver_paper(item, catalogue, judged_on, known) for item in profile.waivers]
    differing, lacks = differences(heard, profile)
    piles: dict[Subject, list[Paper]] = {"waiver": waivers, "motors": differing}
    papers = of_papers(piles, next(iter(heard.values())).hearing, catalogue)
    waiting = [
        replace(one, missing=tuple(_missing_of(one.missing, lacks, len(heard), profile)))
        for one in papers.not_checked
    ]
    return papers._replace(not_checked=tuple(waiting))


def _missing_of(
    names: Iterable[str],
    lacks: Mapping[str, Mapping[str, Sequence[str]]],
    motors: int,
    profile: Profile,
) -> Iterator[str]:
    """What is missing where the motors are compared: the entries behind a share that is not known."""
    for name in names:
        if name not in lacks:
            yield name
        for below, lacking in lacks.get(name, {}).items():
            yield from keys_missing(entered_under(below), lacking, len(lacking) == motors, profile)


def told_once(found: Mapping[str, list[Finding]], heard: Mapping[str, OfMotor]) -> list[Finding]:
    """What is alike for all motors once, what is a sum over them once, all else by the motor's name."""
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for name, findings in found.items():
        for one in findings:
            groups.setdefault(_likeness(one, _sums(one, heard[name])), []).append(one)
    told = [
        (_told_of(group, heard), _sums(group[0], heard[group[0].motors[0]]))
        for group in groups.values()
    ]
    sums = [one for one, summed in told if summed and one.waived is None]
    return [
        one for one, summed in told if not (summed and any(_graver(other, one) for other in sums))
    ]


def _graver(other: Finding, one: Finding) -> bool:
    """Whether one sum is told more gravely already, for a motor for which it is a greater danger."""
    same = (other.rule.id, other.modes, other.quantity) == (one.rule.id, one.modes, one.quantity)
    return same and SEVERITIES.index(other.severity) < SEVERITIES.index(one.severity)


def _likeness(one: Finding, sums: tuple[str, ...]) -> tuple[object, ...]:
    place = None if sums else one.place
    waived = None if one.waived is None else one.waived.place
    numbers = (repr(one.value), one.low, one.high, one.everywhere, place, waived)
    return one.rule.id, one.severity, one.modes, one.message, one.quantity, numbers


def _sums(one: Finding, heard: OfMotor) -> tuple[str, ...]:
    """The quantities of a finding that are sums over several motors."""
    which = which_book(one.rule)
    if one.rule.subject != "profile" or (which == OF_CONTROLLER and not heard.shares):
        return ()
    names = AT_ITS_BATTERY if which else ADDED
    below = rests_on(_judged(one)) if which == OF_MOTOR else _below(one.rule.tells)
    return tuple(name for name in names if name in below)


def _judged(one: Finding) -> str:
    return one.of or one.quantity


def _below(names: Iterable[str]) -> frozenset[str]:
    return frozenset[str]().union(*map(rests_on, names))


def _told_of(group: Sequence[Finding], heard: Mapping[str, OfMotor]) -> Finding:
    """One finding that stands for those of several motors."""
    names = tuple(name for one in group for name in one.motors)
    everybody = len(names) == len(heard)
    sums = _sums(group[0], heard[names[0]])
    if not sums:
        first = group[0]
        who = _on_one_bus("" if everybody else _named(names), group, heard)
        said = f"{who}: {first.message}" if who else first.message
        return replace(first, motors=() if everybody else names, message=said)
    parts = _parts(group[0], sums[0], heard)
    first = max(group, key=lambda one: parts.get(one.motors[0], 0.0))
    others = [one.place for one in group if one.place != first.place]
    told = ", ".join(f"{name} {shown(part, unit_of(sums[0]))}" for name, part in parts.items())
    who = f"All motors together ({told})" if len(parts) > 1 else "All motors together"
    who = _on_one_bus(who, group, heard)
    of_sum = not {sums[0]}.isdisjoint(rests_on(_judged(first)))
    remedy = f"For all motors together: {first.remedy}" if of_sum else first.remedy
    if which_book(first.rule) == OF_CONTROLLER:
        remedy += " If each motor has a controller of its own, enter it under each motor."
    return replace(
        first,
        motors=(),
        related=(*first.related, *(Related(first.quantity, place) for place in others)),
        message=f"{who}: {first.message}",
        remedy=remedy,
    )


def _on_one_bus(who: str, group: Sequence[Finding], heard: Mapping[str, OfMotor]) -> str:
    """Whom a finding is about, with the motor whose controller withstands least of what it is held to."""
    names = [name for one in group for name in one.motors]
    weakest = next((heard[name].weakest for name in names if heard[name].weakest), None)
    if weakest is None or not on_the_bus(group[0].rule):
        return who
    return f"{who or 'All motors'}, on one DC bus with the controller of motor {weakest}"


def _named(names: Sequence[str]) -> str:
    return f"Motor{'s' if len(names) > 1 else ''} {listed(names, 'and')}"


def _parts(finding: Finding, name: str, heard: Mapping[str, OfMotor]) -> dict[str, float]:
    """The addends of a sum by motor, those that are known."""
    mode = finding.modes[0] if finding.modes else BASE
    operands = {motor: one.books[mode].alone.operand(name) for motor, one in heard.items()}
    return {motor: one.number for motor, one in operands.items() if one.value is not None}


def merged(found: Mapping[str, list[NotChecked]], profile: Profile) -> list[NotChecked]:
    """What could not be checked of any motor: one line a rule, with the keys of each motor."""
    groups: dict[tuple[object, ...], dict[str, NotChecked]] = {}
    for name, waiting in found.items():
        for one in waiting:
            key = (one.rule.id, one.severity, one.modes, one.reason, one.gate)
            groups.setdefault(key, {})[name] = one
    return [_waiting_for(group, len(found), profile) for group in groups.values()]


def _waiting_for(group: Mapping[str, NotChecked], motors: int, profile: Profile) -> NotChecked:
    lacks: dict[str, list[str]] = {}
    for motor, one in group.items():
        for name in one.missing:
            lacks.setdefault(name, []).append(motor)
    missing = [
        key
        for name, lacking in lacks.items()
        for who in [_without(name, lacking, profile)]
        for key in keys_missing(name, who, len(who) == motors, profile)
    ]
    return replace(next(iter(group.values())), missing=tuple(sorted(dict.fromkeys(missing))))


def _without(name: str, lacking: Sequence[str], profile: Profile) -> Sequence[str]:
    """The motors without an entry of their own, of those that wait for it; a sum waits by each motor."""
    return [one for one in lacking if name not in profile.motors[one].givens] or lacking
