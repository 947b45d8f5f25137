"""What rules come to over base and modes: findings gathered and yielded, and what is open."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from ..documents.profile import BASE
from ..documents.schema import entered_under
from ..quantities.book import Book
from .catalogue import Catalogue
from .common_work import OpenRule
from .evaluation import Hearing, Ruling, gate_of
from .explanation import finding_of
from .finding import Finding, NotChecked
from .rule import SEVERITIES, Rule, Stage
from .verdict import reached


def first_needed(entry: NotChecked, stage: Stage) -> int:
    """What the asked stage waits for first, then what a later one does, then all else."""
    return 2 if entry.gate is None else 0 if reached(entry.gate, stage) else 1


def worst_first(finding: Finding) -> tuple[int, int, bool, int, str]:
    rank = SEVERITIES.index(finding.severity)
    place = finding.place
    return (
        finding.waived is not None,
        rank,
        finding.rule.gate is None,
        place.line,
        finding.rule.id,
    )


def of_rule(
    rule: Rule,
    catalogue: Catalogue,
    hearing: Hearing,
    books: Mapping[str, Book] | None = None,
) -> tuple[list[Finding], list[NotChecked], bool]:
    """A rule's findings and open questions over base and modes, and whether it applied at all.

    `books` are those that the rule was judged by, where they are not the hearing's own.
    """
    base = hearing.rulings[BASE][rule.id]
    if base.outcome in ("clear", "out_of_scope") and len(books or hearing.books) == 1:
        return [], [], base.outcome == "clear"
    common = hearing.common if books is None else None
    rulings = tuple([decided.get(rule.id) for decided in hearing.rulings.values()])
    known = common and common.open_rule(rule.id, rulings)
    if known:
        return [], list(known.unchecked), known.scope
    findings: list[Finding] = []
    unjudged: list[NotChecked] = []
    scope = base.outcome in ("clear", "flagged")
    for mode, book in (hearing.books if books is None else books).items():
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
            told = finding_of(decided, severity, modes, book, hearing.profile, common)
            findings.append(told)
        if decided.outcome == "not_checked" or decided.rungs:
            unjudged += not_checked(decided, catalogue, modes, book)
    unjudged = _merged(unjudged)
    if common is not None and not findings:
        common.keep_open(rule.id, OpenRule(rulings, tuple(unjudged), scope))
    return _gathered(findings, rule, hearing), unjudged, scope


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
