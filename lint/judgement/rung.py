"""Rungs: the steps of a rule in one book, and whether each of them is reached."""

from __future__ import annotations

from typing import NamedTuple

from ..expressions.arithmetic import high_end, low_end
from ..quantities.book import Book
from ..quantities.number import overlooked
from ..quantities.operand import ABSENT, NOTHING, Operand
from .rule import Rule, Tier


def keeps(of: Operand, limit: Operand, upper: bool, rule: Rule) -> bool | None:
    """Whether a value keeps a limit, None where their bounds leave it open.

    A limit is broken only by more than the noise of floating point or a thousandth of the step.
    """
    number = limit.number
    noise = overlooked(number, rule.step)
    allowed = -noise if rule.strict else noise
    sign = 1.0 if upper else -1.0
    if of.side == limit.side == "exact":
        return bool(sign * (of.number - number) <= allowed)
    worst_of, best_of = (high_end, low_end) if upper else (low_end, high_end)
    if sign * (worst_of(of) - best_of(limit)) <= allowed:
        return True
    if sign * (best_of(of) - worst_of(limit)) > allowed:
        return False
    return None


class Rung(NamedTuple):
    """A step with its limits in a book; `reached` is None while something is missing."""

    step: Tier
    low: Operand | None
    high: Operand | None
    reached: bool | None
    missing: frozenset[str] = NOTHING


def rungs(rule: Rule, of: Operand | None, book: Book) -> tuple[Rung, ...]:
    """Each step of a rule that flags."""
    return tuple(_rung(step, rule, of, book) for step in rule.steps)


def _rung(step: Tier, rule: Rule, of: Operand | None, book: Book) -> Rung:
    if step.when is not None:
        answer = step.when.evaluate(book.operand)
        if answer.side == ABSENT or answer.value is not None:
            return Rung(step, None, None, answer.value is True)
        return Rung(step, None, None, None, answer.missing)
    low = step.low.evaluate(book.operand) if step.low is not None else None
    high = step.high.evaluate(book.operand) if step.high is not None else None
    ends = [end for end in (low, high) if end is not None]
    if of is None or any(end.side == ABSENT for end in ends):
        return Rung(step, low, high, False)
    kept = [
        keeps(of, end, end is high, rule)
        if of.value is not None and end.value is not None
        else None
        for end in ends
    ]
    if False in kept:
        return Rung(step, low, high, True)
    if None not in kept:
        return Rung(step, low, high, False)
    return Rung(step, low, high, None, of.missing.union(*(end.missing for end in ends)))
