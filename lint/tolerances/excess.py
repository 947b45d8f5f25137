"""The excess of a rule over a box: above nought it flags, else it does not.

It is the judge's own answer as a number: the condition that the rule applies, and how far the quantity
is beyond its limit. So its course over the box says where the rule flags.
"""

from __future__ import annotations

from ..expressions.expression import Expression
from ..judgement.evaluation import ruling
from ..judgement.rule import SEVERITIES, Rule, Severity, Tier
from ..quantities.book import Book
from ..quantities.number import STEP_SHARE
from ..quantities.operand import ABSENT, EXACT, NO_LESS, NO_MORE, Operand, Side
from .enclosure import Enclosure
from .extent import (
    Extent,
    all_hold,
    any_truth,
    at_rest,
    moving,
    one_holds,
    overlooked_about,
    truth_of,
)
from .sloped import Sloped, sloped_difference, sloped_sum


def flags_at(rule: Rule, severity: Severity, book: Book) -> bool:
    """Whether the judge finds the rule broken in a book, and as grave as that or graver."""
    decided = ruling(rule, book)
    if decided.outcome != "flagged":
        return False
    return SEVERITIES.index(decided.severity) <= SEVERITIES.index(severity)


def excess_of(rule: Rule, severity: Severity, enclosure: Enclosure) -> Extent:
    """How far a rule is broken over a box, as gravely as that or more."""
    parts = [_broken(rule, rule.low, rule.high, enclosure)]
    if rule.condition is not None:
        parts = [enclosure.evaluate(rule.condition)]
    if rule.applies is not None:
        parts.append(enclosure.evaluate(rule.applies))
    for name in rule.needs:
        span = enclosure.span(name)
        if span.absent:
            parts.append(at_rest(Operand(False)) if span.never else any_truth(span))
    if severity != rule.severity:
        rank = SEVERITIES.index(severity)
        steps = [one for one in rule.steps if SEVERITIES.index(one.severity) <= rank]
        parts.append(one_holds(_reached(rule, step, enclosure) for step in steps))
    if any(part.never for part in parts):
        return at_rest(Operand(False))  # what is nowhere known flags nowhere
    return all_hold(parts)


def _reached(rule: Rule, step: Tier, enclosure: Enclosure) -> Extent:
    if step.when is not None:
        return enclosure.evaluate(step.when)
    return _broken(rule, step.low, step.high, enclosure)


def _broken(
    rule: Rule, low: Expression | None, high: Expression | None, enclosure: Enclosure
) -> Extent:
    """Whether the quantity judged is beyond one of its limits."""
    if rule.of is None:
        return at_rest(Operand(False))
    of = enclosure.span(rule.of)
    ends = [(end, upper) for end, upper in ((low, False), (high, True)) if end is not None]
    spans = [(enclosure.evaluate(end), upper) for end, upper in ends]
    if any(span.never and span.absent for span, _ in spans) or (of.never and of.absent):
        return at_rest(Operand(False))
    return one_holds(_beyond(of, span, upper, rule) for span, upper in spans)


def _beyond(of: Extent, limit: Extent, upper: bool, rule: Rule) -> Extent:
    """How far a value is beyond a limit, by more than noise; a bound counts where it says enough."""
    if of.number is None or limit.number is None:
        lacks = [one for one in (of, limit) if one.number is None]
        return moving(None, *lacks)
    if of.side is None or limit.side is None:
        return any_truth(of, limit)
    enough: tuple[Side, Side] = (NO_LESS, NO_MORE) if upper else (NO_MORE, NO_LESS)
    if of.side not in (EXACT, enough[0]) or limit.side not in (EXACT, enough[1]):
        return at_rest(Operand(False))
    noise = overlooked_about(limit.number, rule.step, STEP_SHARE)
    apart = _apart(of.number, limit.number, upper)
    excess = sloped_sum(apart, noise) if rule.strict else sloped_difference(apart, noise)
    return truth_of(excess, of, limit)


def _apart(of: Sloped, limit: Sloped, upper: bool) -> Sloped:
    return sloped_difference(of, limit) if upper else sloped_difference(limit, of)


def clause_severities(rule: Rule) -> tuple[Severity, ...]:
    """The rule's own severity, and the graver ones of its steps."""
    found = {rule.severity, *(step.severity for step in rule.steps)}
    own = SEVERITIES.index(rule.severity)
    return tuple(one for one in SEVERITIES if one in found and SEVERITIES.index(one) <= own)[::-1]


def is_absent(span: Extent) -> bool:
    """Whether the vehicle has no such thing."""
    return span.still is not None and span.still.side == ABSENT


def without_texts(span: Extent) -> Extent:
    """The span as a truth: what is neither true nor false is unknown."""
    return span._replace(other=False, unknown=span.unknown or span.other)
