"""Evaluation: one rule against one book, and every rule against a profile and its modes."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from ..documents.profile import BASE, Profile
from ..documents.schema import allowances
from ..quantities.book import Book
from ..quantities.number import overlooked
from ..quantities.operand import ABSENT, NOTHING, Operand
from ..quantities.registry import affected
from .arithmetic import high_end, low_end
from .catalogue import Catalogue
from .rule import Outcome, Rule


class Ruling(NamedTuple):
    """The outcome of a rule with the values that decided it, in the unit of the quantity judged."""

    rule: Rule
    outcome: Outcome
    of: Operand | None = None
    low: Operand | None = None
    high: Operand | None = None
    missing: frozenset[str] = NOTHING
    reason: str = ""


def ruling(rule: Rule, book: Book) -> Ruling:
    """Judge one rule by the book."""
    applies = rule.applies.evaluate(book.operand) if rule.applies is not None else None
    if applies is not None and (applies.value is False or applies.side == ABSENT):
        return Ruling(rule, "out_of_scope")
    decided = _condition(rule, book) if rule.condition is not None else _bound(rule, book)
    if applies is None or applies.value is True or decided.outcome != "flagged":
        return decided
    return Ruling(
        rule,
        "not_checked",
        decided.of,
        decided.low,
        decided.high,
        applies.missing,
        applies.reason,
    )


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
    low = rule.low.evaluate(book.operand) if rule.low is not None else None
    high = rule.high.evaluate(book.operand) if rule.high is not None else None
    ends = [end for end in (low, high) if end is not None]
    if of.side == ABSENT or any(end.side == ABSENT for end in ends):
        return Ruling(rule, "out_of_scope", of, low, high)
    if of.value is not None:
        verdicts = [_within(of, end, end is high, rule) for end in ends if end.value is not None]
        if False in verdicts:
            return Ruling(rule, "flagged", of, low, high)
        if len(verdicts) == len(ends) and None not in verdicts:
            return Ruling(rule, "clear", of, low, high)
    missing = NOTHING.union(of.missing, *(end.missing for end in ends))
    reason = next((part.reason for part in (of, *ends) if part.reason), "")
    return Ruling(rule, "not_checked", of, low, high, missing, reason)


def _within(of: Operand, limit: Operand, upper: bool, rule: Rule) -> bool | None:
    """Whether a value keeps a limit, None where their bounds leave it open.

    A limit is broken only by more than the noise of floating point or a thousandth of the step.
    """
    noise = overlooked(limit.number, rule.step)
    allowed = -noise if rule.strict else noise
    sign = 1.0 if upper else -1.0
    over = sign * (of.number - limit.number)
    if of.side == limit.side == "exact":
        return bool(over <= allowed)
    worst_of, best_of = (high_end, low_end) if upper else (low_end, high_end)
    if sign * (worst_of(of) - best_of(limit)) <= allowed:
        return True
    if sign * (best_of(of) - worst_of(limit)) > allowed:
        return False
    return None


class Hearing(NamedTuple):
    """A profile's book and rulings, for the base settings and, where they differ, for each mode."""

    profile: Profile
    books: Mapping[str, Book]
    rulings: Mapping[str, Mapping[str, Ruling]]


def book_of(profile: Profile, judged_on: str) -> Book:
    """The book of a profile's base settings."""
    house = {name: allowance.default for name, allowance in allowances().items()}
    house.update({name: entry.number for name, entry in profile.house.allowances.items()})
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
        moved = affected(frozenset(changes))
        rulings[mode] = {
            rule.id: ruling(rule, book)
            for rule in rules
            if not (rule.base_only or moved.isdisjoint(rule.reads))
        }
    return Hearing(profile, books, rulings)
