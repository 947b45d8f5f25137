"""What a change brought, for readers that are told of that alone: nothing that stood as it stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Literal, NamedTuple

from ..comparison.comparison import Comparison
from ..comparison.finding_change import FindingChange
from ..comparison.harm_sources import OWN_RULES
from ..documents.location import Place
from ..documents.profile import Profile
from ..judgement.finding import Finding, NotChecked
from .changed_line import at_changed_line
from .comparison_totals import Compared, Revised
from .comparison_words import unflagged_because
from .vehicle_news import passage

Brought = Literal[
    "new",
    "worse",
    "no longer checked",
    "no longer flagged",
    "waived by this change",
    "waived for longer by this change",
]
LOST_FROM_SIGHT = ("no longer checked", "no longer flagged")
# SARIF 2.1.0, 3.27.24. What is only no longer checked is not `absent`, which a reader takes for mended.
BASELINE_STATES: Mapping[Brought, str] = {
    "new": "new",
    "worse": "updated",
    "no longer checked": "updated",
    "no longer flagged": "updated",
    "waived by this change": "updated",
    "waived for longer by this change": "updated",
}


class News(NamedTuple):
    """A finding that a change brought, with the modes in which it did, and the profile it was found in."""

    way: Brought
    finding: Finding
    modes: tuple[str, ...]
    everywhere: bool
    profile: Profile


def brought_findings(comparison: Comparison) -> Iterator[News]:
    """The findings of the new side that are new, worse or got their waiver, and those lost from sight.

    Each points at a line that the change made. What is no longer checked has no place in the new profile:
    where no such line has to do with it, it points at the first.
    """
    if comparison.new is None:
        return
    now = comparison.new.profile
    for change in comparison.finding_changes:
        way = _way(change)
        if way is None:
            continue
        finding, profile = change.finding, now
        if way in LOST_FROM_SIGHT:
            assert comparison.old is not None and change.old is not None
            finding, profile = change.old, comparison.old.profile
            finding = replace(finding, place=Place(now.file, 1, 1), related=(), waived=None)
            finding = replace(finding, remedy=_lost(change))
        finding = at_changed_line(finding, comparison)
        yield News(way, finding, change.modes, change.everywhere, profile)


def _way(change: FindingChange) -> Brought | None:
    if change.is_unchecked:
        return "no longer checked"
    if change.is_unflagged:
        return "no longer flagged"
    if change.way == "introduced":
        return "new"
    if change.way == "worsened":
        return "worse"
    if change.is_waived_here:
        return "waived by this change"
    return "waived for longer by this change" if change.is_waived_longer else None


def _lost(change: FindingChange) -> str:
    """What was said last is no longer known to hold, or not to."""
    if change.rule_changed:
        because = unflagged_because(change)
        return f"{because[0].upper()}{because[1:]}"
    gone = [name for name in change.missing if name.startswith(OWN_RULES)]
    if gone:
        return f"The shop has no such rule any more: {', '.join(gone)}."
    return f"Enter what is missing: {', '.join(change.missing)}." if change.missing else ""


def brought_gates(comparison: Comparison) -> tuple[NotChecked, ...]:
    """The required rules that cannot be checked now and could be; of a new vehicle all that cannot."""
    if comparison.new is None:
        return ()
    waiting = comparison.waiting.introduced if comparison.old else comparison.new.not_checked
    return tuple(entry for entry in waiting if entry.gate)


def passage_words(revised: Revised) -> str:
    """The verdicts in one line: `GO → NO-GO`, `GONE, was GO`."""
    return "".join(passage(revised))


def path_of(revised: Revised) -> str:
    """The file of a vehicle; of one that is gone the path that it had, without the revision."""
    file = revised.side.file
    return file if revised.new is not None else file.partition(":")[2] or file


def not_compared(compared: Compared) -> Iterator[tuple[str, str]]:
    """The vehicles of which nobody can tell what they were: the file, and why all counts as new."""
    for revised in compared.revised:
        why = revised.unread or ("" if revised.ceased else revised.why)
        if why:
            yield path_of(revised), f"All that is found counts as new: {why}"
