"""Evaluation: one rule against one book, and every rule against a profile and its modes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import NamedTuple

from ..documents.error import SeveralMotors
from ..documents.profile import BASE, Profile
from ..documents.schema import allowances
from ..quantities.book import Book
from ..quantities.operand import ABSENT, EXACT, NOTHING, Operand
from ..quantities.registry import affected
from .catalogue import Catalogue
from .common_work import CommonWork
from .rule import SEVERITIES, Outcome, Rule, Severity, Stage
from .rung import Rung, keeps, rungs


class Ruling(NamedTuple):
    """The outcome of a rule with the values that decided it, in the unit of the quantity judged."""

    rule: Rule
    outcome: Outcome
    of: Operand | None = None
    low: Operand | None = None
    high: Operand | None = None
    missing: frozenset[str] = NOTHING
    reason: str = ""
    rungs: tuple[Rung, ...] = ()

    @property
    def severity(self) -> Severity:
        """The gravest of the rule's own severity and of the steps that are certainly reached."""
        if not self.rungs:
            return self.rule.severity
        reached = (rung.step.severity for rung in self.rungs if rung.reached)
        return min((self.rule.severity, *reached), key=SEVERITIES.index)

    @property
    def last_reached(self) -> Rung | None:
        """The gravest step that is reached."""
        return next((rung for rung in reversed(self.rungs) if rung.reached), None)

    @property
    def undecided(self) -> tuple[Rung, ...]:
        """Steps that could make it graver than it is, once more is known."""
        rank = SEVERITIES.index(self.severity) if self.rungs else 0
        return tuple(
            rung
            for rung in self.rungs
            if rung.reached is None and SEVERITIES.index(rung.step.severity) < rank
        )


def ruling(rule: Rule, book: Book) -> Ruling:
    """Judge one rule by the book.

    A broken bound stays flagged though a quantity that the rule needs is missing: one thing that is
    wrong is wrong whatever the others are.
    """
    applies = rule.applies.evaluate(book.operand) if rule.applies is not None else None
    if applies is not None and (applies.value is False or applies.side == ABSENT):
        return Ruling(rule, "out_of_scope")
    if rule.needs and any(book.operand(name).side == ABSENT for name in rule.needs):
        return Ruling(rule, "out_of_scope")
    decided = _condition(rule, book) if rule.condition is not None else _bound(rule, book)
    sure = applies is None or applies.value is True
    if decided.outcome == "flagged":
        if sure:
            return decided._replace(rungs=rungs(rule, decided.of, book)) if rule.steps else decided
        return _waiting(decided, applies)
    if decided.outcome == "out_of_scope":
        return decided
    return _as_needed(decided, None if sure or rule.gate is None else applies, book)


def _waiting(decided: Ruling, applies: Operand | None) -> Ruling:
    """A ruling that depends on whether the rule applies, which is not known."""
    assert applies is not None
    return decided._replace(
        outcome="not_checked", missing=applies.missing, reason=applies.reason, rungs=()
    )


def _as_needed(decided: Ruling, applies: Operand | None, book: Book) -> Ruling:
    """A clear ruling waits for what the rule needs, and a gate for whether it applies."""
    if applies is None and not decided.rule.needs:
        return decided
    missing = NOTHING.union(*(_lacking(name, decided.rule, book) for name in decided.rule.needs))
    if applies is not None:
        missing |= applies.missing
    if not missing and (applies is None or decided.outcome == "not_checked"):
        return decided
    reason = decided.reason or (applies.reason if applies is not None else "")
    return decided._replace(outcome="not_checked", missing=decided.missing | missing, reason=reason)


def _lacking(name: str, rule: Rule, book: Book) -> frozenset[str]:
    """What is missing of a quantity that a rule needs; what is only typical is a guess."""
    entry = book.entry(name)
    operand = entry.operand
    only_bound = operand.side != EXACT and name in rule.judges
    if entry.origin == "typical" or operand.value is None or only_bound:
        return operand.missing or frozenset({name})
    if entry.origin == "worked" and book.is_typical(entry):
        return frozenset(below for below in entry.inputs if book.entry(below).origin == "typical")
    return NOTHING


def gate_of(rule: Rule, book: Book) -> Stage | None:
    """The stage from which the rule may not stay unchecked here; unknown conditions hold."""
    if rule.gate_when is not None and rule.gate_when.evaluate(book.operand).value is False:
        return None
    return rule.gate


def _condition(rule: Rule, book: Book) -> Ruling:
    assert rule.condition is not None
    answer = rule.condition.evaluate(book.operand)
    judged = rule.points_at
    of = book.operand(judged) if judged is not None else None
    if answer.value is not None:
        return Ruling(rule, "flagged" if answer.value else "clear", of)
    if answer.side == ABSENT:
        return Ruling(rule, "out_of_scope", of)
    return Ruling(rule, "not_checked", of, None, None, answer.missing, answer.reason)


def _bound(rule: Rule, book: Book) -> Ruling:
    assert rule.of is not None
    of = book.operand(rule.of)
    if of.side == ABSENT:
        return Ruling(rule, "out_of_scope", of)
    low = rule.low.evaluate(book.operand) if rule.low is not None else None
    high = rule.high.evaluate(book.operand) if rule.high is not None else None
    ends = [end for end in (low, high) if end is not None]
    if any(end.side == ABSENT for end in ends):
        return Ruling(rule, "out_of_scope", of, low, high)
    if of.value is not None:
        verdicts = [keeps(of, end, end is high, rule) for end in ends if end.value is not None]
        if False in verdicts:
            return Ruling(rule, "flagged", of, low, high)
        if len(verdicts) == len(ends) and None not in verdicts:
            return Ruling(rule, "clear", of, low, high)
    missing = NOTHING.union(of.missing, *(end.missing for end in ends))
    reason = next((part.reason for part in (of, *ends) if part.reason), "")
    return Ruling(rule, "not_checked", of, low, high, missing, reason)


class Hearing(NamedTuple):
    """A profile's book and rulings, for the base settings and, where they differ, for each mode.

    `common` holds what the next of many profiles may take over besides.
    """

    profile: Profile
    books: Mapping[str, Book]
    rulings: Mapping[str, Mapping[str, Ruling]]
    common: CommonWork | None = None


def book_of(profile: Profile, judged_on: str) -> Book:
    """The book of a profile's base settings."""
    house = {name: allowance.default for name, allowance in allowances().items()}
    house.update({name: entry.number for name, entry in profile.house.allowances.items()})
    return Book(profile.givens, house, judged_on, profile.absent)


def mode_books(profile: Profile, judged_on: str) -> dict[str, Book]:
    """The books of a profile of one motor, of the base settings and of each mode."""
    base = book_of(profile, judged_on)
    return {BASE: base, **{mode: base.overlaid(to) for mode, to in profile.modes.items()}}


def hear(
    profile: Profile,
    catalogue: Catalogue,
    judged_on: str,
    known: Mapping[str, Ruling] = MappingProxyType({}),
) -> Hearing:
    """Judge the base settings by every rule, and each mode by those that its changes reach.

    `known` holds rulings on the base settings that are known already. Raises SeveralMotors: each of
    several motors has a hearing of its own.
    """
    if profile.motors:
        raise SeveralMotors(profile.file, profile.motors)
    base = book_of(profile, judged_on)
    rules = catalogue.about("profile")
    books = {BASE: base}
    fresh = {rule.id for rule in rules if rule.modes == "any" or rule.id not in known}
    rulings = {
        BASE: {
            rule.id: ruling(rule, base) if rule.id in fresh else known[rule.id] for rule in rules
        }
    }
    for mode, changes in profile.modes.items():
        book = books[mode] = base.overlaid(changes)
        moved = affected(frozenset(changes))
        rulings[mode] = {
            rule.id: ruling(rule, book)
            for rule in rules
            if rule.modes != "base" and not moved.isdisjoint(rule.reads)
        }
    for rule in rules if profile.modes else ():
        if rule.modes == "any":
            settle_any(rule.id, rulings)
    return Hearing(profile, books, rulings)


class _Unasked(Mapping[str, Ruling]):
    """The rulings of one mode, each made when somebody asks for it."""

    def __init__(self, rules: Iterable[Rule], book: Book) -> None:
        self._rules, self._book = {rule.id: rule for rule in rules}, book

    def __getitem__(self, name: str) -> Ruling:
        return ruling(self._rules[name], self._book)

    def __iter__(self) -> Iterator[str]:
        return iter(self._rules)

    def __len__(self) -> int:
        return len(self._rules)


def unheard(profile: Profile, catalogue: Catalogue, judged_on: str) -> Hearing:
    """The books of a profile with each ruling left until it is asked for.

    For those who only look at the rules around one setting. A rule of which any mode will do is
    heard in each.
    """
    base = book_of(profile, judged_on)
    rules = catalogue.about("profile")
    books, rulings = {BASE: base}, {BASE: _Unasked(rules, base)}
    for mode, changes in profile.modes.items():
        book = books[mode] = base.overlaid(changes)
        moved = affected(frozenset(changes))
        reached = (
            rule for rule in rules if rule.modes == "each" and not moved.isdisjoint(rule.reads)
        )
        rulings[mode] = _Unasked(reached, book)
    return Hearing(profile, books, rulings)


# Of base and modes, where any will do: one that is clear settles it, then one that could be.
BEST_FIRST: tuple[Outcome, ...] = ("clear", "not_checked", "flagged", "out_of_scope")


def settle_any(rule: str, rulings: Mapping[str, dict[str, Ruling]]) -> None:
    """Put the best of a rule's rulings in the place of the base's, and have none for the modes."""
    base = rulings[BASE][rule]
    others = [rulings[mode].pop(rule) for mode in rulings if mode and rule in rulings[mode]]
    best = min((base, *others), key=lambda decided: BEST_FIRST.index(decided.outcome))
    if best.outcome != base.outcome:
        rulings[BASE][rule] = best
