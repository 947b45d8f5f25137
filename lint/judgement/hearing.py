"""A hearing: every rule held against a profile's base settings and each of its modes."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from ..documents.dataclass import dataclass
from ..documents.profile import Changes, Profile
from ..documents.schema import allowances, canonical
from ..quantities.book import Book
from ..quantities.registry import moved_by
from .catalogue import Catalogue
from .ruling import Ruling, ruling

BASE = ""


@dataclass(frozen=True, slots=True)
class Hearing:
    """A profile's book and rulings, for the base settings and, where they differ, for each mode."""

    profile: Profile
    books: Mapping[str, Book]
    rulings: Mapping[str, Mapping[str, Ruling]]


def book_of(profile: Profile, judged_on: str) -> Book:
    """The book of a profile's base settings."""
    house = {name: allowance.default for name, allowance in allowances().items()}
    house.update({name: entry.value for name, entry in profile.house.allowances.items()})
    return Book(profile.givens, house, judged_on, profile.absent)


def hear(
    profile: Profile,
    catalogue: Catalogue,
    judged_on: str,
    known: Mapping[str, Ruling] = MappingProxyType({}),
) -> Hearing:
    """Judge the base settings by every rule, and each mode by those that its changes reach.

    `known` holds rulings on the base settings that are known already.
    """
    base = book_of(profile, judged_on)
    rules = catalogue.about("profile")
    books = {BASE: base}
    rulings = {BASE: {rule.id: known.get(rule.id) or ruling(rule, base) for rule in rules}}
    for mode, changes in profile.modes.items():
        book = books[mode] = base.changed(changes)
        touched = _touched(changes)
        moved = moved_by(touched) | touched
        rulings[mode] = {
            rule.id: ruling(rule, book)
            for rule in rules
            if not (rule.base_only or moved.isdisjoint(rule.reads))
        }
    return Hearing(profile, books, rulings)


def _touched(changes: Changes) -> frozenset[str]:
    """The names changed, and all below a section that a mode brings in or takes out."""
    sections = tuple(f"{name}." for name in changes if _is_section(name))
    if not sections:
        return frozenset(changes)
    return frozenset(changes).union(name for name in canonical() if name.startswith(sections))


def _is_section(name: str) -> bool:
    entry = canonical().get(name)
    return entry is not None and entry.kind == "section"
