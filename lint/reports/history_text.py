"""A history as text: one block a commit, the newest last, and the chart of one value."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ..comparison.change import Change
from ..comparison.finding_change import Matter, Way
from ..comparison.history import Episode
from ..documents.text import clean
from ..judgement.formatting import shown
from ..quantities.number import is_number
from .check_totals import VERDICT_WORDS, modes_in_words
from .comparison_totals import WAY_WORDS
from .comparison_words import change_movement, key, percentage, value_words
from .layout import INDENT, Page, Paint, columns, painted, row, set_beside
from .told import Told

WIRE, BEAD, GAP = "·", "◆", " "


def chart(values: Sequence[float | None], width: int) -> list[str]:
    """Each value as a bead on a wire of so many columns; an empty wire where there is none.

    The left end is the least value and the right end the most, so that small steps are seen.

    >>> chart([1.0, 2.0, None, 3.0], 5)
    ['◆····', '··◆··', '     ', '····◆']
    """
    known = [value for value in values if value is not None]
    low, high = min(known, default=0.0), max(known, default=0.0)
    return [_wire(value, low, high, width) for value in values]


def _wire(value: float | None, low: float, high: float, width: int) -> str:
    if value is None:
        return GAP * width
    place = round((value - low) / (high - low) * (width - 1)) if high > low else (width - 1) // 2
    return WIRE * place + BEAD + WIRE * (width - 1 - place)


def scale(values: Sequence[float | None], width: int, unit: str) -> str:
    """What the ends of the wire stand for; empty where all values are the same.

    >>> scale([70.0, None, 95.0], 20, "A")
    '70 A            95 A'
    """
    known = [value for value in values if value is not None]
    if not known or min(known) == max(known):
        return ""
    low, high = shown(min(known), unit), shown(max(known), unit)
    return f"{low}{high.rjust(width - len(low))}"


SHORT = 8
DAY = len("2026-11-25")
LEAST_ROOM = 8
MOST_CHANGES = 8
FIRST = "the first version"
OLDEST_HERE = "the first version that this clone holds"
WAYS: tuple[Way, ...] = ("introduced", "worsened", "resolved")


def report(told: Told, page: Page) -> str:
    """The whole story, or the one value that was asked for."""
    lines = set_beside("▐ HISTORY", clean(told.name), page, 13)
    lines += set_beside("", clean(_about(told)), page, 3)
    lines.append(painted("─" * page.width, "faint", page.colour))
    if told.followed is not None:
        return "\n".join([*lines, *_followed(told, page)]) + "\n"
    for number, episode in enumerate(told.episodes):
        first = "" if number else OLDEST_HERE if told.shallow else FIRST
        lines += [*([""] if number else []), *_episode(episode, first, page)]
    return "\n".join(lines) + "\n"


def _about(told: Told) -> str:
    count = sum(bool(episode.step.commit) for episode in told.episodes)
    said = [told.file, f"{count} commit{'' if count == 1 else 's'}"]
    said.append(f"each judged as of {told.judged_on}")
    if told.shallow:
        said.append("the clone is shallow and holds only the last commits")
    return " · ".join(said)


def _episode(episode: Episode, first: str, page: Page) -> list[str]:
    paint: Paint = episode.judgement.verdict if episode.judgement else "bold"
    lines = set_beside(episode.step.day or "now", clean(episode.step.subject), page, INDENT + 1)
    words = row(_verdict(episode), episode.step.commit[:SHORT] or "on the disk", page, paint)
    lines += words
    if episode.error:
        return [*lines, *row("because", episode.error, page)]
    if first:
        lines += row("", first, page)
    lines += _changes(episode.changes, page)
    for matter in episode.matters:
        lines += _matter(matter, page)
    if not (episode.has_news or first):
        lines += row("", "no value changed", page)
    return lines


def _changes(changes: tuple[Change, ...], page: Page) -> list[str]:
    lines: list[str] = []
    for number, change in enumerate(changes[:MOST_CHANGES]):
        share = percentage(change.share)
        mode = f" in mode {change.mode}" if change.mode else ""
        said = f"{key(change.entered_as)}{mode} {change_movement(change)}"
        lines += row("" if number else "changed", f"{said}{f' ({share})' if share else ''}", page)
    more = len(changes) - MOST_CHANGES
    return lines + row("", f"and {more} more", page) if more > 0 else lines


def _matter(matter: Matter, page: Page) -> list[str]:
    finding = matter.finding
    modes = modes_in_words(matter.modes, matter.everywhere)
    said = f"{finding.severity.upper()} {WAY_WORDS[matter.way]}: {finding.message}"
    if matter.elsewhere == "not_judged" and matter.way == "resolved":
        said = f"{finding.severity.upper()} not judged any more: {finding.message}"
    return row("finding", f"{said}{f' {modes}' if modes else ''}", page)


def _followed(told: Told, page: Page) -> list[str]:
    """The value commit by commit: a chart where it is a number, else its words."""
    assert told.followed is not None
    mode = f" in mode {told.followed.mode}" if told.followed.mode else ""
    lines = set_beside("", f"{told.followed.quantity}{mode}", page, 1)
    shown = [(episode, told.value(episode)) for episode in told.episodes]
    labels = [_label(episode, value, told.unit) for episode, value in shown]
    width = max(columns(label) for label in labels)
    numbers = [value if is_number(value) else None for _, value in shown]
    marks = [_verdict(episode) for episode, _ in shown]
    room = page.width - width - max(map(len, marks)) - 7
    drawn = chart(numbers, max(room, LEAST_ROOM))
    ends = scale(numbers, max(room, LEAST_ROOM), told.unit)
    lines += [f"{' ' * (width + 3)}{ends}"] if ends else []
    for label, bar, mark in zip(labels, drawn, marks, strict=True):
        gap = " " * (width - columns(label))
        lines.append(f" {clean(label)}{gap}  {bar}  {mark}".rstrip())
    return lines


def _label(episode: Episode, value: Any, unit: str) -> str:
    words = value_words(value, unit) if episode.judgement else "not read"
    return f"{(episode.step.day or 'now').ljust(DAY)}  {words}"


def _verdict(episode: Episode) -> str:
    return VERDICT_WORDS[episode.judgement.verdict] if episode.judgement else "NOT READ"
