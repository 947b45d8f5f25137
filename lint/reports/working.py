"""The working of a quantity: a tree from its value down to what was given, and as a record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any

from ..comparison.statement import rank
from ..documents.location import Place
from ..documents.profile import Profile
from ..documents.trade_units import is_trade_key
from ..expressions.formatting import shown
from ..expressions.names import title_of
from ..judgement.explanation import formulas
from ..quantities.book import Book, Entry
from ..quantities.number import is_number
from ..quantities.registry import WORKED, unit_of
from .finding_words import DEFAULT, OF_THE_SHOP
from .record import exact
from .section import Card, Code, Line, Report, Section, Table, Toned, TreeRow

WORKING_EDITION = "working/1"
NOTHING_TOLD: Mapping[str, str] = MappingProxyType({})
ASK = "`gonogo working PROFILE QUANTITY` shows how one came about; ? is not known."
ORIGIN_WORDS = {
    "typical": "typical of the chemistry",
    "house": DEFAULT,
    "unknown": "missing",
    "absent": "none on this vehicle",
}


def page_of(name: str, book: Book, profile: Profile, mode: str = "") -> Report:
    """How a quantity came about, each quantity once; below it what its formula takes."""
    return Report("gonogo working", (card_of(name, book, profile, mode),))


def card_of(
    name: str,
    book: Book,
    profile: Profile,
    mode: str = "",
    who: str = "",
    told: Mapping[str, str] = NOTHING_TOLD,
) -> Card:
    """The same as a card; `who` has the quantity, `told` says how some come about of several motors."""
    about = f"{profile.name}, {profile.file}" + (f", mode {mode}" if mode else "")
    return Card(
        verdict="WORKING",
        tone="bold",
        name=name,
        about=((f"{about}: {who}" if who else about,),),
        sections=(Section("", (_branch(name, book, profile, set(), told),)),),
        stamped=False,
    )


def list_page(book: Book, profile: Profile, mode: str = "") -> Report:
    """Every quantity that is worked out on this vehicle, by section, with its value and title."""
    sections: dict[str, list[tuple[Line, ...]]] = {}
    for name in worked_on(book):
        sections.setdefault(name.split(".")[0], []).append(row_of(name, name, book))
    rows: list[tuple[Line, ...]] = []
    for section in sorted(sections, key=lambda name: (rank(name), name)):
        rows += [((Toned(section, "bold"),), (), ()), *sections[section]]
    return listed_page(rows, profile, mode)


def row_of(name: str, key: str, book: Book) -> tuple[Line, ...]:
    """A quantity in the list: the key to ask for it by, its value, its title."""
    return (Code(key),), (value_in_book(book.entry(name)),), (title_of(name),)


def listed_page(rows: Sequence[tuple[Line, ...]], profile: Profile, mode: str) -> Report:
    """The list of quantities as a page."""
    table = Table(
        ("quantity", "value", "what it is"), tuple(rows), labels=False, right=(1,), headed=True
    )
    about = f"{profile.name}, {profile.file}" + (f", mode {mode}" if mode else "")
    card = Card(
        verdict="WORKING",
        tone="bold",
        name="quantities",
        about=((about,),),
        sections=(Section("", (table,)),),
        stamped=False,
    )
    return Report("gonogo working", (card,), closing=ASK, alone=False)


def worked_on(book: Book) -> list[str]:
    """The worked quantities that this vehicle has, in the order of their modules."""
    return [name for name in WORKED if not book.is_absent(name)]


def list_record(book: Book, profile: Profile, mode: str | None) -> dict[str, Any]:
    """The same list as data."""
    return {
        **head_record(profile, mode),
        "quantities": [quantity_record(name, book) for name in worked_on(book)],
    }


def head_record(profile: Profile, mode: str | None) -> dict[str, Any]:
    """What a quantity is told of."""
    return {"gonogo": WORKING_EDITION, "file": profile.file, "mode": mode}


def quantity_record(name: str, book: Book) -> dict[str, Any]:
    """A quantity of the list as data."""
    return {
        "quantity": name,
        "value": exact(book.entry(name).value),
        "unit": unit_of(name),
        "side": book.entry(name).operand.side,
        "title": title_of(name),
    }


def _branch(
    name: str, book: Book, profile: Profile, explained: set[str], told: Mapping[str, str]
) -> TreeRow:
    """An entry and what lies below it; one seen before is not explained again."""
    entry = book.entry(name)
    known = name in explained
    explained.add(name)
    if name in told:
        return TreeRow(f"{name} = {value_in_book(entry)} ({told[name]})", (), ())
    head = f"{name} = {value_in_book(entry)}{_standing(entry, profile, known)}"
    if known or entry.worked is None:
        return TreeRow(head, (), ())
    names, numbers = formulas(entry.worked, book)
    about: list[Line] = [(f"= {names}",)]
    if entry.operand.known and numbers not in (names, value_in_book(entry)):
        about.append((f"= {numbers}",))
    if entry.operand.reason:
        about.append((entry.operand.reason,))
    about.append((Toned(f"source: {entry.worked.source}", "faint"),))
    branches = [_branch(under, book, profile, explained, told) for under in entry.inputs]
    return TreeRow(head, tuple(about), tuple(branches))


def _standing(entry: Entry, profile: Profile, known: bool) -> str:
    """Where a value comes from: its file and line, or in a word what it is."""
    words = ORIGIN_WORDS.get(entry.origin, "as above" if known else "")
    allowance = profile.house.allowances.get(entry.name)
    if entry.given is not None:
        words = _given_words(entry)
    elif entry.name == "judged.on":
        words = "day of the check"
    elif allowance is not None:
        words = f"{OF_THE_SHOP}, {_place_words(allowance.place)}"
    return f" ({words})" if words else ""


def value_in_book(entry: Entry) -> str:
    """The value with its unit, and whether it is only a bound."""
    if not entry.operand.known:
        return "?"
    side = "" if entry.operand.side == "exact" else f"{entry.operand.side} "
    return f"{side}{shown(entry.value, unit_of(entry.name))}"


def _given_words(entry: Entry) -> str:
    """That a value is given, where, and how it was entered if under another key."""
    given = entry.given
    assert given is not None
    other = ""
    key = given.entered_as.rsplit(".", 1)[-1]
    if given.factor != 1.0 or is_trade_key(key):
        words = f"{given.entered:g}" if is_number(given.entered) else given.entered
        other = f" as {key}: {words}"
    return f"given{other}, {_place_words(given.place)}"


def _place_words(place: Place) -> str:
    """A file and a line: `vehicles/larch.yaml line 7`."""
    return f"{place.file} line\u00a0{place.line}"


def record(name: str, book: Book, profile: Profile, mode: str | None) -> dict[str, Any]:
    """The same tree as data."""
    return {**head_record(profile, mode), **working_node(name, book, set())}


def working_node(
    name: str, book: Book, explained: set[str], told: Mapping[str, str] = NOTHING_TOLD
) -> dict[str, Any]:
    """A quantity with all below it as data."""
    entry = book.entry(name)
    node: dict[str, Any] = {
        "quantity": name,
        "value": exact(entry.value),
        "unit": unit_of(name),
        "origin": entry.origin,
        "side": entry.operand.side,
    }
    if name in told:
        return node | {"origin": "worked", "formula": told[name]}
    if entry.given is not None:
        place = entry.given.place
        node |= {"file": place.file, "line": place.line, "column": place.column}
    if entry.worked is not None and name not in explained:
        explained.add(name)
        node["formula"] = formulas(entry.worked, book)[0]
        node["source"] = entry.worked.source
        node["from"] = [working_node(under, book, explained, told) for under in entry.inputs]
    if entry.operand.missing:
        node["missing"] = sorted(entry.operand.missing)
    return node
