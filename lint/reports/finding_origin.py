"""Which commit brought a finding to each vehicle: the page, and the record for machines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from ..comparison.history import EpisodeCause
from ..documents.git_history import Step
from ..documents.text import so_many
from ..judgement.finding import Finding
from .check_totals import UNREAD, Unread
from .history import COMMIT_LETTERS
from .layout import Page
from .record import json_text, unread_record
from .section import Card, Notice, Report, Row, Section, nonempty, row
from .unread_cards import unread_cards

ORIGINS_EDITION = "origins/1"
BY_TIME = "Nothing was committed: a date passed, or an age reached its limit."


@dataclass(frozen=True, slots=True)
class FindingEnd:
    """What a finding came to its end by: the finding as it was last, the step, and its kind.

    It `is_gone` with its vehicle.
    """

    finding: Finding
    step: Step
    cause: EpisodeCause
    is_gone: bool = False


@dataclass(frozen=True, slots=True)
class FindingOrigin:
    """What brought a finding to one vehicle; without a finding it is not there today.

    One that stood before has its `end`, and the rest says what had brought it.

    `read` of `of` commits were read. `is_from_start` says that the vehicle had it from its first version
    that can be read, `is_unread` that versions before the commit could not be, `is_halved` that older
    commits were found by halving: the finding may have come and gone between them.
    """

    file: str
    name: str
    finding: Finding | None = None
    cause: EpisodeCause | None = None
    step: Step | None = None
    error: str = ""
    read: int = 0
    of: int = 0
    is_from_start: bool = False
    is_unread: bool = False
    is_halved: bool = False
    end: FindingEnd | None = None

    @property
    def is_past(self) -> bool:
        """Whether the finding ended with its vehicle, which is not there any more."""
        return self.end is not None and self.end.is_gone

    @property
    def told(self) -> Finding | None:
        """The finding as it is today, or as it was last."""
        return self.finding or (self.end.finding if self.end else None)


@dataclass(frozen=True, slots=True)
class Origins:
    """What brought one rule's finding to each vehicle of some."""

    judged_on: str
    tool: str
    catalogue: str
    rule: str
    shallow: bool
    vehicles: tuple[FindingOrigin, ...]
    unread: tuple[Unread, ...] = ()


def page_of(origins: Origins, page: Page) -> Report:
    """Each cause once with its vehicles, the newest first, then the vehicles without the finding."""
    causes: dict[tuple[bool, str, str], list[FindingOrigin]] = {}
    for one in origins.vehicles:
        if one.step is not None:
            day = one.step.day or origins.judged_on
            causes.setdefault((one.end is None, day, one.step.commit), []).append(one)
    sections = [Section("", (_cause(causes[key]),)) for key in sorted(causes, reverse=True)]
    sections += _without(origins.vehicles)
    found = sum(one.finding is not None for one in origins.vehicles)
    ended = sum(one.end is not None for one in origins.vehicles)
    there = sum(not one.is_past for one in origins.vehicles)
    words = [f"on {found} of {so_many(there, 'vehicle')} today"]
    gone = sum(one.is_past for one in origins.vehicles)
    words += [f"resolved on {ended - gone}"] if ended > gone else []
    words += [f"gone with {so_many(gone, 'vehicle')}"] if gone else []
    words += ["shallow clone: older commits are missing"] if origins.shallow else []
    card = Card(
        verdict="FIRST COMMIT",
        tone="bold",
        name=origins.rule,
        about=((" · ".join(words),),),
        sections=tuple(sections),
    )
    return Report("gonogo history", (card, *unread_cards(origins.unread)))


def _cause(vehicles: Sequence[FindingOrigin]) -> Notice:
    step = vehicles[0].step
    assert step is not None
    subject = BY_TIME if vehicles[0].cause == "day" else step.subject
    rows = [row("", _source(vehicles[0].cause, step))]
    for one in vehicles:
        rows += [_vehicle(one), *_end(one)]
    return Notice(step.day or "now", (subject,), nonempty(rows))


def _end(origin: FindingOrigin) -> list[Row]:
    """What resolved it."""
    if origin.end is None:
        return []
    step, cause = origin.end.step, origin.end.cause
    subject = BY_TIME if cause == "day" else step.subject
    how = "gone" if origin.end.is_gone else "resolved"
    return [row(how, f"{step.day or 'now'}, {_source(cause, step)}: {subject}")]


def _source(cause: EpisodeCause | None, step: Step) -> str:
    if not step.commit:
        return "no commit" if cause == "day" else "on the disk"
    merge = "merge " if cause == "merge" else ""
    return f"{merge}{step.commit[:COMMIT_LETTERS]}" + (f" by {step.author}" if step.author else "")


def _vehicle(origin: FindingOrigin) -> Row:
    finding = origin.told
    assert finding is not None
    waived = f", waived until {finding.waived.until}" if finding.waived else ""
    words = f"{finding.severity.upper()}{waived}: {finding.message}"
    return row("vehicle", f"{origin.name} · {origin.file}", words, *_notes(origin))


def _notes(origin: FindingOrigin) -> Iterable[str]:
    if origin.is_from_start:
        yield "from the first version of it that can be read"
    if origin.is_unread:
        yield "versions just before could not be read"
    if origin.is_halved:
        yield (
            f"{origin.read} of {so_many(origin.of, 'commit')} read: it may have come and gone earlier"
        )


def _without(vehicles: Sequence[FindingOrigin]) -> list[Section]:
    """The vehicles without the finding, apart from those of which nobody can tell."""
    clear = [one for one in vehicles if one.step is None]
    parts = {
        "not found": [one for one in clear if not one.error],
        UNREAD: [one for one in clear if one.error],
    }
    return [Section("", (_list(label, listed),)) for label, listed in parts.items() if listed]


def _list(label: str, vehicles: Sequence[FindingOrigin]) -> Notice:
    """Those that could not be read with the reason; of several that could be the names."""
    if label == UNREAD or len(vehicles) == 1:
        rows = [row("", f"{one.name or one.file} · {one.file}", one.error) for one in vehicles]
    else:
        rows = [row("", ", ".join(one.name or one.file for one in vehicles))]
    older = "; older versions of some were not read" if any(map(_is_cut, vehicles)) else ""
    return Notice(label, (so_many(len(vehicles), "vehicle") + older,), nonempty(rows))


def _is_cut(origin: FindingOrigin) -> bool:
    return origin.is_halved and not origin.error


def record(origins: Origins) -> dict[str, Any]:
    """The same as plain data, held to `schemas/comparison.schema.json`."""
    return {
        "gonogo": ORIGINS_EDITION,
        "judged_on": origins.judged_on,
        "tool": origins.tool,
        "catalogue": origins.catalogue,
        "rule": origins.rule,
        "shallow": origins.shallow,
        "vehicles": [_origin(one) for one in origins.vehicles],
        "errors": [unread_record(error) for error in origins.unread],
    }


def _origin(one: FindingOrigin) -> dict[str, Any]:
    step, finding = one.step, one.told
    return {
        "file": one.file,
        "name": one.name,
        "found": one.finding is not None,
        "cause": one.cause,
        "commit": (step.commit or None) if step else None,
        "day": (step.day or None) if step else None,
        "author": (step.author or None) if step else None,
        "subject": (step.subject or None) if step else None,
        "severity": finding.severity if finding else None,
        "message": finding.message if finding else None,
        "waived_until": finding.waived.until if finding and finding.waived else None,
        "from_first_version": one.is_from_start,
        "unread_before": one.is_unread,
        "halved": one.is_halved,
        "read": one.read,
        "commits": one.of,
        "resolved": None if one.end is None else _resolved(one.end),
        "error": one.error or None,
    }


def _resolved(end: FindingEnd) -> dict[str, Any]:
    return {
        "cause": end.cause,
        "commit": end.step.commit or None,
        "day": end.step.day or None,
        "author": end.step.author or None,
        "subject": end.step.subject or None,
    }


def report(origins: Origins, page: Page) -> str:
    """The record as text, readable as it stands."""
    return json_text(record(origins))
