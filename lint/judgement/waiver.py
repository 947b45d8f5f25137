"""Waivers: a finding accepted up to a size, for a reason, until a day."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from ..documents.profile import Profile, Waiver
from ..documents.schema import allowances
from .catalogue import Catalogue
from .finding import Finding
from .paperwork import days_left


def covered(
    findings: Iterable[Finding], profile: Profile, catalogue: Catalogue, judged_on: str
) -> list[Finding]:
    """The findings, those marked that a waiver in force covers."""
    in_force = [
        waiver for waiver in profile.waivers if _in_force(waiver, catalogue, judged_on, profile)
    ]
    return [_marked(finding, in_force) for finding in findings]


def _in_force(waiver: Waiver, catalogue: Catalogue, judged_on: str, profile: Profile) -> bool:
    rule = catalogue.rules.get(waiver.rule)
    name = "house.reason_letters"
    told = profile.house.allowances.get(name)
    letters = told.value if told is not None else allowances()[name].default
    return (
        rule is not None
        and rule.waivable
        and days_left(waiver.until, judged_on) >= 0
        and len(waiver.reason.strip()) >= letters
    )


def _marked(finding: Finding, in_force: list[Waiver]) -> Finding:
    """The finding with the waiver that covers it; of one waiver a mode, the first to run out.

    A waiver without a mode covers all; those with a mode cover it once each of its modes has one.
    """
    fitting = [
        waiver
        for waiver in in_force
        if waiver.rule == finding.rule.id and not worse_than_accepted(finding, waiver.accepts)
    ]
    for waiver in fitting:
        if waiver.mode is None:
            return replace(finding, waived=waiver)
    by_mode = {waiver.mode: waiver for waiver in fitting}
    if finding.modes and by_mode.keys() >= set(finding.modes):
        first = min((by_mode[mode] for mode in finding.modes), key=lambda waiver: waiver.until)
        return replace(finding, waived=first)
    return finding


def worse_than_accepted(finding: Finding, accepts: float | None) -> bool:
    """Whether the finding is further out than the waiver accepts.

    Without a bound there is no further out: any other value than the accepted one is worse.
    """
    value = finding.value
    if accepts is None:
        return isinstance(value, int | float) and not isinstance(value, bool)
    if not isinstance(value, int | float) or isinstance(value, bool):
        return False
    noise = 1e-9 * max(abs(accepts), abs(value))
    if finding.high is not None and value > finding.high - noise:
        return value > accepts + noise
    if finding.low is not None and value < finding.low + noise:
        return value < accepts - noise
    return abs(value - accepts) > noise
