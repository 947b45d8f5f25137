"""What catches a failure: the first catch of its record that holds, or what would tell whether one does."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from ..judgement.evaluation import Ruling, ruling
from ..judgement.rule import Rule
from ..judgement.untried import SAFETY_TRIALS, SafetyTrial
from ..quantities.operand import ABSENT, EXACT, NOT_THERE, NOTHING, Operand
from .failure_book import FailureBook
from .failure_file import DETECTED, CatchSpec, Detection, FailureSpec, only_regen_brakes


class Caught(NamedTuple):
    """Whether something catches a failure; None where what is `missing` would tell.

    `assumed` where that holds for each phase inductance that the motor can have, none being known;
    `untried` says that nobody entered a trial of what catches it. `failed` names what would catch it, but was tried and did nothing; `brakeless` where the failure takes
    away the only brake, or nobody knows whether it does.
    """

    covered: bool | None
    detection: Detection
    catch: CatchSpec | None = None
    missing: frozenset[str] = NOTHING
    assumed: bool = False
    failed: str = ""
    untried: bool = False
    brakeless: bool = False


UNCOVERED = Caught(False, "nothing")
TRIED_IN_VAIN = "nothing"  # what a trial is entered as that cut nothing


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
    if found is None or not is_possible(spec, book):
        return found
    if found.covered is None:
        found = _tried(spec, book, rules) or found
    if found.covered is False:
        found = found._replace(failed=_in_vain(spec, book, rules))
    if found.catch is not None:
        found = found._replace(untried=is_untried(found.catch, book))
    ends_regen = spec.ends_regen or (found.catch is not None and found.catch.ends_regen)
    return _without_regen(found, book) if ends_regen else found


def _without_regen(found: Caught, book: FailureBook) -> Caught:
    """The same where regen ends with the failure: nothing makes up for the only brake."""
    alone = only_regen_brakes().evaluate(book.operand)
    if alone.value is True:
        return UNCOVERED._replace(brakeless=True)
    if alone.value is None and alone.side != ABSENT and found.covered:
        return Caught(None, "not known", missing=alone.missing, brakeless=True)
    return found


def _in_vain(spec: FailureSpec, book: FailureBook, rules: Mapping[str, Rule]) -> str:
    """What would catch a failure, had it not done nothing when it was tried; "" where nothing would."""
    for catch in spec.caught_by:
        if (failed := failed_trial(catch, book)) and _fits(catch, book, rules).value is True:
            return failed
    return ""


def is_untried(catch: CatchSpec, book: FailureBook) -> bool:
    """Whether a catch counts on what can be tried, and no reading says that it was."""
    trial = _trial(catch)
    return trial is not None and book.operand(trial.reading).value is None


def _trial(catch: CatchSpec) -> SafetyTrial | None:
    """The trial that shows whether what a catch counts on works; None where there is none."""
    if catch.kind == "withstands":
        return None
    return next(
        (
            trial
            for trial in SAFETY_TRIALS
            if catch.by == trial.fitted or catch.by.startswith(f"{trial.fitted}.")
        ),
        None,
    )


def failed_trial(catch: CatchSpec, book: FailureBook) -> str:
    """What a catch counts on and the readings say did nothing when it was tried; "" where none do."""
    trial = _trial(catch)
    if trial is None:
        return ""
    result = book.operand(trial.reading).value
    is_in_vain = isinstance(result, (str, tuple, list)) and TRIED_IN_VAIN in result
    return trial.title if is_in_vain else ""


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
    """Whether a catch holds; what the vehicle does not have, or did nothing when tried, catches nothing."""
    return Operand(False) if failed_trial(catch, book) else _fits(catch, book, rules)


def _fits(catch: CatchSpec, book: FailureBook, rules: Mapping[str, Rule]) -> Operand:
    """Whether the entries say that a catch holds, whatever its trial showed."""
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
