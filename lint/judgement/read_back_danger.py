"""Whether what the controller holds instead of a setting is a danger, as it would be in the profile."""

from __future__ import annotations

from ..documents.profile import Given
from ..quantities.book import Book
from ..quantities.number import is_number
from .catalogue import Catalogue
from .clause import Clause, clauses_of, gravest, in_force
from .evaluation import Hearing, ruling
from .read_back import ReadBack

# A vehicle that starts the other way hits whoever stands behind it, and no limit of a rule shows that.
DANGEROUS_WHEN_DIFFERENT = frozenset(("settings.direction",))


def brings_danger(one: ReadBack, hearing: Hearing, catalogue: Catalogue) -> bool:
    """Whether a rule that is no danger by the profile is one with the value that was read back.

    The value stands in the place of the profile's in every mode that it holds for, all other entries as
    they are. False for what is held, or cannot be told in the profile's unit.
    """
    if one.held or one.wanted is None:
        return False
    if one.quantity in DANGEROUS_WHEN_DIFFERENT:
        return True
    modes = in_force(one.quantity, one.mode, hearing)
    clauses = [
        clause
        for clause in clauses_of(one.quantity, modes, hearing, catalogue)
        if gravest(clause) == "danger"
    ]
    tried = {mode: _with_what_is_shown(one, hearing.books[mode]) for mode in modes}
    return any(
        _is_danger(clause, tried[clause.mode], catalogue)
        and not _is_danger(clause, hearing.books[clause.mode], catalogue)
        for clause in clauses
    )


def _is_danger(clause: Clause, book: Book, catalogue: Catalogue) -> bool:
    decided = ruling(clause.rule, book)
    severity = catalogue.at_least(clause.rule, decided.severity)
    return decided.outcome == "flagged" and severity == "danger"


def _with_what_is_shown(one: ReadBack, book: Book) -> Book:
    """The settings of a mode as the controller holds them in this one field."""
    given = book.given(one.quantity)
    if given is None or one.field.missing or not is_number(one.shows):
        return book
    value = one.field.means(one.shows)
    new = Given(one.quantity, value, one.entered_as, value, 1.0, one.place)
    return book.changed({one.quantity: new})
