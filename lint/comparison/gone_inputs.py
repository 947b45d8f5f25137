"""A finding that went away because what its rule reads is no longer stated: that resolves nothing."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from ..documents.profile import Profile
from ..judgement.finding import Finding
from ..quantities.registry import affected

RECORDS = ("entered", "twice")  # subjects whose findings are about an entry that can be left out


def gone_inputs(
    finding: Finding, was: Profile, now: Profile, heard: Collection[str]
) -> tuple[str, ...]:
    """The entries of a finding's rule that the new side leaves out, or the rule if it is not `heard`."""
    if bool(was.motors) != bool(now.motors):  # every motor's entries have other names now
        return ()
    rule = finding.rule
    if rule.subject == "profile":
        if rule.id not in heard:
            return (f"rules.{rule.id}",)
        reads = rule.reads
        return tuple(
            name
            for name in _left_out(was, now)
            if not affected(frozenset((name,))).isdisjoint(reads)
        )
    if rule.subject in RECORDS:
        about = {finding.quantity, finding.entered_as}
        return tuple(name for name in _left_out(was, now) if name in about)
    return ()


def _left_out(was: Profile, now: Profile) -> Iterator[str]:
    """What one side gives and the other does not, not even as `none`."""
    held = _names(now)
    for name in _names(was):
        if name not in held and not any(name.startswith(f"{none}.") for none in now.absent):
            yield name


def _names(profile: Profile) -> dict[str, None]:
    """What a profile gives, or any of its motors."""
    each = (profile, *profile.motors.values())
    return dict.fromkeys(name for one in each for name in one.givens)
