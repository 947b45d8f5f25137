"""A finding explained: its sentences, its numbers as entered, its working, its place."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from ..documents.given import Value
from ..documents.location import Place
from ..documents.profile import Profile
from ..expressions.formatting import shown
from ..expressions.names import title_of
from ..quantities.book import Book, Entry
from ..quantities.number import is_number, margin_inside, share_of_limit, tidy
from ..quantities.operand import ABSENT, Operand
from ..quantities.registry import unit_of
from ..quantities.worked import Worked
from .common_work import CommonWork
from .evaluation import Ruling
from .finding import Finding, Grade, Related, WorkingLine
from .rule import Rule, Severity
from .rung import Rung
from .sentences import Sentences, Spoken, as_entered, entered_in

MOST_RELATED_PLACES = 16
MOST_WORKING_LINES = 6
ASSUMED = "assumed "


def finding_of(
    ruling: Ruling,
    severity: Severity,
    modes: tuple[str, ...],
    book: Book,
    profile: Profile,
    common: CommonWork | None = None,
) -> Finding:
    """A flagged ruling told in full, in the units of the keys that were entered.

    `common` has the working of a vehicle that is nearly the same.
    """
    rule = ruling.rule
    at = pointed(rule, book, profile)
    judged = rule.of if rule.condition is None else rule.points_at
    spoken = entered_in(judged or at.quantity, book)
    value = as_entered(ruling.of, spoken)
    low, high = _limit(ruling.low, spoken), _limit(ruling.high, spoken)
    ends = (value, low, high) if is_number(value) else (0.0, None, None)
    reached = ruling.last_reached
    beyond = _beyond(reached, spoken)
    sentences = Sentences(rule, book, value, low, high, spoken, beyond)
    because = reached.step.because if reached is not None else ""
    return Finding(
        rule=rule,
        severity=severity,
        modes=modes,
        everywhere=False,
        quantity=at.quantity,
        entered_as=at.entered_as,
        of=judged if judged and judged != at.quantity else None,
        place=at.place,
        related=_related(rule, book, at),
        message=sentences.told(rule.says, exact=True),
        because=sentences.told(because or rule.because, exact=True),
        remedy=sentences.told(_remedy(rule, book), exact=False),
        value=value,
        low=low,
        high=high,
        unit=spoken.unit_of_numbers,
        margin=margin_inside(*ends),
        share=share_of_limit(*ends),
        working=_working(rule, modes, book, common),
        steps=tuple(_grade(rung, spoken) for rung in ruling.rungs),
        advised=sentences.advised() if judged == at.quantity else None,
        waivable=rule.waivable and all(one.step.waivable for one in ruling.rungs if one.reached),
    )


def _working(
    rule: Rule, modes: tuple[str, ...], book: Book, common: CommonWork | None
) -> tuple[WorkingLine, ...]:
    if common is None:
        return working_lines(rule.tells, book)
    return common.made(
        ("working", rule.id, modes),
        lambda lines: rule.tells,
        lambda: working_lines(rule.tells, book),
    )


def _remedy(rule: Rule, book: Book) -> str:
    """What to do: where what is pointed at is `none` there is nothing to set."""
    at = rule.points_at
    if rule.instead and at is not None and book.operand(at).side == ABSENT:
        return rule.instead
    return rule.remedy


def _grade(rung: Rung, spoken: Spoken) -> Grade:
    low, high = _limit(rung.low, spoken), _limit(rung.high, spoken)
    return Grade(rung.step.severity, low, high, rung.reached is True)


def _beyond(rung: Rung | None, spoken: Spoken) -> tuple[float | None, float | None]:
    """The limits of the step that is reached."""
    if rung is None:
        return None, None
    return _limit(rung.low, spoken), _limit(rung.high, spoken)


def _limit(operand: Operand | None, spoken: Spoken) -> float | None:
    """A limit as entered, or None where it is not known."""
    value = as_entered(operand, spoken)
    return value if is_number(value) else None


def _related(rule: Rule, book: Book, at: Pointed) -> tuple[Related, ...]:
    """The given quantities that the finding depends on, the one pointed at left out.

    Those that the rule names come first, then what they were worked out from.
    """
    order = _reading_order(rule)
    direct = [name for name in order if book.given(name) is not None]
    related: dict[str, Related] = {}
    for name in (*direct, *roots_given(book, order)):
        given = book.given(name)
        if given is not None and name != at.quantity and given.place.file:
            related.setdefault(name, Related(name, given.place, given.entered_as))
    return tuple(related.values())[:MOST_RELATED_PLACES]


def _reading_order(rule: Rule) -> list[str]:
    first = [name for name in (rule.of, rule.at) if name]
    return first + sorted(rule.tells - set(first)) + sorted(rule.reads - rule.tells)


def working_lines(names: Iterable[str], book: Book) -> tuple[WorkingLine, ...]:
    """How the worked, typical and house quantities among the names came about."""
    lines: list[WorkingLine] = []
    for name in sorted(names):
        entry = book.entry(name)
        if entry.origin in ("worked", "typical", "house") and entry.operand.known:
            lines.append(working_line(entry, book))
    shown = {line.quantity for line in lines}
    assumed = sorted(_allowances_below(shown, book) - shown)
    lines += [working_line(book.entry(name), book) for name in assumed]
    return tuple(lines[:MOST_WORKING_LINES])


def _allowances_below(names: Iterable[str], book: Book) -> set[str]:
    """The house allowances that stand in for an entry below these names: those titled assumed."""
    waiting, seen = list(names), set[str]()
    while waiting:
        name = waiting.pop()
        if name not in seen:
            seen.add(name)
            waiting.extend(book.entry(name).inputs)
    below = (name for name in seen if book.entry(name).origin == "house")
    return {name for name in below if title_of(name).startswith(ASSUMED)}


def working_line(entry: Entry, book: Book) -> WorkingLine:
    """One entry's formula, in names and in numbers."""
    formula = numbers = ""
    if entry.worked is not None:
        formula, numbers = formulas(entry.worked, book)
    value = entry.value
    return WorkingLine(
        quantity=entry.name,
        value=tidy(value) if isinstance(value, float) else value,
        unit=unit_of(entry.name),
        origin=entry.origin,
        side=entry.operand.side,
        formula=formula,
        numbers=numbers,
        inputs=entry.inputs,
    )


def formulas(spec: Worked, book: Book) -> tuple[str, str]:
    """The formula in names, those of its own section shortened, and in numbers."""
    from ..expressions.formula import written  # late: most findings are about what was entered

    section = spec.name.split(".")[0] + "."
    names: dict[str, str] = {}
    numbers: dict[str, str] = {}
    for argument, name in spec.inputs.items():
        value = book.operand(name).value
        if value is None and spec.combine == "all":
            continue
        names[argument] = name.removeprefix(section)
        if value is not None and not _is_structured(value):
            numbers[argument] = shown(value, unit_of(name))
    return written(spec, names), written(spec, {**names, **numbers})


def _is_structured(value: Value) -> bool:
    """True of the stages of a drive and of other loads: a formula speaks of them by name."""
    if isinstance(value, Mapping):
        return True
    return isinstance(value, list | tuple) and any(isinstance(member, Mapping) for member in value)


# What a person would change first stands first: settings, then readings, then the build.
POINTED_AT_FIRST = ("settings.", "readings.", "throttle.", "drivetrain.", "wiring.", "vehicle.")


class Pointed(NamedTuple):
    """The quantity pointed at, the key under which it was entered, and its place."""

    quantity: str
    entered_as: str
    place: Place


def pointed(rule: Rule, book: Book, profile: Profile) -> Pointed:
    """The place for a finding of the rule.

    A given quantity has its own line. A worked one points at the setting that it depends on, else at
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
        given_root = book.given(best)
        assert given_root is not None
        return Pointed(best, given_root.entered_as, given_root.place)
    return Pointed(name, name, section_place(name, profile))


def _is_missing_entry(name: str, book: Book) -> bool:
    """True for an entry of the document that nobody gave; it has no formula either."""
    return book.entry(name).worked is None


def _rank(name: str) -> int:
    return next(
        (place for place, head in enumerate(POINTED_AT_FIRST) if name.startswith(head)),
        len(POINTED_AT_FIRST),
    )


def roots_given(book: Book, names: tuple[str, ...] | list[str]) -> list[str]:
    """The given quantities below the names, in the order in which the formulas ask for them."""
    roots: list[str] = []
    waiting = list(reversed(names))
    seen: set[str] = set()
    while waiting:
        name = waiting.pop()
        if name in seen:
            continue
        seen.add(name)
        entry = book.entry(name)
        if entry.given is not None:
            roots.append(name)
        waiting.extend(reversed(entry.inputs))
    return roots


def section_place(name: str, profile: Profile) -> Place:
    """The nearest section of the profile in which a missing entry would stand."""
    parts = name.split(".")
    for length in range(len(parts) - 1, 0, -1):
        place = profile.sections.get(".".join(parts[:length]))
        if place is not None:
            return place
    return profile.place
