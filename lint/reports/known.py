"""What a list of known findings comes to: words beside each finding, what is gone, and for machines."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from ..documents.known import KnownFinding, shown_entry
from ..documents.units import unit_apart
from ..expressions.formatting import shown
from ..judgement.finding import Finding, Judgement, KnownMark, KnownOutcome
from ..judgement.rule import STOPS
from ..quantities.number import tidy
from .finding_words import modes_in_words
from .section import Code, Line, Notice, Row, Section, row

RECORD_AGAIN = "`gonogo known` takes them off the list"
BASELINE = {"recorded": "unchanged", "new": "new", "worse": "updated"}


def mark_words(finding: Finding) -> str:
    """How a finding stands to the list: `recorded on 2026-11-25, 20 A beyond the limit then`."""
    mark = finding.known
    if mark is None:
        return ""
    if mark.state == "new":
        return "new: not on the list of known findings"
    size = (
        ""
        if mark.excess is None
        else f", {shown(mark.excess, unit_apart(finding.unit))} beyond its limit"
    )
    worse = "worse than it was " if mark.state == "worse" else ""
    return f"{worse}recorded on {mark.recorded}{size}{' then' if size else ''}"


def baseline_state(mark: KnownMark) -> str:
    """The same as the static analysis results format has it."""
    return BASELINE[mark.state]


def is_recorded(finding: Finding) -> bool:
    """Whether a finding is on the list, and no worse than there."""
    return finding.known is not None and finding.known.state == "recorded"


def known_sections(judgement: Judgement) -> list[Section]:
    """What is recorded in short; what is on the list and no longer found, by what became of it."""
    known = judgement.known
    if known is None:
        return []
    recorded = tuple(_in_short(one) for one in judgement.findings if is_recorded(one))
    parts = [Section("Recorded findings", recorded, "brief")] if recorded else []
    gone = [
        _listed("corrected", known.mended, RECORD_AGAIN),
        _listed("no longer applies", known.off, f"not corrected, but taken out; {RECORD_AGAIN}"),
        _listed("waived now", known.waived, RECORD_AGAIN),
        _listed(
            "found with another", known.told_with, "what is found beside it has the same cause"
        ),
        _listed("no longer checked", known.unchecked, _untold(known.unchecked)),
    ]
    fresh = [
        one.rule.id
        for one in judgement.not_checked
        if one.known is not None and one.known.state == "new"
    ]
    if fresh:
        names = ", ".join(dict.fromkeys(fresh))
        gone.append(row("new", f"required and not checked, and not on the list: {names}"))
    rows = tuple(one for one in gone if one.lines)
    return [*parts, Section(f"List of known findings, {known.file}", rows)] if rows else parts


def _in_short(finding: Finding) -> Notice:
    modes = modes_in_words(finding.modes, finding.everywhere)
    start = f"{modes[0].upper()}{modes[1:]}: " if modes else ""
    return Notice(
        label=finding.severity.upper(),
        text=(f"{start}{finding.message}",),
        rows=(row("known", mark_words(finding)), row("rule", Code(finding.rule.id))),
        tone=finding.severity,
    )


def _listed(label: str, known: Iterable[KnownFinding], what: str) -> Row:
    lines: list[Line] = [
        (f"{one.severity}, recorded on {one.recorded}: ", Code(shown_entry(one))) for one in known
    ]
    return row(label, *lines, *([what] if lines else []))


def _untold(known: Iterable[KnownFinding]) -> str:
    """What to do about findings that nobody can tell about."""
    lost = dict.fromkeys(name for one in known if one.severity in STOPS for name in one.reads)
    if not lost:
        return "enter again what their rules read"
    return "not corrected: enter again what the rule reads, such as " + ", ".join([*lost][:3])


def mark_record(mark: KnownMark | None) -> dict[str, Any]:
    """How a finding, or a rule not checked, stands to the list; nothing without one."""
    if mark is None:
        return {}
    excess = None if mark.excess is None else tidy(mark.excess)
    return {"known": {"state": mark.state, "recorded": mark.recorded, "excess": excess}}


def known_record(known: KnownOutcome) -> dict[str, Any]:
    """What a list comes to for one vehicle."""
    return {
        "file": known.file,
        "verdict": known.verdict,
        "recorded": known.recorded,
        "new": known.new,
        "worse": known.worse,
        "not_checked": {
            "recorded": known.waiting,
            "new": known.waiting_new,
            "answered": known.answered,
        },
        "corrected": _entries(known.mended),
        "no_longer_applies": _entries(known.off),
        "waived": _entries(known.waived),
        "found_with_another": _entries(known.told_with),
        "no_longer_checked": _entries(known.unchecked),
    }


def _entries(known: Iterable[KnownFinding]) -> list[dict[str, Any]]:
    return [
        {
            "rule": one.rule,
            "severity": one.severity,
            "entry": one.entry,
            "modes": list(one.modes),
            "motors": list(one.motors),
            "recorded": one.recorded,
        }
        for one in known
    ]
