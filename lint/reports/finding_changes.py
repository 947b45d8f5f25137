"""What became of the findings, as sections of a comparison's page: in full what is new or worse, briefly the rest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..comparison.comparison import Comparison
from ..comparison.finding_change import FindingChange, Way
from .check_page import finding_notice, waiting_notice
from .comparison_words import WAY_TITLES, notes, was
from .finding_words import modes_in_words
from .section import Code, Detail, Notice, Section, row

NOW_WAIVED = "Findings waived by this change"


def finding_sections(comparison: Comparison, detail: Detail) -> tuple[Section, ...]:
    """What is new or worse first, then what is accepted or lost from sight, at last what is gone or stands."""
    return (
        *(_findings(comparison, way) for way in ("introduced", "worsened")),
        _waived(comparison),
        *_waiting(comparison, detail),
        _lost("Findings no longer checked", comparison.unchecked),
        _lost("Findings no longer flagged as such", comparison.unflagged),
        *(_brief_findings(comparison, way) for way in ("resolved", "standing")),
    )


def _findings(comparison: Comparison, way: Way) -> Section:
    """Findings in full, each with what it was before."""
    assert comparison.new is not None
    profile = comparison.new.profile
    notices = [
        finding_notice(
            replace(change.finding, modes=change.modes, everywhere=change.everywhere),
            profile,
            was(change, comparison.is_unknown, comparison.is_back),
        )
        for change in comparison.of_way(way)
    ]
    return Section(WAY_TITLES[way], tuple(notices))


def _brief_findings(comparison: Comparison, way: Way) -> Section:
    """Findings that are gone or unchanged, by their sentence and rule."""
    told = comparison.of_way(way)
    left = told if way != "resolved" else [change for change in told if change.is_resolved]
    changes = (one for one in left if not (one.is_unflagged or _is_waived_now(one)))
    return Section(WAY_TITLES[way], tuple(map(_brief, changes)), "brief")


def _is_waived_now(change: FindingChange) -> bool:
    """Whether what a finding stands for is no other, and yet it is accepted, or accepted further."""
    return change.way == "standing" and (change.is_waived_here or change.is_waived_further)


def _waived(comparison: Comparison) -> Section:
    """The dangers and faults that stood, and that this change waives."""
    changes = filter(_is_waived_now, comparison.finding_changes)
    return Section(NOW_WAIVED, tuple(map(_brief, changes)), "brief")


def _lost(title: str, changes: Sequence[FindingChange]) -> Section:
    """Findings that are gone with nothing corrected, as they were."""
    return Section(title, tuple(_brief(change, was=True) for change in changes), "brief")


def _brief(change: FindingChange, was: bool = False) -> Notice:
    finding = change.old if was and change.old is not None else change.finding
    modes = modes_in_words(change.modes, change.everywhere)
    start = f"{modes[0].upper()}{modes[1:]}: " if modes else ""
    rows = [row("note", note) for note in notes(change)]
    return Notice(
        label=finding.severity.upper(),
        text=(f"{start}{finding.message}",),
        rows=(*rows, row("rule", Code(finding.rule.id))),
        tone=finding.severity,
    )


def _waiting(comparison: Comparison, detail: Detail) -> list[Section]:
    """Rules that lack a value now: what is not checked is not safe."""
    introduced, resolved = comparison.waiting.introduced, comparison.waiting.resolved
    notices = (waiting_notice(introduced, "ride", detail),) if introduced else ()
    names = ", ".join(rule.rule.id for rule in resolved)
    rows = (row("rules", names),) if resolved else ()
    return [
        Section("No longer checked", notices, "list"),
        Section("Checked now, not before", rows),
    ]
