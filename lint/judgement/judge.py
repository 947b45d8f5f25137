"""The judge: every rule held against a profile's base settings and each of its modes."""

from __future__ import annotations

from collections import Counter

from ..documents.profile import Profile
from .alike import Alike
from .catalogue import Catalogue
from .document_rules import paperwork
from .evaluation import Hearing, hear
from .finding import Finding, Judgement, NotChecked
from .outcome import first_needed, of_rule, worst_first, yielded
from .rule import STOPS, Outcome, Stage
from .verdict import reached, verdicts
from .waivers import covered

_SETTLED = ("clear", "out_of_scope")


def judge(
    profile: Profile,
    catalogue: Catalogue,
    judged_on: str,
    strict: bool = False,
    stage: Stage = "ride",
    alike: Alike | None = None,
) -> Judgement:
    """The judgement of a profile on a day, for a stage; with `strict` advice is NO-GO too.

    `judged_on` is a date as text, `2026-11-25`. Of many profiles `alike` spares what they have in common.
    """
    if profile.motors:
        from .motors import judge_motors  # late: most vehicles have one motor

        return judge_motors(profile, catalogue, judged_on, strict, stage, alike)
    hearing = (hear if alike is None else alike.hear)(profile, catalogue, judged_on)
    return concluded(hearing, catalogue, judged_on, strict, stage)


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
    base, *of_modes = hearing.rulings.values()
    in_modes = frozenset[str]().union(*of_modes)
    for rule in catalogue.about("profile"):
        if base[rule.id].outcome in _SETTLED and rule.id not in in_modes:
            outcomes[rule.id] = base[rule.id].outcome
            continue
        flagged, unchecked, scope = of_rule(rule, catalogue, hearing)
        findings.extend(flagged)
        open_rules.extend(unchecked)
        outcomes[rule.id] = "not_checked" if unchecked else "clear" if scope else "out_of_scope"
    papers = paperwork(hearing, catalogue, judged_on, findings)
    open_rules.extend(papers.not_checked)
    outcomes.update(papers.outcomes)
    findings = covered([*findings, *papers.findings], hearing.profile, catalogue, judged_on)
    findings += _without_window(findings, hearing, catalogue) if sweeps else []
    findings = sorted(yielded(findings, hearing), key=worst_first)
    if sweeps and any(finding.advised is not None for finding in findings):
        from .advice import that_stands  # late: only what is wrong needs advice

        findings = [that_stands(finding, hearing, catalogue) for finding in findings]
    open_rules.sort(key=lambda entry: first_needed(entry, stage))
    rules = catalogue.rules
    told = Counter(
        [outcome for name, outcome in outcomes.items() if reached(rules[name].stage, stage)]
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
        held=papers.held,
    )


def _without_window(
    findings: list[Finding], hearing: Hearing, catalogue: Catalogue
) -> list[Finding]:
    """A finding for each setting that no value fits; only a danger or fault makes one look."""
    if not any(finding.severity in STOPS and not finding.waived for finding in findings):
        return []
    from .conflicts import without_window  # late: all that windows need takes long to load

    return without_window(findings, hearing, catalogue)
