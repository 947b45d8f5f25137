"""One cause, one finding: a rule that yields to another leaves the word to it where both flag."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from ..documents.profile import BASE
from .evaluation import Hearing
from .finding import Finding
from .rule import SEVERITIES


def yielded(findings: Sequence[Finding], hearing: Hearing) -> list[Finding]:
    """The findings without those that another one stands for, which names them in `also`.

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
