"""What a shop asks less of its vehicles than before: a check gone, a severity lowered, a required entry dropped.

No vehicle needs to have a finding for that: the next one that is wrong passes. Whether an own rule asks
for less is read off its file where that can be told, else off the vehicle, which is judged both ways;
where neither tells, it is taken to ask for less.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Literal, NamedTuple

from ..judgement.evaluation import Hearing
from ..judgement.rule import BOUNDS, SEVERITIES, Rule, Severity
from ..quantities.number import is_number, noise
from ..quantities.registry import affected
from .change import InnerChange, ValueChange
from .finding_change import JudgedSide
from .margin import differ, distance_of, effective
from .rule_strictness import looser_in, unlike_in

LoosenedAs = Literal["check", "severity", "required", "rule", "allowance"]


class Loosening(NamedTuple):
    """An entry of a house file, or an own rule, that asks for less, by its key.

    `inside` has what of it is looser, `rules` whose limits an allowance widens. It `harms` where a check,
    a severity or a required entry is lost; a wider allowance is within what every shop may set, and harms
    where it lets a finding through. `is_certain` is false where nobody can tell whether it asks for less.
    """

    entry: str
    way: LoosenedAs
    inside: tuple[InnerChange, ...] = ()
    unit: str = ""
    severity: Severity | None = None
    rules: tuple[str, ...] = ()
    is_certain: bool = True

    @property
    def harms(self) -> bool:
        """Whether a check is lost that could have found a danger or fault."""
        return self.way != "allowance"


def loosenings(
    made: Iterable[ValueChange], old: JudgedSide, new: JudgedSide, before: JudgedSide | None
) -> tuple[Loosening, ...]:
    """What of the changes asks for less; `before` is the new side as the shop judged before, if otherwise."""
    if before is None:
        return ()
    sides = _Sides(old, new, before)
    every = list(made)
    added = [one.after for one in every if _head(one) == "rules" and one.before is None]
    found = (_of(change, sides, added) for change in every)
    return tuple(one for one in found if one is not None)


class _Sides(NamedTuple):
    old: JudgedSide
    new: JudgedSide
    before: JudgedSide

    def rule(self, side: JudgedSide, name: str) -> Rule | None:
        return None if side.judged_by is None else side.judged_by.rules.get(name)

    def severity(self, side: JudgedSide, name: str) -> Severity | None:
        rule = self.rule(side, name)
        return None if rule is None or side.judged_by is None else side.judged_by.severity(rule)

    def hearings(self) -> Iterator[tuple[Hearing, Hearing]]:
        """The new side as it was judged before, and as it is, motor by motor."""
        for name, now in self.new.hearings.items():
            if name in self.before.hearings:
                yield self.before.hearings[name], now


def _head(change: ValueChange) -> str:
    return change.quantity.partition(".")[0]


def _of(change: ValueChange, sides: _Sides, added: list[Any]) -> Loosening | None:
    head, _, name = change.quantity.partition(".")
    if head == "require":
        is_dropped = change.after is None
        return Loosening(change.entered_as, "required") if is_dropped else None
    if head == "severities":
        return _severity(change, name, sides)
    if head == "rules":
        return _own_rule(change, name, sides, added)
    return _allowance(change, sides) if head == "house" else None


def _severity(change: ValueChange, name: str, sides: _Sides) -> Loosening | None:
    """Of a rule that is gone its own entry tells; one that is as grave by itself lost nothing."""
    was, now = (sides.severity(side, name) for side in (sides.old, sides.new))
    if was is None or now is None or SEVERITIES.index(now) <= SEVERITIES.index(was):
        return None
    return Loosening(change.entered_as, "severity", (InnerChange("", was, now),), severity=was)


def _own_rule(change: ValueChange, name: str, sides: _Sides, added: list[Any]) -> Loosening | None:
    was, now = change.before, change.after
    if not isinstance(was, Mapping):
        return None
    severity = sides.severity(sides.old, name)
    if not isinstance(now, Mapping):
        is_renamed = any(not (looser_in(was, one) or unlike_in(was, one)) for one in added)
        return None if is_renamed else Loosening(change.entered_as, "check", severity=severity)
    looser, unlike = looser_in(was, now), unlike_in(was, now)
    if severity == sides.severity(sides.new, name):  # the house file raises it as before
        looser = tuple(one for one in looser if one.at != "severity")
    if not looser and unlike and all(one.at.split(".")[0] in BOUNDS for one in unlike):
        told = _wider(name, sides)
        looser, unlike = (unlike, ()) if told else (looser, () if told is False else unlike)
    if not (looser or unlike):
        return None
    inside = looser or unlike
    return Loosening(change.entered_as, "rule", inside, severity=severity, is_certain=bool(looser))


def _allowance(change: ValueChange, sides: _Sides) -> Loosening | None:
    """An allowance that leaves a rule more room than it had; of a condition nobody can tell."""
    reached = affected(frozenset((change.quantity,)))
    assert sides.new.judged_by is not None
    rules = [
        rule
        for rule in sides.new.judged_by.rules.values()
        if not reached.isdisjoint(rule.reads) and _wider(rule.id, sides)
    ]
    if not rules:
        return None
    rules.sort(key=lambda rule: (SEVERITIES.index(rule.gravest), rule.id))
    inside = (InnerChange("", change.old, change.new),)
    names = tuple(rule.id for rule in rules)
    return Loosening(change.entered_as, "allowance", inside, change.unit, rules[0].gravest, names)


def _wider(name: str, sides: _Sides) -> bool | None:
    """Whether a rule leaves the vehicle more room than before; None where it does not come to numbers."""
    before, now = (sides.rule(side, name) for side in (sides.before, sides.new))
    if before is None or now is None:
        return None
    told: list[bool] = []
    for was, new in sides.hearings():
        for mode in new.books:
            one, other = effective(was, mode, name), effective(new, mode, name)
            outcomes = {ruling.outcome for ruling in (one, other) if ruling is not None}
            if outcomes == {"out_of_scope"}:
                told.append(False)
                continue
            first, second = distance_of(one), distance_of(other)
            if first is None or second is None:
                return None
            told.append(differ(first, second, now) and second.room > first.room)
            told += _wider_steps(before, now, was, new, mode)
    return any(told)


def _wider_steps(before: Rule, now: Rule, was: Hearing, new: Hearing, mode: str) -> Iterator[bool]:
    """Whether a graver step begins further out than it did."""
    if mode not in was.books:
        return
    for one, other in zip(before.steps, now.steps, strict=False):
        for side, sign in (("low", -1.0), ("high", 1.0)):
            ends = getattr(one, side), getattr(other, side)
            if None in ends:
                continue
            first = ends[0].evaluate(was.books[mode].operand).value
            second = ends[1].evaluate(new.books[mode].operand).value
            if is_number(first) and is_number(second):
                yield sign * (second - first) > noise(first, second)
