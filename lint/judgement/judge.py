"""The judge: every rule held against a profile's base settings and each of its modes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from ..documents.profile import BASE, Profile
from .catalogue import Catalogue
from .document_rules import covered, paperwork
from .evaluation import Hearing, hear
from .explanation import finding_of
from .finding import Finding, Judgement, NotChecked, Verdict
from .rule import SEVERITIES, STOPS, Rule, Severity


def judge(
    profile: Profile, catalogue: Catalogue, judged_on: str, strict: bool = False
) -> Judgement:
    """The judgement of a profile on a day; with `strict` advice is NO-GO too.

    `judged_on` is a date as text, `2026-11-25`.
    """
    return concluded(hear(profile, catalogue, judged_on), catalogue, judged_on, strict)


def concluded(hearing: Hearing, catalogue: Catalogue, judged_on: str, strict: bool) -> Judgement:
    """The judgement that a hearing comes to, records, waivers and empty windows included."""
    findings: list[Finding] = []
    open_rules: list[NotChecked] = []
    checked = out_of_scope = 0
    for rule in catalogue.about("profile"):
        severity = catalogue.severity(rule)
        flagged, unjudged, scope = _of_rule(rule, severity, hearing)
        findings.extend(flagged)
        open_rules.extend(unjudged)
        checked += scope and not unjudged
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
    findings += _without_window(findings, hearing, catalogue)
    findings.sort(key=_worst_first)
    return Judgement(
        profile=hearing.profile,
        verdict=verdict(findings, open_rules, strict),
        findings=tuple(findings),
        not_checked=tuple(sorted(open_rules, key=lambda item: not item.rule.gate)),
        checked=checked + papers.checked + len(catalogue.about("window")),
        out_of_scope=out_of_scope + papers.out_of_scope,
        judged_on=judged_on,
    )


def _without_window(
    findings: list[Finding], hearing: Hearing, catalogue: Catalogue
) -> list[Finding]:
    """A finding for each setting that no value fits; only a danger or fault makes one look."""
    if not any(finding.severity in STOPS and not finding.waived for finding in findings):
        return []
    from .conflicts import without_window  # late: all that windows need takes long to load

    return without_window(findings, hearing, catalogue)


def verdict(
    findings: Iterable[Finding], open_rules: Iterable[NotChecked], strict: bool = False
) -> Verdict:
    """NO-GO for a danger or fault not waived; INCOMPLETE while a required rule is not checked; else GO."""
    standing = [finding for finding in findings if not finding.waived]
    if any(strict or finding.severity in STOPS for finding in standing):
        return "no-go"
    return "incomplete" if any(item.rule.gate for item in open_rules) else "go"


def _worst_first(finding: Finding) -> tuple[int, int, bool, int, str]:
    rank = SEVERITIES.index(finding.severity)
    place = finding.place
    return (finding.waived is not None, rank, not finding.rule.gate, place.line, finding.rule.id)


def _of_rule(
    rule: Rule, severity: Severity, hearing: Hearing
) -> tuple[list[Finding], list[NotChecked], bool]:
    """A rule's findings and open questions over base and modes, and whether it applied at all."""
    base = hearing.rulings[BASE][rule.id]
    findings: list[Finding] = []
    unjudged: dict[tuple[str, ...], NotChecked] = {}
    scope = base.outcome in ("clear", "flagged")
    for mode, book in hearing.books.items():
        decided = hearing.rulings[mode].get(rule.id)
        if decided is None:
            continue
        scope = scope or decided.outcome in ("clear", "flagged")
        modes = (mode,) if mode else ()
        if decided.outcome == "flagged":
            findings.append(finding_of(decided, severity, modes, book, hearing.profile))
        elif decided.outcome == "not_checked":
            missing = tuple(sorted(decided.missing))
            known = unjudged.get(missing)
            if known is None:
                unjudged[missing] = NotChecked(rule, severity, modes, missing, decided.reason)
            elif known.modes:
                unjudged[missing] = replace(known, modes=(*known.modes, *modes))
    return _gathered(findings, rule, hearing), list(unjudged.values()), scope


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
