"""Windows: what one setting may be with the others as they stand, and the rule at each end."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..documents.schema import canonical
from ..quantities.registry import moved_by
from .catalogue import Catalogue
from .frame import Frame
from .hearing import BASE, Hearing
from .key import key_of
from .span import Window
from .sweep import Clause, Sweep

# Fixed by the build or by a reading: they have a value, not a window.
FIXED = (
    "settings.pole_pairs",
    "settings.direction",
    "settings.temperature.motor.sensor",
)


def windows(
    hearing: Hearing,
    catalogue: Catalogue,
    only: frozenset[str] | None = None,
    without: frozenset[str] = frozenset(),
) -> tuple[Window, ...]:
    """The windows of every setting of the base settings, and of those that each mode sets.

    `only` restricts them to the named settings, `without` leaves rules aside. Their order is that
    of the schema.
    """
    found = (
        window_of(name, mode, hearing, catalogue, without)
        for mode in hearing.books
        for name in settings_of(hearing, mode)
        if only is None or name in only
    )
    return tuple(found)


def settings_of(hearing: Hearing, mode: str) -> list[str]:
    """The settings with a window: all of them in the base settings, in a mode those it sets."""
    book = hearing.books[mode]
    names = [
        name
        for name, entry in canonical().items()
        if name.startswith("settings.") and entry.kind in ("number", "integer")
    ]
    if mode != BASE:
        changes = hearing.profile.modes[mode]
        names = [name for name in names if changes.get(name) is not None]
    return [name for name in names if name not in FIXED and not book.is_absent(name)]


def window_of(
    name: str,
    mode: str,
    hearing: Hearing,
    catalogue: Catalogue,
    without: frozenset[str] = frozenset(),
    modes: Sequence[str] | None = None,
) -> Window:
    """The window of one setting by the rules that it reaches.

    A base setting is in force in every mode that does not set it: the rules hold there as well,
    unless `modes` names those in which they shall.
    """
    given = hearing.books[mode].given(name)
    modes = in_force(name, mode, hearing) if modes is None else modes
    clauses = clauses_of(name, modes, hearing, catalogue, without)
    books = {one: hearing.books[one] for one in modes}
    known = given if given is not None and given.value is not None else None
    sweep = Sweep(key_of(name, given), known, books, clauses)
    return Frame(sweep, mode, known).window()


def in_force(name: str, mode: str, hearing: Hearing) -> list[str]:
    """The modes in which a setting's value holds: itself, and for the base those that inherit it."""
    if mode != BASE:
        return [mode]
    return [
        one
        for one, book in hearing.books.items()
        if one == BASE or (name not in hearing.profile.modes[one] and not book.is_absent(name))
    ]


def clauses_of(
    name: str,
    modes: Iterable[str],
    hearing: Hearing,
    catalogue: Catalogue,
    without: frozenset[str] = frozenset(),
) -> list[Clause]:
    """The rules that a setting reaches, in each mode in which they are judged."""
    moved = moved_by(frozenset({name})) | {name}
    return [
        Clause(decided.rule, catalogue.severity(decided.rule), mode)
        for mode in modes
        for decided in hearing.rulings[mode].values()
        if decided.rule.id not in without and not moved.isdisjoint(decided.rule.reads)
    ]
