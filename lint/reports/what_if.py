"""What would become of each vehicle: a row for each that changes, the worst first, and a record."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from ..comparison.what_if import NamedFinding, WhatIf, WouldBe
from ..documents.text import so_many
from .check_totals import TONES, VERDICT_WORDS, counted
from .record import tried_value_record
from .section import Card, Code, Line, Section, Table, Toned

FINDINGS_NAMED = 3  # findings of a vehicle


def what_if_record(found: WhatIf) -> dict[str, Any]:
    """The value that was tried, and every vehicle with both verdicts."""
    return {
        "tried": tried_value_record(found.tried),
        "vehicles": [_outcome_record(one) for one in found.outcomes],
    }


def _outcome_record(one: WouldBe) -> dict[str, Any]:
    return {
        "file": one.file,
        "name": one.name,
        "old": one.old,
        "new": one.new,
        "worse": one.is_worse,
        "introduced": list(map(_finding_record, one.introduced)),
        "worsened": list(map(_finding_record, one.worsened)),
        "gone": list(map(_finding_record, one.gone)),
        "hidden": list(map(_finding_record, one.hidden)),
        "no_longer_checked": list(one.unchecked),
    }


def _finding_record(finding: NamedFinding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "severity": finding.severity,
        "modes": list(finding.modes),
        "message": finding.message,
    }


def what_if_card(found: WhatIf, asked: str, vehicles: int) -> Card:
    """The vehicles that would come to something else; those that would not are counted."""
    tried = found.tried
    moved = [one for one in found.outcomes if not one.is_same]
    worse = sum(one.is_worse for one in found.outcomes)
    same = len(found.outcomes) - len(moved)
    others = len(moved) - worse
    table = Table(
        ("verdict", "vehicle", "findings"),
        tuple(map(_cells, moved)),
        labels=False,
        below=tuple(map(_below, moved)),
        headed=True,
    )
    says = f"says {tried.said}" if tried.said is not None else "does not set it"
    return Card(
        verdict=f"{worse} OF {so_many(vehicles, 'vehicle').upper()} WORSE"
        + (f", {others} CHANGED OTHERWISE" if others else ""),
        tone="no-go" if worse else "go",
        name=asked,
        about=((Toned(f"with {tried.key}: {tried.value} tried; {tried.file} {says}", "bold"),),),
        sections=(Section("", (table,)),) if moved else (),
        closing=((f"as before: {so_many(same, 'vehicle')}",),) if same else (),
        stamped=True,
    )


def _cells(one: WouldBe) -> tuple[Line, ...]:
    verdict = f"{VERDICT_WORDS[one.old]} → {VERDICT_WORDS[one.new]}"
    if one.old == one.new:
        verdict = VERDICT_WORDS[one.new]
    return (
        (Toned(verdict, TONES[one.new]),),
        (Toned(one.name, "bold"),),
        (_amounts(one),),
    )


def _amounts(one: WouldBe) -> str:
    """Findings by what would become of them: `1 danger new, 2 advice gone`."""
    ways = (
        ("new", one.introduced),
        ("worse", one.worsened),
        ("no longer checked", one.hidden),
        ("gone", one.gone),
    )
    words = [
        f"{counted(Counter(finding.severity for finding in found))} {way}"
        for way, found in ways
        if found
    ]
    words += [f"{so_many(len(one.unchecked), 'required rule')} open"] if one.unchecked else []
    return ", ".join(words)


def _below(one: WouldBe) -> Line:
    """The file, and the rules by name, what is new before what is gone."""
    names = _names((*one.introduced, *one.worsened, *one.hidden)) or _names(one.gone)
    return Code(one.file), f" · {names}" if names else ""


def _names(findings: Sequence[NamedFinding]) -> str:
    names = list(dict.fromkeys(finding.rule for finding in findings))
    more = f" and {len(names) - FINDINGS_NAMED} more" if len(names) > FINDINGS_NAMED else ""
    return ", ".join(names[:FINDINGS_NAMED]) + more
