"""Which record of a profile a finding is about, by what stays the same when others come and go."""

from __future__ import annotations

from ..documents.profile import Profile
from .finding import Finding


def record_in(finding: Finding, profile: Profile) -> str:
    """The quantity pointed at; of a waiver its rule, since its number in the list may move."""
    head, _, number = finding.entered_as.rpartition(".")
    if head == "waivers" and number.isdigit():
        waiver = profile.waivers[int(number)]
        return f"{waiver.rule} {waiver.mode or ''} {waiver.motor or ''}"
    return finding.quantity
