"""Where a finding belongs: the line of the setting, reading or entry that it hangs on."""

from __future__ import annotations

from ..documents.dataclass import dataclass
from ..documents.position import Place
from ..documents.profile import Profile
from ..quantities.book import Book
from .rule import Rule

# What a person would change first stands first: settings, then readings, then the build.
ORDER = ("settings.", "readings.", "throttle.", "drivetrain.", "wiring.", "vehicle.")


@dataclass(frozen=True, slots=True)
class Pointed:
    """The quantity pointed at, the key under which it was entered, and its place."""

    quantity: str
    entered_as: str
    place: Place


def pointed(rule: Rule, book: Book, profile: Profile) -> Pointed:
    """The place for a finding of the rule.

    A given quantity has its own line. A worked one points at the setting that it hangs on, else at
    a reading, else at the build; a missing one at the section where it would stand.
    """
    name = rule.points_at
    if name is None:
        return Pointed("", "", profile.place)
    given = book.given(name)
    if given is not None:
        return Pointed(name, given.entered_as, given.place)
    roots = roots_given(book, (name,))
    if not roots and name.split(".")[0] not in ("settings", "readings", "vehicle"):
        roots = roots_given(book, sorted(rule.reads))
    if roots and not _is_missing_entry(name, book):
        best = min(roots, key=_rank)
        found = book.given(best)
        assert found is not None
        return Pointed(best, found.entered_as, found.place)
    return Pointed(name, name, section_place(name, profile))


def _is_missing_entry(name: str, book: Book) -> bool:
    """True for an entry of the document that nobody gave; it has no formula either."""
    return book.entry(name).worked is None


def _rank(name: str) -> int:
    return next((place for place, head in enumerate(ORDER) if name.startswith(head)), len(ORDER))


def roots_given(book: Book, names: tuple[str, ...] | list[str]) -> list[str]:
    """The given quantities below the names, in the order in which the formulas ask for them."""
    found: list[str] = []
    waiting = list(reversed(names))
    seen: set[str] = set()
    while waiting:
        name = waiting.pop()
        if name in seen:
            continue
        seen.add(name)
        entry = book.entry(name)
        if entry.given is not None:
            found.append(name)
        waiting.extend(reversed(entry.inputs))
    return found


def section_place(name: str, profile: Profile) -> Place:
    """The nearest section of the profile in which a missing entry would stand."""
    parts = name.split(".")
    for length in range(len(parts) - 1, 0, -1):
        place = profile.sections.get(".".join(parts[:length]))
        if place is not None:
            return place
    return profile.place
