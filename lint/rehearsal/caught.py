"""What catches a failure: the first catch of its record that holds, or what would tell whether one does."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from ..judgement.evaluation import Ruling, ruling
from ..judgement.rule import Rule
from ..quantities.operand import ABSENT, EXACT, NOT_THERE, NOTHING, Operand
from .failure_book import FailureBook
from .failure_file import DETECTED, CatchSpec, Detection, FailureSpec


class Caught(NamedTuple):
    """Whether something catches a failure; None where what is `missing` would tell.

    `assumed` where that holds for each phase inductance that the motor can have, none being known.
    """

    covered: bool | None
    detection: Detection
    catch: CatchSpec | None = None
    missing: frozenset[str] = NOTHING
    assumed: bool = False


UNCOVERED = Caught(False, "nothing")


def is_possible(spec: FailureSpec, book: FailureBook) -> bool | None:
    """Whether a failure can happen on the vehicle; None where an entry would tell."""
    possible = spec.when.evaluate(book.operand)
    if possible.side == ABSENT:
        return False
    return possible.value if isinstance(possible.value, bool) else None


def caught(spec: FailureSpec, book: FailureBook, rules: Mapping[str, Rule]) -> Caught | None:
    """What catches a failure; None where it is not possible on the vehicle.

    Where the phase inductance would tell, each that the motor can have is tried: if one thing catches it
    with all of them, or nothing with any, that is known without.
    """
    found = _caught(spec, book, rules)
    if found is None or found.covered is not None or not is_possible(spec, book):
        return found
    return _tried(spec, book, rules) or found


def _tried(spec: FailureSpec, book: FailureBook, rules: Mapping[str, Rule]) -> Caught | None:
    """What catches a failure whatever the phase inductance; None where that is not known, or no matter."""
    if not book.trials:
        return None
    held = [[_holds(catch, trial, rules) for trial in book.trials] for catch in spec.caught_by]
    for catch, operands in zip(spec.caught_by, held, strict=True):
        if all(one.value is True for one in operands):
            return Caught(True, _detection(spec, catch), catch, assumed=True)
    every = [one for operands in held for one in operands]
    if all(one.value is False for one in every):
        return UNCOVERED._replace(assumed=True)
    if any(one.value is True for one in every):
        return None
    return _not_known([one for one in every if one.value is None])


def _caught(spec: FailureSpec, book: FailureBook, rules: Mapping[str, Rule]) -> Caught | None:
    possible = is_possible(spec, book)
    if possible is False:
        return None
    if possible is None:
        return Caught(None, "not known", missing=spec.when.evaluate(book.operand).missing)
    undecided: list[Operand] = []
    for catch in spec.caught_by:
        holds = _holds(catch, book, rules)
        if holds.value is True:
            return Caught(True, _detection(spec, catch), catch)
        if holds.value is None:
            undecided.append(holds)
    return _not_known(undecided) if undecided else UNCOVERED


def _not_known(undecided: Sequence[Operand]) -> Caught:
    """What takes the fewest entries to settle; one that no entry settles comes last."""
    nearest = min(undecided, key=lambda one: (not one.missing, len(one.missing)))
    return Caught(None, "not known", missing=nearest.missing)


def _detection(spec: FailureSpec, catch: CatchSpec) -> Detection:
    """How a failure shows: what is hidden by a test alone, whatever stands in for it meanwhile."""
    return "test" if spec.hidden and catch.kind != "withstands" else DETECTED[catch.kind]


def _holds(catch: CatchSpec, book: FailureBook, rules: Mapping[str, Rule]) -> Operand:
    """Whether a catch holds; what the vehicle does not have catches nothing."""
    parts = [] if catch.when is None else [catch.when.evaluate(book.operand)]
    parts += [_clear(ruling(rules[name], book.book)) for name in catch.clear if name in rules]
    if not parts or any(part.side == ABSENT or part.value is False for part in parts):
        return Operand(False)
    unknown = [part for part in parts if part.value is None]
    if not unknown:
        return Operand(True)
    return Operand(None, EXACT, NOTHING.union(*(part.missing for part in unknown)))


def _clear(decided: Ruling) -> Operand:
    """Whether a rule is clear, as a value; one that is out of scope says nothing."""
    if decided.outcome == "out_of_scope":
        return NOT_THERE
    if decided.outcome == "not_checked":
        return Operand(None, EXACT, decided.missing, decided.reason)
    return Operand(decided.outcome == "clear")
