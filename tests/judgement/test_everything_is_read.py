"""Nothing is asked of a builder, and nothing worked out, that no judgement looks at."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import pytest
from gonogo.documents.schema import allowances, canonical
from gonogo.expressions.formatting import PLACEHOLDER
from gonogo.judgement.bring_up_steps import BringUpStep, bring_up_steps
from gonogo.judgement.catalogue import catalogue
from gonogo.judgement.proposal import Point, starting_points
from gonogo.judgement.rule import Rule
from gonogo.quantities.book import IN_BASE
from gonogo.quantities.registry import WORKED, rests_on

# What no rule and no starting point looks at, and why it is there all the same.
EXEMPT: Mapping[str, str] = {
    "vehicle.name": "a name, by which reports call the vehicle",
    "vehicle.id": "an identity, by which a comparison knows the vehicle again",
    "controller.fields": "how the controller asks: a value read back is turned by it",
    "controller.firmware": "a name: only a comparison tells that it changed, and what to do then",
    "controller.phase_current_burst_s": "how soon the controller is hot on a climb: the ride tells it",
    "controller.power_W": "what a change does to the ride: only a comparison tells it",
    "readings.steps_done_for.values": "a mark by which the bring-up knows a step that is to be repeated",
    "readings.steps_done_for.full_limits": "a mark by which the bring-up knows a step that is to be repeated",
    "ride.power_at_limit_W": "what a change does to the ride: only a comparison tells it",
}


def looked_at() -> frozenset[str]:
    """All that a rule, a starting point or the bring-up reads, with what its formulas are made of."""
    rules = catalogue().rules.values()
    names = {name for rule in rules for name in (*expressed(rule), *told(rule))}
    names.update(name for point in starting_points().values() for name in named(point))
    names.update(name for step in bring_up_steps() for name in banded(step))
    return frozenset().union(*(rests_on(name.removeprefix(IN_BASE)) for name in names))


def expressed(rule: Rule) -> Iterator[str]:
    """What decides whether the rule applies, can be checked, flags, and how gravely."""
    if rule.of is not None:
        yield rule.of
    yield from rule.needs
    whole = (rule.low, rule.high, rule.condition, rule.applies, rule.gate_when)
    steps = (part for step in rule.steps for part in step.parts)
    for expression in (*whole, *steps):
        if expression is not None:
            yield from expression.names


def told(rule: Rule) -> Iterator[str]:
    """What its sentences say the number of."""
    words = (rule.says, rule.because, rule.remedy, rule.instead)
    for sentence in (*words, *(step.because for step in rule.steps)):
        yield from PLACEHOLDER.findall(sentence)


def named(point: Point) -> Iterator[str]:
    """What a first value is made from."""
    for start in point.starts:
        yield from start.names


def banded(step: BringUpStep) -> Iterator[str]:
    """What the bands of its readings are made from; the readings themselves rules have to read."""
    for reading in step.readings:
        for end in (*(reading.expect or ()), *(reading.stop or ()), *(reading.can_be or ())):
            if end is not None:
                yield from end.names - {reading.entry}


LOOKED_AT = looked_at()


@pytest.mark.parametrize("name", sorted(canonical()))
def test_what_a_builder_enters_is_looked_at(name: str) -> None:
    """Whoever goes to measure a thing may believe that it counts."""
    below = [other for other in canonical() if other.startswith(f"{name}.")]
    assert name in EXEMPT or not LOOKED_AT.isdisjoint({name, *below}), name


@pytest.mark.parametrize("name", sorted(WORKED))
def test_what_is_worked_out_is_looked_at(name: str) -> None:
    """A number that nobody judges only seems to have been checked."""
    assert name in EXEMPT or name in LOOKED_AT, name


@pytest.mark.parametrize("name", sorted(allowances()))
def test_what_a_shop_may_allow_counts(name: str) -> None:
    """A shop that sets an allowance expects another verdict from it."""
    assert name in LOOKED_AT, name


def test_what_is_exempt_is_needed() -> None:
    """Each exception is there and still looked at by nothing."""
    assert set(EXEMPT) <= {*canonical(), *WORKED}
    assert LOOKED_AT.isdisjoint(EXEMPT)
