"""Two files of one rule: what of the newer asks for less, and what of it nobody can tell from the files."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from ..judgement.rule import SEVERITIES, STAGES
from ..quantities.number import is_number
from .change import InnerChange

UPPER, LOWER = ("at_most", "below"), ("at_least", "above")
MODES_FROM_STRICTEST = ("each", "base", "any")  # from the strictest on
JUDGED_BY_WORDS = ("subject", "of", "flag_when")  # what is judged, and a condition
RuleFile = Mapping[str, Any]
RuleDifference = tuple[InnerChange, bool | None]  # whether it asks for less; None: nobody can tell


def looser_in(was: RuleFile, now: RuleFile) -> tuple[InnerChange, ...]:
    """What of a rule certainly asks for less than it did."""
    return tuple(one for one, is_looser in _differences(was, now) if is_looser)


def unlike_in(was: RuleFile, now: RuleFile) -> tuple[InnerChange, ...]:
    """What of a rule is an expression that says something else, for more or for less."""
    return tuple(one for one, is_looser in _differences(was, now) if is_looser is None)


def _differences(was: RuleFile, now: RuleFile) -> Iterator[RuleDifference]:
    """Each key that decides what a rule finds."""
    yield from _ranks(was, now)
    yield from _scope(was, now)
    for key in JUDGED_BY_WORDS:
        if _plain(was.get(key)) != _plain(now.get(key)):
            yield InnerChange(key, was.get(key), now.get(key)), None
    for key in (*UPPER, *LOWER):
        yield from _end(key, was.get(key), now.get(key), key in UPPER)
    ends, others = (side.get("between") or (None, None) for side in (was, now))
    for number, (one, other) in enumerate(zip(ends, others, strict=True)):
        yield from _end(f"between.{number + 1}", one, other, number == 1)
    yield from _steps(
        was.get("steps") or (), now.get("steps") or (), "at_most" in now or "below" in now
    )


def _ranks(was: RuleFile, now: RuleFile) -> Iterator[RuleDifference]:
    """What has an order: severity, stage, gate, modes, and whether it can be waived."""
    for key, strictest_first, default in (
        ("severity", SEVERITIES, None),
        ("stage", STAGES, STAGES[0]),
        ("gate", (*STAGES, None), None),
        ("modes", MODES_FROM_STRICTEST, MODES_FROM_STRICTEST[0]),
        ("waivable", (False, True), True),
    ):
        one, other = was.get(key, default), now.get(key, default)
        if one != other:
            order: Sequence[Any] = strictest_first
            yield InnerChange(key, one, other), order.index(other) > order.index(one)


def _scope(was: RuleFile, now: RuleFile) -> Iterator[RuleDifference]:
    """Where a rule applies, and what must be known for it; a new condition can only leave something out."""
    for key in ("applies_when", "gate_when"):
        one, other = was.get(key), now.get(key)
        is_asked = key == "applies_when" or bool(was.get("gate") and now.get("gate"))
        if is_asked and other is not None and _plain(one) != _plain(other):
            yield InnerChange(key, one, other), True if one is None else None
    for name in was.get("needs", ()):
        if name not in now.get("needs", ()):
            yield InnerChange("needs", name, None), True


def _end(key: str, was: Any, now: Any, is_upper: bool) -> Iterator[RuleDifference]:
    """One end of what is allowed; numbers can be told apart, expressions by the vehicles alone."""
    if _plain(was) == _plain(now):
        return
    if is_number(was) and is_number(now):
        yield InnerChange(key, was, now), now > was if is_upper else now < was
    else:
        yield InnerChange(key, was, now), None


def _steps(
    was: Sequence[Mapping[str, Any]], now: Sequence[Mapping[str, Any]], is_upper: bool
) -> Iterator[RuleDifference]:
    """The graver severities: one that is gone, less grave, or further out."""
    for number, one in enumerate(was):
        at = f"steps.{number + 1}"
        if number >= len(now):
            yield InnerChange(at, one["severity"], None), True
            continue
        other = now[number]
        order = SEVERITIES.index
        if order(other["severity"]) > order(one["severity"]):
            yield InnerChange(f"{at}.severity", one["severity"], other["severity"]), True
        if other.get("waivable", True) and not one.get("waivable", True):
            yield InnerChange(f"{at}.waivable", False, True), True
        if _plain(one.get("when")) != _plain(other.get("when")):
            yield InnerChange(f"{at}.when", one.get("when"), other.get("when")), None
        yield from _beyond(at, one.get("beyond"), other.get("beyond"), is_upper)


def _beyond(at: str, was: Any, now: Any, is_upper: bool) -> Iterator[RuleDifference]:
    """The limit of a step; of a range both ends."""
    ends, others = (side if isinstance(side, list) else [side] for side in (was, now))
    if len(ends) == len(others) == 2:
        for number, (one, other) in enumerate(zip(ends, others, strict=True)):
            yield from _end(f"{at}.beyond.{number + 1}", one, other, number == 1)
    elif len(ends) == len(others):
        yield from _end(f"{at}.beyond", ends[0], others[0], is_upper)
    else:
        yield InnerChange(f"{at}.beyond", str(was), str(now)), None


def _plain(value: Any) -> Any:
    """An expression whatever its spaces; ends as they are."""
    return " ".join(value.split()) if isinstance(value, str) else value
