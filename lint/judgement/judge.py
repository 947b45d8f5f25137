"""The judge: every rule held against a profile's base settings and each of its modes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from ..documents.profile import BASE, Profile
from ..quantities.book import Book
from .catalogue import Catalogue
from .conflicts import without_window
from .document_rules import covered, paperwork
from .evaluation import Hearing, Ruling, gate_of, hear
from .explanation import finding_of
from .finding import Finding, Judgement, NotJudged, Verdict
from .rule import SEVERITIES, STOPS, Rule


def judge(
    profile: Profile, catalogue: Catalogue, judged_on: str, strict: bool = False
) -> Judgement:
    """The judgement of a profile on a day; with `strict` a advice is NO-GO too.

    `judged_on` is a date as text, `2026-11-25`.
    """
    return concluded(hear(profile, catalogue, judged_on), catalogue, judged_on, strict)


def concluded(hearing: Hearing, catalogue: Catalogue, judged_on: str, strict: bool) -> Judgement:
    """The judgement that a hearing comes to, papers, waivers and empty windows included."""
    findings: list[Finding] = []
    open_rules: list[NotJudged] = []
    judged = out_of_scope = 0
    for rule in catalogue.about("profile"):
        flagged, unjudged, scope = _of_rule(rule, catalogue, hearing)
        findings.extend(flagged)
        open_rules.extend(unjudged)
        judged += scope and not unjudged
        out_of_scope += not scope and not unjudged
    papers = paperwork(
        hearing.profile,
        hearing.books[BASE],
        catalogue,
        hearing.rulings[BASE].values(),
        judged_on,
    )
    open_rules.extend(papers.not_checked)
    findings = covered([*findings, *papers.findings], hearing.profile, catalogue, judged_on)
    findings += without_window(findings, hearing, catalogue)
    findings.sort(key=_worst_first)
    return Judgement(
        profile=hearing.profile,
        verdict=verdict(findings, open_rules, strict),
        findings=tuple(findings),
        not_checked=tuple(sorted(open_rules, key=lambda item: item.gate is None)),
        judged=judged + papers.judged + len(catalogue.about("window")),
        out_of_scope=out_of_scope + papers.out_of_scope,
        judged_on=judged_on,
    )


def verdict(
    findings: Iterable[Finding], open_rules: Iterable[NotJudged], strict: bool = False
) -> Verdict:
    """NO-GO for a danger or fault not waived; INCOMPLETE while a gate is not judged; else GO."""
    standing = [finding for finding in findings if not finding.waived]
    if any(strict or finding.severity in STOPS for finding in standing):
        return "no-go"
    return "incomplete" if any(item.gate for item in open_rules) else "go"


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
) -> tuple[list[Finding], list[NotJudged], bool]:
    """A rule's findings and open questions over base and modes, and whether it applied at all."""
    base = hearing.rulings[BASE][rule.id]
    findings: list[Finding] = []
    unjudged: list[NotJudged] = []
    scope = base.outcome in ("clear", "flagged")
    for mode, book in hearing.books.items():
        decided = hearing.rulings[mode].get(rule.id)
        if decided is None:
            continue
        scope = scope or decided.outcome in ("clear", "flagged")
        modes = (mode,) if mode else ()
        if decided.outcome == "flagged":
            severity = catalogue.at_least(rule, decided.severity)
            findings.append(finding_of(decided, severity, modes, book, hearing.profile))
        unjudged += not_judged(decided, catalogue, modes, book)
    return _gathered(findings, rule, hearing), _merged(unjudged), scope


def not_judged(
    decided: Ruling, catalogue: Catalogue, modes: tuple[str, ...], book: Book
) -> list[NotJudged]:
    """What is open about a ruling: all of it, or how grave its finding is."""
    rule = decided.rule
    if decided.outcome == "not_checked":
        open_parts = [(rule.severity, decided.missing, decided.reason)]
    else:
        open_parts = [(rung.step.severity, rung.missing, "") for rung in decided.undecided]
    return [
        NotJudged(
            rule,
            catalogue.at_least(rule, severity),
            modes,
            tuple(sorted(missing)),
            reason,
            gate_of(rule, book),
        )
        for severity, missing, reason in open_parts
    ]


def _merged(unjudged: list[NotJudged]) -> list[NotJudged]:
    """What is missing alike in several modes is told once; in the base, for all of them."""
    merged: dict[tuple[object, ...], NotJudged] = {}
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
        key = (finding.place, repr(finding.value), finding.low, finding.high)
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
