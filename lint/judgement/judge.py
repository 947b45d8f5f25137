"""The judge: every rule held against a profile's base settings and each of its modes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from ..documents.profile import BASE, Profile
from ..documents.schema import entered_under
from ..quantities.book import Book
from .catalogue import Catalogue
from .document_rules import paperwork
from .evaluation import Hearing, Ruling, gate_of, hear
from .explanation import finding_of
from .finding import Finding, Judgement, NotChecked
from .rule import SEVERITIES, STOPS, Outcome, Rule, Stage
from .verdict import reached, verdicts
from .waivers import covered


def judge(
    profile: Profile,
    catalogue: Catalogue,
    judged_on: str,
    strict: bool = False,
    stage: Stage = "ride",
) -> Judgement:
    """The judgement of a profile on a day, for a stage; with `strict` advice is NO-GO too.

    `judged_on` is a date as text, `2026-11-25`.
    """
    return concluded(hear(profile, catalogue, judged_on), catalogue, judged_on, strict, stage)


def concluded(
    hearing: Hearing,
    catalogue: Catalogue,
    judged_on: str,
    strict: bool = False,
    stage: Stage = "ride",
    sweeps: bool = True,
) -> Judgement:
    """The judgement that a hearing comes to, records and waivers included.

    Settings that no value fits are looked for where it `sweeps`; they stop what is stopped already.
    """
    findings: list[Finding] = []
    open_rules: list[NotChecked] = []
    outcomes: dict[str, Outcome] = {}
    for rule in catalogue.about("profile"):
        flagged, unchecked, scope = _of_rule(rule, catalogue, hearing)
        findings.extend(flagged)
        open_rules.extend(unchecked)
        outcomes[rule.id] = "not_checked" if unchecked else "clear" if scope else "out_of_scope"
    papers = paperwork(hearing, catalogue, judged_on, findings)
    open_rules.extend(papers.not_checked)
    outcomes.update(papers.outcomes)
    findings = covered([*findings, *papers.findings], hearing.profile, catalogue, judged_on)
    findings += _without_window(findings, hearing, catalogue) if sweeps else []
    findings = sorted(yielded(findings, hearing), key=_worst_first)
    if sweeps and any(finding.advised is not None for finding in findings):
        from .advice import that_stands  # late: only what is wrong needs advice

        findings = [that_stands(finding, hearing, catalogue) for finding in findings]
    open_rules.sort(key=lambda entry: _first_needed(entry, stage))
    told = Counter(
        outcome for name, outcome in outcomes.items() if reached(catalogue.rules[name].stage, stage)
    )
    return Judgement(
        profile=hearing.profile,
        stages=verdicts(findings, open_rules, strict),
        findings=tuple(findings),
        not_checked=tuple(open_rules),
        checked=told["clear"] + len(catalogue.about("window")),
        out_of_scope=told["out_of_scope"],
        judged_on=judged_on,
        stage=stage,
        house_rules=catalogue.own_rules,
    )


def _first_needed(entry: NotChecked, stage: Stage) -> int:
    """What the asked stage waits for first, then what a later one does, then all else."""
    return 2 if entry.gate is None else 0 if reached(entry.gate, stage) else 1


def _without_window(
    findings: list[Finding], hearing: Hearing, catalogue: Catalogue
) -> list[Finding]:
    """A finding for each setting that no value fits; only a danger or fault makes one look."""
    if not any(finding.severity in STOPS and not finding.waived for finding in findings):
        return []
    from .conflicts import without_window  # late: all that windows need takes long to load

    return without_window(findings, hearing, catalogue)


def _worst_first(finding: Finding) -> tuple[int, int, bool, int, str]:
    rank = SEVERITIES.index(finding.severity)
    place = finding.place
    return (
        finding.waived is not None,
        rank,
        finding.rule.gate is None,
        place.line,
        finding.rule.id,
    )


def _of_rule(
    rule: Rule, catalogue: Catalogue, hearing: Hearing
) -> tuple[list[Finding], list[NotChecked], bool]:
    """A rule's findings and open questions over base and modes, and whether it applied at all."""
    base = hearing.rulings[BASE][rule.id]
    findings: list[Finding] = []
    unjudged: list[NotChecked] = []
    scope = base.outcome in ("clear", "flagged")
    for mode, book in hearing.books.items():
        decided = hearing.rulings[mode].get(rule.id)
        if decided is None:
            continue
        if decided.outcome == "clear":
            scope = True
            continue
        scope = scope or decided.outcome == "flagged"
        modes = (mode,) if mode else ()
        if decided.outcome == "flagged":
            severity = catalogue.at_least(rule, decided.severity)
            findings.append(finding_of(decided, severity, modes, book, hearing.profile))
        if decided.outcome == "not_checked" or decided.rungs:
            unjudged += not_checked(decided, catalogue, modes, book)
    return _gathered(findings, rule, hearing), _merged(unjudged), scope


def not_checked(
    decided: Ruling, catalogue: Catalogue, modes: tuple[str, ...], book: Book
) -> list[NotChecked]:
    """What is open about a ruling: all of it, or how grave its finding is."""
    rule = decided.rule
    if decided.outcome == "not_checked":
        open_parts = [(rule.severity, decided.missing, decided.reason)]
    else:
        open_parts = [(rung.step.severity, rung.missing, "") for rung in decided.undecided]
    return [
        NotChecked(
            rule,
            catalogue.at_least(rule, severity),
            modes,
            tuple(sorted(map(entered_under, missing))),
            reason,
            gate_of(rule, book),
        )
        for severity, missing, reason in open_parts
    ]


def _merged(unjudged: list[NotChecked]) -> list[NotChecked]:
    """What is missing alike in several modes is told once; in the base, for all of them."""
    if len(unjudged) < 2:
        return unjudged
    merged: dict[tuple[object, ...], NotChecked] = {}
    for entry in unjudged:
        key = (entry.severity, entry.missing)
        known = merged.get(key)
        if known is None:
            merged[key] = entry
            continue
        gate = known.gate if known.gate is not None else entry.gate
        modes = (*known.modes, *entry.modes) if known.modes else ()
        merged[key] = replace(known, modes=modes, gate=gate)
    return list(merged.values())


def _gathered(findings: list[Finding], rule: Rule, hearing: Hearing) -> list[Finding]:
    """The same finding in several modes is one finding; in base and every mode, `everywhere`."""
    if not findings:
        return findings
    modes = [mode for mode in hearing.books if mode]
    groups: dict[tuple[object, ...], list[Finding]] = {}
    for finding in findings:
        grave = (finding.severity, finding.waivable)
        key = (finding.place, repr(finding.value), finding.low, finding.high, grave)
        groups.setdefault(key, []).append(finding)
    merged: list[Finding] = []
    for group in groups.values():
        first = group[0]
        named = tuple(mode for finding in group for mode in finding.modes)
        if first.modes:
            merged.append(replace(first, modes=named))
            continue
        untouched = [mode for mode in modes if rule.id not in hearing.rulings[mode]]
        same = len(named) + len(untouched) == len(modes)
        merged.append(replace(first, everywhere=bool(modes) and same))
    return merged


def yielded(findings: Sequence[Finding], hearing: Hearing) -> list[Finding]:
    """One cause, one finding: those that no other one stands for, which names the rest in `also`.

    Only one that is not waived and as grave stands for another, so that nothing hides behind less.
    """
    if not any(finding.rule.yields_to for finding in findings):
        return list(findings)
    modes = {id(finding): _modes(finding, hearing) for finding in findings}
    kept: list[Finding] = []
    also: dict[int, list[str]] = {}
    for finding in findings:
        better = [one for one in findings if _stands_for(one, finding)]
        left = modes[id(finding)] - frozenset().union(*(modes[id(one)] for one in better))
        if left == modes[id(finding)] or (left and not finding.modes):
            kept.append(finding)
            continue
        for one in better:
            also.setdefault(id(one), []).append(finding.rule.id)
        if left:
            kept.append(replace(finding, modes=tuple(m for m in finding.modes if m in left)))
    return [_with_also(finding, also, findings) for finding in kept]


def _modes(finding: Finding, hearing: Hearing) -> frozenset[str]:
    """Every mode in which a finding holds: of the base, those too that take it over."""
    if finding.modes:
        return frozenset(finding.modes)
    if finding.everywhere:
        return frozenset(hearing.books)
    taken_over = (
        mode for mode in hearing.books if mode and finding.rule.id not in hearing.rulings[mode]
    )
    return frozenset((BASE, *taken_over))


def _stands_for(better: Finding, finding: Finding) -> bool:
    return (
        better.rule.id in finding.rule.yields_to
        and better.waived is None
        and SEVERITIES.index(better.severity) <= SEVERITIES.index(finding.severity)
    )


def _with_also(
    finding: Finding, also: Mapping[int, list[str]], findings: Sequence[Finding]
) -> Finding:
    """The finding with the rules that yielded to it, and those that yielded to these."""
    names: dict[str, None] = {}
    waiting = list(also.get(id(finding), ()))
    while waiting:
        name = waiting.pop(0)
        if name in names:
            continue
        names[name] = None
        for one in findings:
            if one.rule.id == name:
                waiting += also.get(id(one), ())
    return replace(finding, also=tuple(sorted(names))) if names else finding
