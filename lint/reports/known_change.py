"""What recording known findings changes: what is added, made larger, taken off and kept."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from ..documents.known import shown_entry
from ..documents.text import so_many
from ..judgement.finding import Judgement
from .check_totals import Unread
from .section import Card, Code, Line, Notice, Report, Row, Section, nonempty, row
from .unread_cards import unread_cards


class VehicleChange(NamedTuple):
    """What passes for one vehicle, each finding or rule in few words; `kept` counts the rest."""

    name: str
    file: str
    added: tuple[str, ...] = ()
    larger: tuple[str, ...] = ()
    taken_off: tuple[str, ...] = ()
    untold: tuple[str, ...] = ()
    asks_added: tuple[str, ...] = ()
    answered: int = 0
    kept: int = 0

    @property
    def is_quiet(self) -> bool:
        """Whether the list says the same of it as before."""
        return not (self.added or self.larger or self.taken_off or self.asks_added or self.answered)


class KnownChange(NamedTuple):
    """What passes for a whole list, and what of it was not looked at or has no profile any more."""

    file: str
    day: str
    vehicles: tuple[VehicleChange, ...]
    not_looked_at: tuple[str, ...]
    gone: tuple[str, ...]
    unread: tuple[Unread, ...]
    written: bool = False


def vehicle_change(name: str, file: str, judgement: Judgement) -> VehicleChange:
    """What passes for a vehicle that was held against the list."""
    known = judgement.known
    assert known is not None
    marked = [(one, one.known) for one in judgement.findings if one.known is not None]
    fresh = [one for one, mark in marked if mark.state == "new"]
    larger = [one for one, mark in marked if mark.state == "worse"]
    asks = [
        one.rule.id
        for one in judgement.not_checked
        if one.known is not None and one.known.state == "new"
    ]
    return VehicleChange(
        name=name,
        file=file,
        added=tuple(f"{one.severity}: {one.rule.id}" for one in fresh),
        larger=tuple(f"{one.severity}: {one.rule.id}" for one in larger),
        taken_off=tuple(
            f"{one.severity}: {shown_entry(one)}"
            for one in (*known.mended, *known.off, *known.waived)
        ),
        untold=tuple(f"{one.severity}: {shown_entry(one)}" for one in known.unchecked),
        asks_added=tuple(dict.fromkeys(asks)),
        answered=known.answered,
        kept=known.recorded + len(known.told_with) + len(known.unchecked),
    )


def known_page(change: KnownChange) -> Report:
    """A card of the whole list, with what passes for each vehicle on which something does."""
    sections = [_section(one) for one in change.vehicles if not one.is_quiet or one.untold]
    sums = {
        "added": sum(len(one.added) for one in change.vehicles),
        "made larger": sum(len(one.larger) for one in change.vehicles),
        "taken off": sum(len(one.taken_off) for one in change.vehicles),
        "kept": sum(one.kept for one in change.vehicles),
    }
    told = ", ".join(f"{count} {word}" for word, count in sums.items() if count) or "no finding"
    verdict = "WRITTEN" if change.written else "NOT WRITTEN"
    card = Card(
        verdict=verdict,
        tone="incomplete" if change.unread or not change.written else "go",
        name=change.file,
        coverage=told,
        about=((f"{so_many(len(change.vehicles), 'vehicle')}, as of {change.day}",),),
        sections=tuple(sections),
        closing=tuple(_closing(change)),
    )
    return Report("gonogo known", (card, *unread_cards(change.unread)))


def _section(one: VehicleChange) -> Section:
    asked = f"{so_many(len(one.asks_added), 'required rule')} not checked" if one.asks_added else ""
    answered = f"{so_many(one.answered, 'required rule')} checked now" if one.answered else ""
    rows = nonempty(
        [
            _list("added", (*one.added, asked)),
            _list("larger", one.larger),
            _list("taken off", (*one.taken_off, answered)),
            _list("kept", [f"{name}, no longer checked" for name in one.untold]),
        ]
    )
    return Section("", (Notice("", (one.name, ", ", Code(one.file)), rows, "bold"),), "list")


def _list(label: str, words: Iterable[str]) -> Row:
    lines: list[Line] = [(word,) for word in words if word]
    return row(label, *lines)


def _closing(change: KnownChange) -> Iterator[Row]:
    quiet = sum(one.is_quiet and not one.untold for one in change.vehicles)
    rows = [
        row("unchanged", so_many(quiet, "vehicle") if quiet else ""),
        row("not seen", ", ".join(change.not_looked_at)),
        row("no profile", ", ".join(change.gone)),
    ]
    if change.unread:
        rows.append(row("to do", "correct what cannot be read; until then nothing is written"))
    elif not change.written:
        rows.append(row("to do", "add `--write` to write the list: so far nothing is written"))
    yield from nonempty(rows)
