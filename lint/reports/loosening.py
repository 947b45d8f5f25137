"""What a shop asks less than before, told once for all its vehicles: by the file and the entry that was changed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from ..comparison.change import InnerChange
from ..comparison.loosening import LoosenedAs, Loosening
from ..documents.text import cut, so_many
from .check_totals import GONE
from .comparison_fleet import listed_names
from .comparison_totals import Compared
from .comparison_words import inner_movement, movement
from .record import exact
from .section import Card, Code, Line, Row, Section, row
from .shared_causes import few_names

ASKS_LESS = "ASKS FOR LESS"
MOST_LOOSENED = 12  # entries
MOST_LOOSENED_FOR = 8  # vehicles
MOST_INNER = 3
MOST_ROOM = 3  # rules
WAYS_LOOSENED: Mapping[LoosenedAs, tuple[str, str]] = {
    "check": ("check gone", "checks gone"),
    "severity": ("severity lowered", "severities lowered"),
    "required": ("entry no longer required", "entries no longer required"),
    "rule": ("rule loosened", "rules loosened"),
    "allowance": ("allowance widened", "allowances widened"),
}


class SharedLoosening(NamedTuple):
    """One entry that asks for less, the file in which it was changed, and the vehicles that it was for."""

    file: str
    loosening: Loosening
    names: tuple[str, ...]
    vehicles: tuple[str, ...]


def shared_loosenings(compared: Compared) -> list[SharedLoosening]:
    """Each entry once with its vehicles: what harms first, then what most vehicles lose.

    Of a house file that is gone a word of its own says that nothing of it holds.
    """
    gone = {error.file for error in compared.unread if error.label == GONE}
    names = listed_names(compared)
    files: dict[tuple[str, Loosening], list[str]] = {}
    for revised in compared.revised:
        sources = {source.entry: source.file for source in revised.sources}
        for loosening in revised.loosened:
            file = sources.get(loosening.entry, "")
            if file not in gone:
                files.setdefault((file, loosening), []).append(revised.side.file)
    found = [
        SharedLoosening(file, loosening, tuple(names[one] for one in some), tuple(some))
        for (file, loosening), some in files.items()
    ]
    return sorted(found, key=_first_told)


def _first_told(one: SharedLoosening) -> tuple[bool, int, str, int, str]:
    way = [*WAYS_LOOSENED].index(one.loosening.way)
    entry = one.loosening.entry
    return not one.loosening.harms, -len(one.vehicles), one.file, way, entry


def loosened_words(loosening: Loosening) -> str:
    """`rules.shop-current gone (fault)`, `severities.X fault → advice`, `rules.X at_most 70 → 80`."""
    way, entry = loosening.way, loosening.entry
    if way == "check":
        return f"{entry} gone" + (f" ({loosening.severity})" if loosening.severity else "")
    if way == "required":
        return f"{entry} gone"
    inside = loosening.inside[:MOST_INNER]
    told = ", ".join(_inner_words(one, loosening.unit) for one in inside)
    more = len(loosening.inside) - len(inside)
    told += f", and {more} more" if more else ""
    if way == "allowance":
        return f"{entry} {told}: more room for {few_names(loosening.rules, MOST_ROOM)}"
    doubt = "" if loosening.is_certain else ", which may ask for less"
    return f"{entry} {told}{doubt}"


def _inner_words(change: InnerChange, unit: str) -> str:
    moved = (
        movement(change.old, change.new, unit) if unit else inner_movement(change.old, change.new)
    )
    return cut(f"{change.at} {moved}".strip())


def loosened_sum(loosened: Iterable[Loosening]) -> str:
    """`2 checks gone, 1 entry no longer required`; empty where the shop asks for all that it did."""
    amounts = Counter(one.way for one in loosened)
    return ", ".join(
        f"{amounts[way]} {one if amounts[way] == 1 else several}"
        for way, (one, several) in WAYS_LOOSENED.items()
        if amounts[way]
    )


def loosened_row(loosened: Sequence[Loosening]) -> tuple[Row, ...]:
    """The same for one vehicle, among the lines that are read first."""
    lines: list[Line] = [(f"{loosened_words(one)}",) for one in loosened[:MOST_LOOSENED]]
    more = len(loosened) - len(lines)
    lines += [(f"and {more} more",)] if more > 0 else []
    return (row("asks less", *lines, tone="bold"),) if lines else ()


def loosened_cards(compared: Compared, whole: bool) -> list[Card]:
    """A card for each file by which its shop asks for less; of a tree alone."""
    if compared.against is None:
        return []
    shared, of = shared_loosenings(compared), compared.on_both_sides
    files = dict.fromkeys(one.file for one in shared)
    return [_card([one for one in shared if one.file == file], file, of, whole) for file in files]


def _card(some: Sequence[SharedLoosening], file: str, of: int, whole: bool) -> Card:
    most = len(some) if whole else MOST_LOOSENED
    rows = [
        Row(WAYS_LOOSENED[one.loosening.way][0], _lines(one, of, whole), "bold")
        for one in some[:most]
    ]
    more = len(some) - len(rows)
    rows += [Row("", ((f"and {more} more",),))] if more else []
    summed = loosened_sum(one.loosening for one in some)
    words = f"{summed}: {_whose(some)}"
    harms = any(one.loosening.harms for one in some)
    return Card(
        verdict=ASKS_LESS,
        tone="no-go" if harms else "advice",
        name=file or "the house file",
        about=((words,),),
        sections=(Section("", tuple(rows)),),
        brief=(file or "the house file", words, ""),
    )


def _whose(some: Sequence[SharedLoosening]) -> str:
    return so_many(len({file for one in some for file in one.vehicles}), "vehicle")


def _lines(one: SharedLoosening, of: int, whole: bool) -> tuple[Line, ...]:
    lines: list[Line] = [(Code(loosened_words(one.loosening)),)]
    count = len(one.vehicles)
    if count < of:
        lines.append((few_names(one.names, count if whole else MOST_LOOSENED_FOR),))
    return tuple(lines)


def loosening_told(one: SharedLoosening) -> str:
    """One entry in a sentence's worth, for formats that have a line for it."""
    way = WAYS_LOOSENED[one.loosening.way][0]
    return f"{way}: {loosened_words(one.loosening)} · {so_many(len(one.vehicles), 'vehicle')}"


def loosening_record(loosening: Loosening) -> dict[str, Any]:
    """The same for machines."""
    return {
        "entry": loosening.entry,
        "way": loosening.way,
        "severity": loosening.severity,
        "harms": loosening.harms,
        "certain": loosening.is_certain,
        "inside": [
            {"at": one.at, "old": exact(one.old), "new": exact(one.new)} for one in loosening.inside
        ],
        "rules": list(loosening.rules),
    }


def loosenings_record(compared: Compared) -> dict[str, Any]:
    """The list of a tree, each entry once with its file and vehicles; nothing where there is none."""
    told = [
        {"file": one.file, **loosening_record(one.loosening), "vehicles": list(one.vehicles)}
        for one in shared_loosenings(compared)
    ]
    return {"loosened": told} if told else {}
