"""Files that several vehicles read and that changed: each told once, with its entries and its vehicles.

One line of a house file changes every vehicle of a shop. Who reads that forty times reads it not once.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from ..comparison.harm_sources import Harm
from ..documents.motors import entry_path
from ..documents.text import so_many
from .section import Code, Fragment, Line, Row, Section
from .shared_causes import SHARED_TITLE, few_names

HARM = "new, worse or hidden danger or fault"
FILE_CHANGED = "changed"
MOST_SOURCES = 12
MOST_SOURCE_ENTRIES = 8
MOST_TAKERS = 8


class SourceChange(NamedTuple):
    """An entry of a part, a house file or an own rule that came to say something else.

    `entry` is its key as a profile has it, `told` both values in words; `record` has them for machines.
    `became` says whether the file changed, is gone, or is new.
    """

    file: str
    entry: str
    told: str
    record: Mapping[str, Any]
    became: str = FILE_CHANGED


class SourceTaker(NamedTuple):
    """A vehicle with what changed for it elsewhere, and by the file's name what that brought."""

    name: str
    file: str
    sources: Sequence[SourceChange]
    harm: Mapping[str, Harm]


class SharedSource(NamedTuple):
    """A file that changed, what is different in it, and the vehicles that read it."""

    file: str
    entries: tuple[SourceChange, ...]
    takers: tuple[SourceTaker, ...]

    @property
    def harmed(self) -> int:
        """How many vehicles the change harms."""
        return sum(self.file in taker.harm and taker.harm[self.file].harms for taker in self.takers)

    @property
    def hidden(self) -> int:
        """Of how many vehicles a required rule is no longer checked by it."""
        return sum(self.file in taker.harm and taker.harm[self.file].hides for taker in self.takers)


def shared_sources(takers: Iterable[SourceTaker]) -> list[SharedSource]:
    """The files that changed, those that harm and then those of most vehicles first, each entry once.

    What an entry was may differ from vehicle to vehicle, where some took another default: then it
    stands there once for each. A part of several motors has each entry once.
    """
    entries: dict[str, dict[tuple[str, str], SourceChange]] = {}
    readers: dict[str, list[SourceTaker]] = {}
    for taker in takers:
        for change in taker.sources:
            told = change._replace(entry=entry_path(change.entry))
            entries.setdefault(change.file, {}).setdefault((told.entry, told.told), told)
        for file in dict.fromkeys(change.file for change in taker.sources):
            readers.setdefault(file, []).append(taker)
    found = [
        SharedSource(file, tuple(told.values()), tuple(readers[file]))
        for file, told in entries.items()
    ]
    return sorted(
        found,
        key=lambda source: (not source.harmed, not source.hidden, -len(source.takers), source.file),
    )


def sources_section(
    sources: Sequence[SharedSource], changed: int, whole: bool
) -> tuple[Section, ...]:
    """The files as a section, of `changed` vehicles in all; empty where none changed.

    Of many files and entries some are told and the others counted, unless all is to be told.
    """
    if not sources:
        return ()
    most = len(sources) if whole else MOST_SOURCES
    rows = [_source_row(source, changed, whole) for source in sources[:most]]
    more = len(sources) - len(rows)
    rows += [Row("", ((f"and {so_many(more, 'more file')} that changed",),))] if more else []
    return (Section(SHARED_TITLE, tuple(rows)),)


def _source_row(source: SharedSource, changed: int, whole: bool) -> Row:
    """`40 vehicles   house.yaml changed: drop_percent 2 → 1%`, and whom it touches."""
    most = len(source.entries) if whole else MOST_SOURCE_ENTRIES
    became = source.entries[0].became
    pieces: list[Fragment] = [Code(source.file), f" {became}: "]
    for number, change in enumerate(source.entries[:most]):
        pieces += [", " if number else "", Code(change.entry), f" {change.told}"]
    more = len(source.entries) - most
    pieces += [f", and {more} more"] if more > 0 else []
    count = len(source.takers)
    lines: list[Line] = [tuple(pieces)]
    if count < changed:
        names = [taker.name for taker in source.takers]
        lines.append((few_names(names, count if whole else MOST_TAKERS),))
    told = (
        (source.harmed, HARM),
        (source.hidden, "required rule no longer checked"),
    )
    for number, what in told:
        how_many = "all" if number == count else str(number)
        lines += [(f"{how_many} of them with a {what}",)] if number else []
    return Row(so_many(count, "vehicle"), tuple(lines), "bold")


def sources_record(sources: Iterable[SharedSource]) -> list[dict[str, Any]]:
    """The files for machines: every entry, and every vehicle by its file."""
    return [
        {
            "file": source.file,
            "changes": [dict(change.record) for change in source.entries],
            "vehicles": [taker.file for taker in source.takers],
        }
        for source in sources
    ]
