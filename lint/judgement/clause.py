"""Clauses: the rules that a setting reaches, in each mode in which its value is in force."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ..documents.profile import BASE
from ..quantities.registry import affected
from .catalogue import Catalogue
from .evaluation import Hearing, ruling
from .rule import SEVERITIES, Rule, Severity


@dataclass(frozen=True, slots=True)
class Clause:
    """A rule as it holds in one mode ("" for the base settings).

    `severity` is the least that a finding of it is; steps of the rule may make it graver. Of several
    motors it is one's, by the book of that number.
    """

    rule: Rule
    severity: Severity
    mode: str
    motor: str = ""
    number: int = 0

    @property
    def seat(self) -> str:
        """The book by which it is judged: that of the mode, of several motors one of theirs."""
        return seat_of(self.mode, self.motor, self.number)


def seat_of(mode: str, motor: str = "", number: int = 0) -> str:
    """What a book is called in a sweep.

    >>> seat_of("hill"), seat_of("hill", "rear", 1)
    ('hill', 'hill\\nrear\\n1')
    """
    return f"{mode}\n{motor}\n{number}" if motor else mode


def rank_of(severity: Severity | None) -> int:
    """The place of a severity, the gravest first."""
    return len(SEVERITIES) if severity is None else SEVERITIES.index(severity)


def gravest(clause: Clause) -> Severity:
    """The gravest that a finding of a rule can be."""
    return min(clause.severity, clause.rule.gravest, key=rank_of)


def severities_of(clause: Clause) -> list[Severity]:
    """The severities that a finding of a rule can have, the least grave first."""
    steps = (step.severity for step in clause.rule.steps)
    graver = {severity for severity in steps if rank_of(severity) < rank_of(clause.severity)}
    return sorted({clause.severity, *graver}, key=rank_of, reverse=True)


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
    moved, modes = affected(frozenset({name})), list(modes)
    return [
        Clause(rule, catalogue.severity(rule), mode)
        for mode in modes
        for rule in map(catalogue.rules.__getitem__, hearing.rulings[mode])
        if rule.id not in without
        and not moved.isdisjoint(rule.reads)
        and not _clear_elsewhere(rule, modes, hearing)
    ]


def names_read(name: str, clauses: Iterable[Clause]) -> frozenset[str]:
    """A setting and all that its rules read."""
    return frozenset((name,)).union(*(clause.rule.reads for clause in clauses))


def _clear_elsewhere(rule: Rule, modes: Sequence[str], hearing: Hearing) -> bool:
    """Whether any mode will do, and one in which the setting is another does."""
    if rule.modes != "any":
        return False
    others = (book for mode, book in hearing.books.items() if mode not in modes)
    return any(ruling(rule, book).outcome != "flagged" for book in others)
