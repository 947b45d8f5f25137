"""The working of a quantity as text: a tree from its value down to what was given."""

from __future__ import annotations

from typing import Any

from ..documents.location import Place
from ..documents.profile import Profile
from ..documents.text import clean
from ..judgement.explanation import formulas
from ..judgement.formatting import shown
from ..quantities.book import Book, Entry
from ..quantities.registry import unit_of
from .layout import Page, columns, painted, set_beside, together
from .record import exact

INDENT = 12
DEEPEST = 24
ORIGIN_WORDS = {
    "typical": "typical of the chemistry",
    "house": "the shop's allowance, as it comes",
    "unknown": "not told",
    "absent": "the vehicle has none",
}


def tree(name: str, book: Book, profile: Profile, page: Page, mode: str = "") -> str:
    """How a quantity came about, each quantity once; below it what its formula takes."""
    about = f"{profile.name}, {profile.file}" + (f", mode {mode}" if mode else "")
    title = f" {painted('WORKING', 'bold', page.colour)}{' ' * (INDENT - 8)}{clean(name)}"
    rule = painted("─" * page.width, "faint", page.colour)
    lines = [title, *set_beside("", clean(about), page, INDENT), rule]
    _Tree(book, profile, page, lines).grow(name, "", "")
    return "\n".join(lines) + "\n"


class _Tree:
    """Writes an entry and what lies below it; one seen before is not told again."""

    def __init__(self, book: Book, profile: Profile, page: Page, lines: list[str]) -> None:
        self.book, self.profile, self.page, self.lines = book, profile, page, lines
        self.told: set[str] = set()

    def grow(self, name: str, branch: str, below: str) -> None:
        """One entry: `branch` stands before its first line, `below` before the others."""
        entry = self.book.entry(name)
        known = name in self.told
        self.told.add(name)
        self._say(f"{name} = {value_words(entry)}{self._standing(entry, known)}", branch, below)
        if known or entry.worked is None:
            return
        inner = below + ("│" if entry.inputs else " ")
        names, numbers = formulas(entry.worked, self.book)
        self._say(f"= {names}", f"{inner} ", f"{inner}   ")
        if entry.operand.known and numbers not in (names, value_words(entry)):
            self._say(f"= {numbers}", f"{inner} ", f"{inner}   ")
        if entry.operand.reason:
            self._say(entry.operand.reason, f"{inner} ", f"{inner} ")
        self._say(f"source: {entry.worked.source}", f"{inner} ", f"{inner}   ", faint=True)
        for number, under in enumerate(entry.inputs):
            last = number == len(entry.inputs) - 1
            self.grow(under, below + ("└─ " if last else "├─ "), below + ("   " if last else "│  "))

    def _say(self, text: str, first: str, rest: str, faint: bool = False) -> None:
        room = max(self.page.width - columns(rest) - 1, DEEPEST)
        page = Page(width=room)
        for number, line in enumerate(set_beside("", together(clean(text)), page, 0)):
            told = painted(line.strip(), "faint", self.page.colour) if faint else line.strip()
            self.lines.append(f" {rest if number else first}{told}")

    def _standing(self, entry: Entry, known: bool) -> str:
        """Where a value comes from: its file and line, or in a word what it is."""
        words = ORIGIN_WORDS.get(entry.origin, "as above" if known else "")
        told = self.profile.house.allowances.get(entry.name)
        if entry.given is not None:
            words = given_words(entry)
        elif entry.name == "judged.on":
            words = "the day to judge by"
        elif told is not None:
            words = f"the shop's allowance, {place_words(told.place)}"
        return f" ({words})" if words else ""


def value_words(entry: Entry) -> str:
    """The value with its unit, and whether it is only a bound."""
    if not entry.operand.known:
        return "?"
    side = "" if entry.operand.side == "exact" else f"{entry.operand.side} "
    return f"{side}{shown(entry.value, unit_of(entry.name))}"


def given_words(entry: Entry) -> str:
    """That a value is given, where, and how it was entered if under another key."""
    given = entry.given
    assert given is not None
    other = ""
    if given.factor != 1.0:
        key = given.entered_as.rsplit(".", 1)[-1]
        other = f" as {key}: {given.entered:g}"
    return f"given{other}, {place_words(given.place)}"


def place_words(place: Place) -> str:
    """A file and a line: `vehicles/larch.yaml line 7`."""
    return f"{place.file} line\u00a0{place.line}"


def node(name: str, book: Book, told: set[str] | None = None) -> dict[str, Any]:
    """The same tree as data."""
    told = set() if told is None else told
    entry = book.entry(name)
    said: dict[str, Any] = {
        "quantity": name,
        "value": exact(entry.value),
        "unit": unit_of(name),
        "origin": entry.origin,
        "side": entry.operand.side,
    }
    if entry.given is not None:
        place = entry.given.place
        said |= {"file": place.file, "line": place.line, "column": place.column}
    if entry.worked is not None and name not in told:
        told.add(name)
        said["formula"] = formulas(entry.worked, book)[0]
        said["source"] = entry.worked.source
        said["from"] = [node(under, book, told) for under in entry.inputs]
    if entry.operand.missing:
        said["missing"] = sorted(entry.operand.missing)
    return said
