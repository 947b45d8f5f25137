"""A waiver that had run out and was renewed: nothing was corrected by that, and it is told once."""

from __future__ import annotations

from ..documents.profile import Waiver
from .finding_change import FindingChange, JudgedSide

OF_WAIVERS = "waiver"  # the subject of rules about a waiver itself


def without_renewals(
    changes: tuple[FindingChange, ...], old: JudgedSide, new: JudgedSide
) -> tuple[FindingChange, ...]:
    """The changes but for findings about a waiver that are gone since it waives a danger or fault anew.

    What it accepts is among them, waived by this change; that it had expired is no finding resolved.
    """
    anew = {change.finding.rule.id for change in changes if change.is_waived_here}
    return tuple(
        change
        for change in changes
        if not (anew and change.way == "resolved" and _waived_by(change, old) in anew)
    )


def _waived_by(change: FindingChange, old: JudgedSide) -> str:
    """The rule of the waiver that a finding of the old side is about; "" where it is about none."""
    finding = change.finding
    if finding.rule.subject != OF_WAIVERS:
        return ""
    waivers: tuple[Waiver, ...] = old.judgement.profile.waivers
    return next((one.rule for one in waivers if one.entered_as == finding.entered_as), "")
