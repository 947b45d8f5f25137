"""The keys of a profile as a page: what a first ride needs, what the hand-over, and all the others."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import groupby
from math import inf
from typing import Any

from ..documents.contents import contents
from ..documents.given import load_entries
from ..documents.schema import Property, SchemaSection, outline
from ..documents.spelling import TABLES
from ..documents.text import alternatives
from ..documents.trade_units import is_trade_key
from ..documents.units import unit_symbol
from ..expressions.formatting import listed, number, shown
from ..expressions.names import title_of
from ..judgement.catalogue import RULES
from ..judgement.entry_uses import EntryUse, Need, entry_uses, uses_under
from ..judgement.proposal import starting_points
from ..judgement.rule import Rule
from ..quantities.registry import CHEMISTRY, TYPICAL, WORKED
from .section import Card, Code, Line, Notice, Passage, Report, Section, Table, nonempty, row
from .topic import inline

_TITLE = "Keys: every entry of a profile, and what it is needed for"
_TIERS: Mapping[Need, tuple[str, str]] = {
    Need.STAND: (
        "First ride, before the stand",
        "Rules that may not stay unchecked before the motor turns wait for these.",
    ),
    Need.RIDE: (
        "First ride, before the ride",
        "Rules that may not stay unchecked before somebody rides wait for these.",
    ),
    Need.BESIDE: (
        "First ride, beside them",
        "Those above can be worked out of these; other settings and readings of it are here too.",
    ),
    Need.HAND_OVER: ("Hand-over", "A complete profile has these too, or says none."),
    Need.REST: (
        "All others",
        "They make a calculated value more exact, or stand for another entry.",
    ),
}
_HOW = (
    "`none` says that the vehicle has no such thing. What `modes` holds is in `gonogo help profile`,"
    " `part` in `gonogo help parts` and `waivers` in `gonogo help waivers`."
)
_MOST_NAMED = 8  # rules that only calculate with a key, where all keys are listed
_ENTERED, _NOT_MEASURED = "settings.", "none"
_KINDS = {
    "integer": "a whole number",
    "date": "a date, such as 2026-11-25",
    "boolean": "true or false",
    "settings": "a section with a key for each setting",
}


def keys_page(full: bool) -> Report:
    """All keys in their tiers: in one line each, or in full."""
    tiers = groupby(sorted(entry_uses(), key=lambda use: list(Need).index(use.need)), _need_of)
    sections = [_tier(need, list(uses), full) for need, uses in tiers]
    return Report(_TITLE, (Card("", "bold", _TITLE, sections=(*sections, _closing(full))),))


def keys_under(name: str) -> Report | None:
    """The keys of that name in full; None where there are none."""
    uses = uses_under(name)
    if not uses:
        return None
    title = f"Key {uses[0].entry.path}" if len(uses) == 1 else f"Keys of {name}"
    section = Section("", tuple(map(_in_full, uses)), "list")
    return Report(title, (Card("", "bold", title, sections=(section,)),))


def keys_with(words: str) -> Report | None:
    """The sections and keys in whose names all those words stand, whoever calls them so."""
    asked = _plain(words)
    sections = tuple(
        ((Code(name),), (_also_called(name, asked),))
        for name in _sections()
        if asked <= _plain(" ".join((name, *_phrases(name, asked))))
    )
    uses = [
        use
        for use in entry_uses()
        if use.entry.kind != "section" and asked <= _plain(_spoken(use, asked))
    ]
    if not asked or not (sections or uses):
        return None
    title = f"Keys with the word {words}"
    told: list[Section] = []
    if sections:
        says = Passage(inline("`gonogo help SECTION` explains all keys of one."))
        rows = Table(("section", "called"), sections, labels=False)
        told.append(Section("Sections", (says, rows)))
    if uses:
        says = Passage(inline("`gonogo help KEY` explains one."))
        told.append(Section("Keys", (says, _in_lines(uses))))
    return Report(title, (Card("", "bold", title, sections=tuple(told)),))


def _sections() -> Iterator[str]:
    return (one.path for one in outline().all_sections() if one.path)


def _also_called(name: str, asked: frozenset[str]) -> str:
    words = [phrase for phrase in _phrases(name, asked) if asked & _plain(phrase)]
    return f"also called {alternatives(words)}" if words else ""


def _spoken(use: EntryUse, asked: frozenset[str]) -> str:
    """All words by which a key is called."""
    key = use.entry.path.rpartition(".")[2]
    return " ".join((key, title_of(use.entry.quantity), *_phrases(key, asked)))


def _phrases(name: str, asked: frozenset[str]) -> list[str]:
    """What others call a section or key: what may be one of several only if it is asked for whole."""
    key = name.rpartition(".")[2]
    sure = list(_called(key, among=False))
    return sure + [one for one in _called(key) if one not in sure and _plain(one) == asked]


def _plain(words: str) -> frozenset[str]:
    """Words without case, dashes and the ending of a plural.

    >>> sorted(_plain("Battery-Cables"))
    ['battery', 'cable']
    """
    bare = re.split(r"[\W_]+", words.lower())
    return frozenset(word[:-1] if word[3:] and word[-1] == "s" else word for word in bare if word)


def _need_of(use: EntryUse) -> Need:
    return use.need


def _tier(need: Need, uses: Sequence[EntryUse], full: bool) -> Section:
    title, about = _TIERS[need]
    if full:
        notices = (_in_full(use, _MOST_NAMED) for use in uses)
        return Section(title, (Passage((about,)), *notices), "list")
    return Section(title, (Passage((about,)), _in_lines(uses)))


def _closing(full: bool) -> Section:
    asks = (
        () if full else (Passage(inline("`gonogo help KEY` explains one, `--all` all of them.")),)
    )
    return Section("", (Passage(inline(_HOW)), *asks))


def _in_lines(uses: Sequence[EntryUse]) -> Table:
    """A key a line, by section."""
    sections: dict[str, list[tuple[Line, ...]]] = {}
    for use in uses:
        section, _, key = use.entry.path.rpartition(".")
        unit = "section" if use.entry.kind == "section" else unit_symbol(use.entry.unit)
        unit = unit.removesuffix(" electrical")  # as its title says
        line = ((f"  {key}",), (unit,), (title_of(use.entry.quantity),))
        sections.setdefault(section or "profile", []).append(line)
    rows: list[tuple[Line, ...]] = []
    for section, lines in sections.items():
        rows += [((Code(section),), (), ()), *lines]
    return Table(("key", "unit", "what it is"), tuple(rows), labels=False, headed=True)


def _in_full(use: EntryUse, most: int = 2 * _MOST_NAMED) -> Notice:
    entry = use.entry
    told = _told().get(entry.quantity) or _told().get(entry.path, {})
    measured = told.get("measure", "")
    measured = "" if measured.casefold().rstrip(".") == _NOT_MEASURED else measured
    part = part_that_holds(entry.path)
    rows = (
        row("is for", entry.description),
        row("may be", _may_be(entry)),
        row("on a label", told.get("label", "")),
        row("also called", ", ".join(_called(entry.path.rpartition(".")[2], among=False))),
        row("measure", measured),
        row("to know it", "" if measured else entry.ask),
        row("part file", f"yes, of the kind {part}" if part else "no: it belongs to the vehicle"),
        row("left out", *_left_out(entry)),
        row("or as", *[(Code(other.path), f", {_may_be(other)}") for other in use.others]),
        row("needed", _TIERS[use.need][0].lower()),
        row("rules", _names(use.readers), _calculating(use, most)),
    )
    title = title_of(entry.quantity)
    return Notice("key", (Code(entry.path), f": {title}"), nonempty(rows), "bold")


@lru_cache(maxsize=1)
def _told() -> Mapping[str, Mapping[str, Any]]:
    """What labels and workshops say of an entry, and the measurement that replaces a label."""
    return {one["of"]: one for one in contents(RULES, "questions")["questions"]}


def _called(key: str, among: bool = True) -> Iterator[str]:
    """What other trades and workshops call a key; `among` several, unless that is not wanted."""
    for one in contents(TABLES, "other_words")["keys"]:
        if key in (one.get("means"), *(one.get("among", ()) if among else ())):
            words = (str(word) for word in one["words"])
            yield from (word.replace("_", " ") for word in words if word.replace("_", "").isalpha())


@lru_cache(maxsize=1)
def _parts() -> Mapping[str, str]:
    """The kind of part of each section that a part file can fill, by the section's path."""
    found = {one.path: one.takes for one in outline().all_sections() if one.takes}
    return dict(sorted(found.items(), key=lambda item: -len(item[0])))


def part_that_holds(path: str) -> str:
    """The kind of part file that may hold a key, the smallest; empty where none may.

    >>> part_that_holds("pack.cell.full_V"), part_that_holds("settings.max_rpm")
    ('cell', '')
    """
    return next((kind for section, kind in _parts().items() if path.startswith(f"{section}.")), "")


def _may_be(entry: Property) -> str:
    """The unit, step and range of a number, or the words that are allowed."""
    none = ", or none" if entry.can_be_none and "none" not in entry.choices else ""
    if entry.kind == "section":
        keys = ", ".join(_keys_of(entry.path))
        return f"a section{none}" + (f" with {keys}" if keys else "")
    if entry.choices:
        some = "one or several of " if entry.kind == "list" else ""
        return some + alternatives(entry.choices) + none
    if entry.kind == "loads":
        keys = ", ".join(key for key in load_entries() if not is_trade_key(key))
        return f"a section for each load, under a name of its own, with {keys}{none}"
    if not entry.unit and entry.kind not in ("number", "integer", "list"):
        return (
            _KINDS.get(entry.kind, "a text" if entry.kind == "text" else "a list of stages") + none
        )
    what = _KINDS.get(entry.kind, "a number or a list" if entry.kind == "list" else "a number")
    unit = f" in {unit_symbol(entry.unit)}" if entry.unit else ""
    return f"{what}{unit}{_span(entry)}{none}"


def _keys_of(path: str) -> Iterator[str]:
    section: Any = outline()
    for key in path.split("."):
        section = section.entries[key]
    if isinstance(section, SchemaSection):
        yield from section.entries


def _span(entry: Property) -> str:
    words = ""
    if entry.lowest is not None and entry.highest is not None:
        above = "above " if entry.strictly_above else "from "
        link = " up to " if entry.strictly_above else " to "
        words = f", {above}{number(entry.lowest)}{link}{number(entry.highest)}"
    typed_in = entry.quantity.startswith(_ENTERED) and entry.kind != "integer"
    return words + (f", in steps of {number(entry.step)}" if entry.step and typed_in else "")


def _left_out(entry: Property) -> list[Line | str]:
    """What stands for an entry that is not given, where anything does."""
    lines: list[Line | str] = []
    if entry.quantity in TYPICAL:
        lines.append(f"what is typical of the chemistry stands for it, if {CHEMISTRY} is given")
    for spec in WORKED.get(entry.quantity, ()):
        lines.append(
            f"calculated from {listed(sorted(map(title_of, spec.inputs.values())), 'and')}"
        )
    for spec in (spec for specs in WORKED.values() for spec in specs):
        for argument, value in spec.defaults.items():
            if spec.inputs.get(argument) == entry.quantity and _counts(value):
                lines.append(f"counts as {shown(value, entry.unit)} for the {title_of(spec.name)}")
    point = starting_points().get(entry.quantity)
    if point is not None:
        lines.append(inline(f"`gonogo fill` proposes a first value. {point.because}"))
    return list(dict.fromkeys(lines))


def _counts(value: object) -> bool:
    """Whether what stands for a missing entry says more than that there is none."""
    return isinstance(value, int | float) and not isinstance(value, bool) and 0 < value < inf


def _calculating(use: EntryUse, most: int | None) -> str:
    """The rules that read a key only through what is calculated from it."""
    words = _names(use.through, most)
    return f"through calculated values: {words}" if words else ""


def _names(rules: Sequence[Rule], most: int | None = None) -> str:
    names = [rule.id for rule in rules[:most]]
    more = len(rules) - len(names)
    return ", ".join([*names, f"and {more} more"] if more else names)
