"""The verdict of a stage: may this motor be turned on the stand, and may somebody ride?"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..documents.error import UsageError
from .finding import Finding, NotChecked, Verdict
from .rule import STAGES, STOPS, Stage


def stage_of(text: str, option: str = "--stage ") -> Stage:
    """The stage of that name; raises UsageError where there is none.

    >>> stage_of("stand")
    'stand'
    """
    for stage in STAGES:
        if text == stage:
            return stage
    raise UsageError(f"{option}{text}: it can be {' or '.join(STAGES)}.")


def reached(stage: Stage | None, asked: Stage) -> bool:
    """Whether what counts from one stage on counts at the stage asked for."""
    return stage is not None and STAGES.index(stage) <= STAGES.index(asked)


def verdict_of(
    stage: Stage,
    findings: Iterable[Finding],
    not_checked: Iterable[NotChecked],
    strict: bool = False,
) -> Verdict:
    """NO-GO for a danger or fault not waived; INCOMPLETE while a gate is open; else GO.

    A GO over a waived danger has a name of its own, so that nobody takes it for a plain one. With
    `strict` advice is NO-GO too.
    """
    counted = [finding for finding in findings if reached(finding.rule.stage, stage)]
    standing = [finding for finding in counted if not finding.waived]
    if any(strict or finding.severity in STOPS for finding in standing):
        return "no-go"
    if any(reached(entry.gate, stage) for entry in not_checked):
        return "incomplete"
    waived = any(finding.severity == "danger" for finding in counted if finding.waived)
    return "go-with-waivers" if waived else "go"


def verdicts(
    findings: Sequence[Finding], not_checked: Sequence[NotChecked], strict: bool = False
) -> dict[Stage, Verdict]:
    """The verdict of each stage; a ride is never fitter than the stand, since all of it counts."""
    return {stage: verdict_of(stage, findings, not_checked, strict) for stage in STAGES}
