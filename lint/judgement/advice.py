"""Whether a remedy can be followed: the value that it names, held against all other rules of its key.

Where another rule refuses the value, one that both allow is named in its place; where there is none,
the remedy says which rule stands against it and what has to change with it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..documents.profile import BASE
from ..documents.schema import entered_under
from ..expressions.formatting import MOST_DIGITS, listed, shown
from ..expressions.names import title_of
from ..quantities.book import Book
from ..quantities.registry import unit_of
from .catalogue import Catalogue
from .clause import Clause, clauses_of, gravest, in_force, names_read
from .evaluation import Hearing, ruling
from .explanation import roots_given
from .finding import Finding
from .frame import frame_of
from .rule import STOPS, Rule

MOST_TO_CHANGE = 2  # entries that have to change too


def that_stands(finding: Finding, hearing: Hearing, catalogue: Catalogue) -> Finding:
    """The finding with a remedy that brings no danger or fault when it is followed."""
    value = finding.advised
    if value is None:
        return finding
    mode = _home(finding, hearing)
    against = _refusing(finding, value, mode, hearing, catalogue)
    if not against:
        return finding
    other = _allowed(finding, value, mode, hearing, catalogue)
    if other is not None:
        named, instead = (shown(one, finding.unit, MOST_DIGITS) for one in (value, other))
        remedy = f"{finding.remedy.replace(named, instead)} {nearer_than(named, against)}."
        return replace(finding, advised=other, remedy=remedy)
    named = shown(value, finding.unit, MOST_DIGITS)
    remedy = (
        f"{finding.remedy} {broken_by(named, against)}: {along_with(finding, against, hearing)}."
    )
    return replace(finding, advised=None, remedy=remedy)


def _home(finding: Finding, hearing: Hearing) -> str:
    """The mode in which the key pointed at is entered: the finding's, or the base settings."""
    changes = hearing.profile.modes
    return next((mode for mode in finding.modes if finding.quantity in changes[mode]), BASE)


def _refusing(
    finding: Finding, value: float, mode: str, hearing: Hearing, catalogue: Catalogue
) -> list[Rule]:
    """The rules that are clear as the key stands and make a danger or fault at a value of it."""
    name = finding.quantity
    modes = in_force(name, mode, hearing)

    def made() -> tuple[list[Clause], list[Rule]]:
        clauses = clauses_of(name, modes, hearing, catalogue)
        return clauses, _newly_stopping(finding, value, modes, clauses, hearing, catalogue)

    if hearing.common is None:
        return made()[1]
    entered = [
        given and repr(given.entered) for given in (hearing.books[m].given(name) for m in modes)
    ]
    key = ("refusing", name, value, finding.also, tuple(modes), tuple(entered))
    return hearing.common.made(key, lambda found: names_read(name, found[0]), made)[1]


def _newly_stopping(
    finding: Finding,
    value: float,
    modes: Sequence[str],
    clauses: Sequence[Clause],
    hearing: Hearing,
    catalogue: Catalogue,
) -> list[Rule]:
    """Of the rules on a setting, those that are clear as it stands and stop at a value of it."""
    name = finding.quantity
    grave = [clause for clause in clauses if gravest(clause) in STOPS]
    known = {clause.rule.id for clause in grave if _stops(clause, hearing, catalogue)}
    known -= set(finding.also)  # nobody was told of them
    books = dict(hearing.books)
    for one in modes:
        given = books[one].given(name)
        if given is not None:
            new = replace(given, value=given.factor * value + given.offset, entered=value)
            books[one] = books[one].changed({name: new})
    tried = Hearing(hearing.profile, books, hearing.rulings)
    found = {
        clause.rule.id: clause.rule
        for clause in grave
        if clause.rule.id not in known and _stops(clause, tried, catalogue)
    }
    return list(found.values())


def _stops(clause: Clause, hearing: Hearing, catalogue: Catalogue) -> bool:
    decided = ruling(clause.rule, hearing.books[clause.mode])
    severity = catalogue.at_least(clause.rule, decided.severity)
    return decided.outcome == "flagged" and severity in STOPS


def _allowed(
    finding: Finding, value: float, mode: str, hearing: Hearing, catalogue: Catalogue
) -> float | None:
    """The value nearest to the one advised that this rule and all others of the key allow."""
    frame = frame_of(finding.quantity, mode, hearing, catalogue)
    if frame.hard_piece is None:
        return None
    for piece in (frame.good_piece, frame.hard_piece):
        if piece is None:
            continue
        inside = frame.key.inside(value, piece)
        own = (finding.low is None or inside >= finding.low) and (
            finding.high is None or inside <= finding.high
        )
        if own and not _refusing(finding, inside, mode, hearing, catalogue):
            return inside
    return None


def broken_by(value: str, against: Sequence[Rule]) -> str:
    """Which rules flag a value that is entered and nothing else with it."""
    return f"{value} by itself is flagged by {listed([rule.id for rule in against], 'and')}"


def nearer_than(limit: str, against: Sequence[Rule]) -> str:
    """Why a value nearer than a rule's own limit is advised: which others flag that limit."""
    return (
        f"{limit} would do for this rule, but {listed([rule.id for rule in against], 'and')} "
        f"{'flags' if len(against) == 1 else 'flag'} it"
    )


def along_with(finding: Finding, against: Sequence[Rule], hearing: Hearing) -> str:
    """The settings that have to change with it; what a part is rated for is no such entry."""
    book = hearing.books[finding.modes[0] if finding.modes else BASE]
    names = dict.fromkeys(name for rule in against for name in _entries(rule, finding, book))
    settings = [name for name in names if name.startswith("settings.")][:MOST_TO_CHANGE]
    if not settings:
        return "the build has to change"
    told = listed([f"{title_of(name)} ({_key(name, book)})" for name in settings], "or")
    return f"change {told} with it"


def _key(name: str, book: Book) -> str:
    """The key under which an entry stands, or would stand."""
    given = book.given(name)
    return given.entered_as if given is not None else entered_under(name)


def _entries(rule: Rule, finding: Finding, book: Book) -> list[str]:
    """The entries that a rule is about, else those of its unit that it depends on; no readings.

    Nobody shall enter another reading than he took.
    """

    def counts(name: str | None) -> bool:
        return bool(name) and name != finding.quantity and not str(name).startswith("readings.")

    own = [name for name in (rule.points_at, rule.of) if name and counts(name) and book.given(name)]
    told = [name for name in sorted(rule.tells) if counts(name) and book.given(name)]
    deep = [name for name in roots_given(book, sorted(rule.reads)) if counts(name)]
    return own or [name for name in (*told, *deep) if unit_of(name) == finding.unit] or told or deep
