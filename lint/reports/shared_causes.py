"""Shared causes: lines of parts and house files because of which several vehicles have one finding.

Whoever mends a part mends all its vehicles. So each line is told once, with the vehicles, instead of
with each of them. But a finding rests on many lines, and few of them are wrong. A line is named as a
cause only if each vehicle that reads it has the finding, and the vehicles' own files do not explain
it as well; else it is told that the vehicles have the same finding, and nothing is blamed. What a vehicle
rests on is kept in few words, alike for all of them, so that a thousand need little room.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import Any, NamedTuple
from zlib import crc32

from ..documents.text import line_of, so_many
from ..judgement.finding import Finding, Judgement
from ..judgement.rule import SEVERITIES, Severity
from .section import Code, Line, Row, Section

MOST_CAUSES = 12
MOST_SHARING = 8
SHARED_TITLE = "Shared causes"
FINDINGS_TITLE = "The same finding in several vehicles"
FileLine = tuple[str, int]


class FindingCause(NamedTuple):
    """A finding, and the lines of files that others read too on which it rests.

    `own` tells apart what the lines of the vehicle's own file say, 0 where it rests on none. What is
    `quiet` is waived: no report repeats it here, but the vehicle has it.
    """

    severity: Severity
    rule: str
    lines: tuple[FileLine, ...]
    own: int = 0
    quiet: bool = False


class VehicleCauses(NamedTuple):
    """The findings of a vehicle, the files of others that it reads, and which of them is a house file.

    `open` names the rules of which it may have a finding too: not checked, or found with another one.
    """

    findings: tuple[FindingCause, ...] = ()
    files: tuple[str, ...] = ()
    house: str = ""
    open: tuple[str, ...] = ()


class SharedCause(NamedTuple):
    """The finding of one rule in several vehicles, and the lines that cause it; none: nobody can tell."""

    severity: Severity
    rule: str
    places: tuple[FileLine, ...]
    vehicles: tuple[str, ...]


@lru_cache(maxsize=4096)
def _alike(cause: FindingCause) -> FindingCause:
    """The same object for the same cause, so that many vehicles share it."""
    return cause


@lru_cache(maxsize=4096)
def _names(names: tuple[str, ...]) -> tuple[str, ...]:
    return names


def causes_of(judgement: Judgement) -> VehicleCauses:
    """What the findings of a vehicle rest on, in its own file and outside."""
    profile = judgement.profile
    house = profile.house.file
    files = {name for name in (*profile.files, house) if name and name != profile.file}
    findings = [_cause_of(finding, judgement) for finding in judgement.findings]
    opened = {rule for finding in judgement.findings for rule in finding.also}
    opened |= {entry.rule.id for entry in judgement.not_checked}
    return VehicleCauses(
        tuple(dict.fromkeys(map(_alike, findings))),
        _names(tuple(sorted(files))),
        house,
        _names(tuple(sorted(opened))),
    )


def _cause_of(finding: Finding, judgement: Judgement) -> FindingCause:
    profile = judgement.profile
    places = dict.fromkeys((*_places(finding), *_house_lines(finding, judgement)))
    own = sorted(line for file, line in places if file == profile.file)
    text = profile.texts.get(profile.file, "")
    says = crc32("\n".join(line_of(text, line).strip() for line in own).encode()) or 1
    lines = tuple(sorted(place for place in places if place[0] != profile.file))
    rule = finding.rule.id
    return FindingCause(finding.severity, rule, lines, says if own else 0, bool(finding.waived))


def _places(finding: Finding) -> Iterator[FileLine]:
    """Where a finding points, then what it rests on: files and lines."""
    for place in (finding.place, *(related.place for related in finding.related)):
        yield place.file, place.line


def _house_lines(finding: Finding, judgement: Judgement) -> Iterator[FileLine]:
    """The lines of the house file that set an allowance of the finding's rule."""
    used = {*finding.rule.reads, *(line.quantity for line in finding.working)}
    for name, given in judgement.profile.house.allowances.items():
        if name in used:
            yield given.place.file, given.place.line


class _Fleet:
    """Who has which finding, who reads which file, and which lines are to blame."""

    def __init__(self, given: Iterable[tuple[str, VehicleCauses]]) -> None:
        self.takers: dict[str, set[str]] = {}
        self.open: dict[str, set[str]] = {}
        self.resting: dict[str, dict[FileLine, set[str]]] = {}
        self.own: dict[tuple[str, str], int] = {}
        self.told: dict[tuple[Severity, str], dict[str, None]] = {}
        self.houses: set[str] = set()
        for name, causes in given:
            self._take(name, causes)
        self.to_blame: set[FileLine] = set()
        for (_, rule), _ in sorted(self.told.items(), key=_gravest_of_most):
            self._blame(rule)

    def _take(self, name: str, causes: VehicleCauses) -> None:
        self.houses |= {causes.house}
        for file in causes.files:
            self.takers.setdefault(file, set()).add(name)
        for rule in causes.open:
            self.open.setdefault(rule, set()).add(name)
        for one in causes.findings:
            if not one.quiet:
                self.told.setdefault((one.severity, one.rule), {})[name] = None
            self.own[one.rule, name] = one.own
            for line in one.lines:
                self.resting.setdefault(one.rule, {}).setdefault(line, set()).add(name)

    def _blame(self, rule: str) -> None:
        """Find the lines that explain a rule's findings, unless lines found before do so already.

        Of the lines that fit, those of most vehicles are to blame; of as many vehicles all of them.
        """
        fitting = [
            (line, found)
            for line, found in self.resting.get(rule, {}).items()
            if self._explains(rule, line)
            and not any(self._is_explained(rule, one) for one in found)
        ]
        for line, found in fitting:
            if not any(found < other for _, other in fitting):
                self.to_blame.add(line)

    def _is_explained(self, rule: str, name: str) -> bool:
        return any(name in self.resting.get(rule, {}).get(line, ()) for line in self.to_blame)

    def _explains(self, rule: str, line: FileLine) -> bool:
        """Whether a line sets its vehicles apart, and what their own files say does not do so as well.

        An allowance of the shop is passed by vehicles that say different things; a part's line is blamed
        only if a vehicle has the finding with nothing of its own in it.
        """
        found = self.resting[rule][line]
        own = {self.own[rule, name] for name in found}
        is_house = line[0] in self.houses and len(own) > 1
        return self.fits(rule, line) and (0 in own or is_house)

    def fits(self, rule: str, line: FileLine) -> bool:
        """Whether two vehicles or more have the finding by a line, and nobody reads its file without it."""
        takers = self.takers.get(line[0], set())
        found = self.resting[rule][line]
        return len(found) > 1 and takers <= found | self.open.get(rule, set())

    def causes(self) -> Iterator[SharedCause]:
        """Each finding of two vehicles or more with the lines that cause it, the rest without any."""
        for (severity, rule), names in self.told.items():
            lines: dict[tuple[str, ...], list[FileLine]] = {}
            resting = self.resting.get(rule, {})
            for line in sorted(self.to_blame.intersection(resting)):
                if self.fits(rule, line):
                    found = resting[line]
                    lines.setdefault(tuple(one for one in names if one in found), []).append(line)
            most = [some for some in lines if not any(set(some) < set(other) for other in lines)]
            caused = {name for some in most for name in some}
            for some in most:
                yield SharedCause(severity, rule, tuple(lines[some]), some)
            elsewhere = {name for found in resting.values() for name in found} - caused
            yield SharedCause(severity, rule, (), tuple(one for one in names if one in elsewhere))


def _gravest_of_most(told: tuple[tuple[Severity, str], dict[str, None]]) -> tuple[int, int, str]:
    (severity, rule), names = told
    return SEVERITIES.index(severity), -len(names), rule


def _shared(given: Iterable[tuple[str, VehicleCauses]]) -> list[SharedCause]:
    every = _Fleet(given).causes()
    return sorted((cause for cause in every if len(cause.vehicles) > 1), key=_order)


def shared_causes(given: Iterable[tuple[str, VehicleCauses]]) -> list[SharedCause]:
    """The lines because of which two vehicles or more have a finding, the gravest first, then those of most.

    `given` has each vehicle's name with what it rests on.
    """
    return [cause for cause in _shared(given) if cause.places]


def shared_findings(given: Iterable[tuple[str, VehicleCauses]]) -> list[SharedCause]:
    """The findings of two vehicles or more that rest on other files too, with no line to blame there."""
    return [cause for cause in _shared(given) if not cause.places]


def causes_record(given: Iterable[tuple[str, VehicleCauses]]) -> list[dict[str, Any]]:
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


def findings_record(given: Iterable[tuple[str, VehicleCauses]]) -> list[dict[str, Any]]:
    """Those findings for machines, each with the files of its vehicles; `given` has those files."""
    return [
        {"severity": one.severity, "rule": one.rule, "vehicles": list(one.vehicles)}
        for one in shared_findings(given)
    ]


def _order(cause: SharedCause) -> tuple[int, int, str, tuple[tuple[str, int], ...]]:
    return SEVERITIES.index(cause.severity), -len(cause.vehicles), cause.rule, cause.places


def shared_section(causes: Sequence[SharedCause], title: str = SHARED_TITLE) -> tuple[Section, ...]:
    """The causes, or findings, as a section of a report, each once; empty where nothing is shared."""
    if not causes:
        return ()
    rows = [
        Row(cause.severity.upper(), (_where(cause), (_who(cause),)), cause.severity)
        for cause in causes[:MOST_CAUSES]
    ]
    more = len(causes) - len(rows)
    rows += [Row("", ((f"and {so_many(more, 'more shared cause')}",),))] if more else []
    return (Section(title, tuple(rows)),)


def _where(cause: SharedCause) -> Line:
    """Each file once with its lines, then the rule: `parts/motors/axle-75.yaml line 5 · RULE`."""
    if not cause.places:
        return (cause.rule,)
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
