"""The history of a profile: what a report of it needs, its page, and its record for machines."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ..comparison.change import ValueChange
from ..comparison.finding_change import FindingChange
from ..comparison.history import Episode, Followed, is_less_grave
from ..documents.text import so_many
from ..expressions.formatting import shown
from ..judgement.sentences import Spoken
from ..quantities.number import is_number
from .check_totals import GONE, TONES, UNREAD, VERDICT_WORDS, verdict_note, verdict_words
from .comparison_record import change_record, finding_change_record
from .comparison_totals import CEASED_WORDS, WAY_WORDS
from .comparison_words import change_movement, of_motors, percentage, short_key, value_words
from .finding_words import modes_in_words
from .layout import Page
from .profile_share import share
from .record import counts_record, exact, house_record, json_text
from .section import Block, Card, Chart, Notice, Report, Row, Section, Tone, nonempty, row
from .surroundings import house_words

HISTORY_EDITION = "history/1"
COMMIT_LETTERS = 8
DAY_WIDTH = len("2026-11-25")
MOST_CHANGES = 8
FIRST = "the first version"
ONLY_JOINED = "what the merged commits came to together; the merge changed nothing itself"
OLDEST_HERE = "the oldest version in this clone"


@dataclass(frozen=True, slots=True)
class History:
    """A profile's episodes, the first commit first, and the value that was followed through them.

    `spoken` is how the followed value is told, as its key was entered last.
    """

    judged_on: str
    tool: str
    catalogue: str
    file: str
    name: str
    shallow: bool
    followed: Followed | None
    spoken: Spoken
    episodes: tuple[Episode, ...]
    todays_rules: bool = False

    def value(self, episode: Episode) -> Any:
        """The followed value of an episode, as entered."""
        value = episode.value
        return self.spoken.entered(value) if is_number(value) else value

    @property
    def unit(self) -> str:
        """The unit of the value as entered."""
        return self.spoken.unit_of_numbers


def page_of(history: History, page: Page) -> Report:
    """The whole story, one commit after the other, or the one value that was asked for."""
    sections = [_followed(history)] if history.followed is not None else _story(history)
    card = Card(
        verdict="HISTORY",
        tone="bold",
        name=history.name,
        about=((_about(history),),),
        sections=tuple(sections),
    )
    return Report("gonogo history", (card,))


def _about(history: History) -> str:
    count = sum(bool(episode.step.commit) for episode in history.episodes)
    words = [history.file, so_many(count, "commit")]
    by_today = f"each checked by the rules of {history.judged_on}"
    words.append(by_today if history.todays_rules else "each checked as of its own day")
    last = next((one.judgement for one in reversed(history.episodes) if one.judgement), None)
    words += [f"the last with {house_words(share(last))}"] if last is not None else []
    if history.shallow:
        words.append("shallow clone: older commits are missing")
    return " · ".join(words)


def _story(history: History) -> list[Section]:
    first = OLDEST_HERE if history.shallow else FIRST
    return [
        Section("", (_notice(episode, "" if number else first),))
        for number, episode in enumerate(history.episodes)
    ]


def _notice(episode: Episode, first: str) -> Notice:
    tone: Tone = TONES[episode.judgement.verdict] if episode.judgement else "bold"
    source = _source(episode)
    if episode.judgement and (note := verdict_note(share(episode.judgement))):
        source += f" · {note}"
    rows = [row(_short_verdict(episode), source, tone=tone), *_episode_rows(episode, first)]
    return Notice(episode.step.day or "now", (episode.step.subject,), nonempty(rows))


def _source(episode: Episode) -> str:
    """Where a step comes from: its commit and author, the disk, or time alone."""
    if not episode.step.commit:
        return "no commit" if episode.cause == "day" else "on the disk"
    merge = "merge " if episode.cause == "merge" else ""
    branch = "" if episode.is_main else ", merged later"
    author = f" by {episode.step.author}" if episode.step.author else ""
    return f"{merge}{episode.step.commit[:COMMIT_LETTERS]}{author}{branch}"


def _episode_rows(episode: Episode, first: str) -> list[Row]:
    if episode.error:
        return [row("" if episode.is_absent else "error", episode.error)]
    nothing = "" if episode.has_news or first else "no value changed"
    nothing = ONLY_JOINED if episode.is_joined else nothing
    return [
        row("", first),
        *_change_rows(episode.changes),
        *(_finding_row(change) for change in episode.finding_changes),
        *(_finding_row(change, "brought") for change in episode.brought),
        *(_waiver_row(change) for change in episode.finding_changes if episode.cause == "day"),
        row("", nothing),
    ]


def _change_rows(changes: tuple[ValueChange, ...]) -> list[Row]:
    lines = []
    for change in changes[:MOST_CHANGES]:
        by = percentage(change.share)
        mode = f" in mode {change.mode}" if change.mode else ""
        words = f"{short_key(change.entered_as)}{of_motors(change)}{mode} {change_movement(change)}"
        lines.append(f"{words}{f' ({by})' if by else ''}")
    more = len(changes) - len(lines)
    return [row("changed", *lines, f"and {more} more" if more else "")]


def _finding_row(change: FindingChange, label: str = "finding") -> Row:
    finding = change.finding
    modes = modes_in_words(change.modes, change.everywhere)
    unchecked = change.other_side == "not_checked" and change.way == "resolved"
    way = "no longer checked" if unchecked else WAY_WORDS[change.way]
    way = "no longer flagged as such" if change.is_unflagged else way
    if is_less_grave(change) and change.old is not None:
        because = ", by a change of the shop's rules" if change.is_unflagged else ""
        way = f"now, was {change.old.severity.upper()}{because}"
    where = f" {modes}" if modes else ""
    if change.is_waived_here and finding.waived:
        until = f"waived until {finding.waived.until}"
        way = until if change.way == "standing" else f"{way}, {until}"
    return row(label, f"{finding.severity.upper()} {way}{where}: {finding.message}")


def _waiver_row(change: FindingChange) -> Row:
    """Which waiver ran out, of a finding that lost it by itself."""
    waiver = change.old.waived if change.old is not None else None
    lost = waiver is not None and change.new is not None and change.new.waived is None
    return row(
        "waiver", f"{waiver.rule}: its last day was {waiver.until}" if waiver and lost else ""
    )


def _followed(history: History) -> Section:
    """The value commit by commit: a chart where it is a number, else its words."""
    assert history.followed is not None
    mode = f" in mode {history.followed.mode}" if history.followed.mode else ""
    values = [history.value(episode) for episode in history.episodes]
    numbers = tuple(value if is_number(value) else None for value in values)
    known = [value for value in numbers if value is not None]
    moved = bool(known) and min(known) < max(known)
    chart: Block = Chart(
        labels=tuple(map(_label, history.episodes, values, [history.unit] * len(values))),
        values=numbers,
        marks=tuple(map(_verdict, history.episodes)),
        low=shown(min(known), history.unit) if moved else "",
        high=shown(max(known), history.unit) if moved else "",
    )
    return Section(f"{history.followed.quantity}{mode}", (chart,))


def _label(episode: Episode, value: Any, unit: str) -> str:
    lacking = "not there" if episode.is_absent else "not read"
    words = value_words(value, unit) if episode.judgement else lacking
    return f"{(episode.step.day or 'now').ljust(DAY_WIDTH)}  {words}"


def _verdict(episode: Episode) -> str:
    if episode.judgement:
        return verdict_words(share(episode.judgement))
    if episode.is_retired:
        return CEASED_WORDS["retired"]
    return GONE if episode.is_absent else UNREAD


def _short_verdict(episode: Episode) -> str:
    """The verdict without its note, which would set the column of all that stands beside it."""
    return VERDICT_WORDS[episode.judgement.verdict] if episode.judgement else _verdict(episode)


def record(history: History) -> dict[str, Any]:
    """The whole story as plain data, held to `schemas/comparison.schema.json`."""
    return {
        "gonogo": HISTORY_EDITION,
        "judged_on": history.judged_on,
        "tool": history.tool,
        "catalogue": history.catalogue,
        "file": history.file,
        "name": history.name,
        "shallow": history.shallow,
        "todays_rules": history.todays_rules,
        "quantity": history.followed.quantity if history.followed else None,
        "unit": history.unit if history.followed else None,
        "steps": [_step(episode, history) for episode in history.episodes],
    }


def _step(episode: Episode, history: History) -> dict[str, Any]:
    judgement = episode.judgement
    step: dict[str, Any] = {
        "commit": episode.step.commit or None,
        "day": episode.step.day or None,
        "judged_on": judgement.judged_on if judgement is not None else None,
        "author": episode.step.author or None,
        "cause": episode.cause,
        "main_line": episode.is_main,
        "subject": episode.step.subject,
        "file": episode.step.path,
        "verdict": judgement.verdict if judgement is not None else None,
        "counts": counts_record(share(judgement)) if judgement is not None else None,
        "house": house_record(share(judgement)) if judgement is not None else None,
        "changes": [change_record(change) for change in episode.changes],
    }
    for way in ("introduced", "worsened", "resolved"):
        step[way] = [
            finding_change_record(change) for change in episode.finding_changes if change.way == way
        ]
    if episode.brought:
        step["brought"] = [finding_change_record(change) for change in episode.brought]
    step["error"] = episode.error or None
    value = {} if history.followed is None else {"value": exact(history.value(episode))}
    return {**step, **value}


def report(history: History, page: Page) -> str:
    """The record as text, readable as it stands."""
    return json_text(record(history))
