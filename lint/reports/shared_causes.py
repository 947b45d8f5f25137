"""Shared causes: lines of parts and house files on which the same finding of several vehicles rests.

Whoever mends a part mends all its vehicles. So each line is told once, with the vehicles, instead of
with each of them. What a vehicle rests on is kept in few words (`FindingCause`), alike for all of them, so
that a thousand vehicles need no more room than their names.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Any, NamedTuple

from ..documents.text import so_many
from ..judgement.finding import Finding, Judgement
from ..judgement.rule import SEVERITIES, Severity
from .section import Code, Line, Row, Section

MOST_CAUSES = 12
MOST_SHARING = 8
SHARED_TITLE = "Shared causes"


class FindingCause(NamedTuple):
    """A line of a file that others read too, and the rule whose finding rests on it."""

    severity: Severity
    rule: str
    file: str
    line: int


class SharedCause(NamedTuple):
    """The finding of one rule in several vehicles, and every line that all of them share."""

    severity: Severity
    rule: str
    places: tuple[tuple[str, int], ...]
    vehicles: tuple[str, ...]


@lru_cache(maxsize=4096)
def _cause(severity: Severity, rule: str, file: str, line: int) -> FindingCause:
    """The same object for the same cause, so that many vehicles share it."""
    return FindingCause(severity, rule, file, line)


def causes_of(judgement: Judgement) -> tuple[FindingCause, ...]:
    """What the findings of a vehicle rest on outside its own file; what is waived causes nothing."""
    own = judgement.profile.file
    return tuple(
        dict.fromkeys(
            _cause(finding.severity, finding.rule.id, file, line)
            for finding in judgement.findings
            if not finding.waived
            for file, line in _places(finding)
            if file != own
        )
    )


def _places(finding: Finding) -> list[tuple[str, int]]:
    """Where a finding points, then what it rests on: files and lines."""
    places = (finding.place, *(related.place for related in finding.related))
    return [(place.file, place.line) for place in places]


def shared_causes(given: Iterable[tuple[str, Sequence[FindingCause]]]) -> list[SharedCause]:
    """The causes that two vehicles or more share, the gravest first, then those of most vehicles.

    `given` has each vehicle's name with its causes. Lines that the same vehicles share for the same
    rule are one cause.
    """
    vehicles: dict[FindingCause, list[str]] = {}
    for name, causes in given:
        for cause in causes:
            vehicles.setdefault(cause, []).append(name)
    places: dict[tuple[Severity, str, tuple[str, ...]], list[tuple[str, int]]] = {}
    for cause, names in vehicles.items():
        if len(names) > 1:
            key = (cause.severity, cause.rule, tuple(names))
            places.setdefault(key, []).append((cause.file, cause.line))
    found = [
        SharedCause(severity, rule, tuple(sorted(lines)), names)
        for (severity, rule, names), lines in places.items()
    ]
    return sorted(found, key=_order)


def _order(cause: SharedCause) -> tuple[int, int, str, tuple[tuple[str, int], ...]]:
    return SEVERITIES.index(cause.severity), -len(cause.vehicles), cause.rule, cause.places


def causes_record(given: Iterable[tuple[str, Sequence[FindingCause]]]) -> list[dict[str, Any]]:
    """The causes for machines: every one, each with the files of its vehicles; `given` has those files."""
    return [
        {
            "severity": cause.severity,
            "rule": cause.rule,
            "places": [{"file": file, "line": line} for file, line in cause.places],
            "vehicles": list(cause.vehicles),
        }
        for cause in shared_causes(given)
    ]


def shared_section(causes: Sequence[SharedCause]) -> tuple[Section, ...]:
    """The causes as a section of a report, each once; empty where nothing is shared."""
    if not causes:
        return ()
    rows = [
        Row(cause.severity.upper(), (_where(cause), (_who(cause),)), cause.severity)
        for cause in causes[:MOST_CAUSES]
    ]
    more = len(causes) - len(rows)
    rows += [Row("", ((f"and {so_many(more, 'more shared cause')}",),))] if more else []
    return (Section(SHARED_TITLE, tuple(rows)),)


def _where(cause: SharedCause) -> Line:
    """Each file once with its lines, then the rule: `parts/motors/axle-75.yaml line 5 · RULE`."""
    lines: dict[str, list[str]] = {}
    for file, line in cause.places:
        lines.setdefault(file, []).append(str(line))
    pieces: list[str | Code] = []
    for file, numbers in lines.items():
        word = "line" if len(numbers) == 1 else "lines"
        pieces += [", " if pieces else "", Code(file), f" {word}\u00a0{', '.join(numbers)}"]
    return (*pieces, f" · {cause.rule}")


def _who(cause: SharedCause) -> str:
    return f"{so_many(len(cause.vehicles), 'vehicle')}: {few_names(cause.vehicles, MOST_SHARING)}"


def few_names(names: Sequence[str], most: int) -> str:
    """Names, and how many more there are.

    >>> few_names(["Alder", "Elm", "Oak"], 2)
    'Alder, Elm, and 1 more'
    """
    more = len(names) - most
    return ", ".join(names[:most]) + (f", and {more} more" if more > 0 else "")
