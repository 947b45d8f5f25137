"""What a change makes of single failures: which of them it uncovers, and which it covers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from ..documents.profile import BASE
from ..judgement.rule import Rule
from ..rehearsal.failure_file import GRAVE_CLASSES, failure_classes
from ..rehearsal.rehearse import BookPair, Failure, covered_failures, failures_of
from .change import ValueChange
from .failure_causes import NO_CAUSE, FailureCause, Revision, failure_causes
from .finding_change import JudgedSide

FailureWay = Literal["uncovered", "not known", "covered"]
# How a failure passed from one side to the other, what is worse first.
FAILURE_WAYS: tuple[FailureWay, ...] = ("uncovered", "not known", "covered")


@dataclass(frozen=True, slots=True)
class FailureChange:
    """A failure that something catches on one side only, in the base settings or some modes.

    One side is None where the failure is not possible on it. `cause` says which changed entries uncover
    it; of several motors it says nothing.
    """

    way: FailureWay
    old: Failure | None
    new: Failure | None
    modes: tuple[str, ...] = ()
    cause: FailureCause = NO_CAUSE

    @property
    def harms(self) -> bool:
        """Whether nothing catches a grave failure any more; what nobody knew of before is no harm."""
        return (
            self.way == "uncovered" and self.old_is_known and self.failure.severity in GRAVE_CLASSES
        )

    @property
    def old_is_known(self) -> bool:
        """Whether something caught the failure before, or it was not possible."""
        return self.old is None or self.old.covered is not None

    @property
    def failure(self) -> Failure:
        """The failure as it is now, or as it was where it is none any more."""
        side = self.new or self.old
        assert side is not None
        return side


def failure_changes(
    old: JudgedSide, new: JudgedSide, made: Sequence[ValueChange] = ()
) -> tuple[FailureChange, ...]:
    """The failures that a change uncovers, leaves unknown, or covers; worst first.

    Each with its cause among the changes `made`.

    What changed alike in the base settings and in a mode is told of the base settings alone; a mode
    that only one side has is left out.
    """
    was, now = _books(old), _books(new)
    told: dict[tuple[str, str, FailureWay], FailureChange] = {}
    for mode in (BASE, *sorted((was.keys() & now.keys()) - {BASE})):
        if covered_failures(was[mode], _rules(old)) == covered_failures(now[mode], _rules(new)):
            continue
        found = list(_changes(_rehearsed(old, was[mode]), _rehearsed(new, now[mode])))
        causes = _causes(found, made, mode, (old, new))
        for change in found:
            change = replace(change, cause=causes.get(change.failure.failure, NO_CAUSE))
            key = (change.failure.failure, change.failure.motor, change.way)
            known = told.get(key)
            if known is None:
                told[key] = replace(change, modes=(mode,) if mode else ())
            elif known.modes:
                told[key] = replace(known, modes=(*known.modes, mode))
    rank = list(failure_classes().severities)
    worst_first = sorted(told.values(), key=lambda one: rank.index(one.failure.severity))
    return tuple(sorted(worst_first, key=lambda one: FAILURE_WAYS.index(one.way)))


def _causes(
    found: Sequence[FailureChange],
    made: Sequence[ValueChange],
    mode: str,
    sides: tuple[JudgedSide, JudgedSide],
) -> Mapping[str, FailureCause]:
    """By failure what uncovers it in one mode; nothing of several motors."""
    old, new = sides
    opened = [one.failure.failure for one in found if one.way != "covered"]
    if not opened or old.heard or new.heard:
        return {}
    changes = [one for one in made if one.mode in (BASE, mode)]
    revision = Revision(old.hearing.books[mode], new.hearing.books[mode], _rules(new))
    return failure_causes(opened, changes, revision)


def _books(side: JudgedSide) -> Mapping[str, Mapping[str, BookPair]]:
    """By mode the books of the vehicle, or of each of several motors."""
    if not side.heard:
        return {mode: {"": (book, book)} for mode, book in side.hearing.books.items()}
    each = side.heard.items()
    return {
        mode: {motor: (one.books[mode].own, one.books[mode].pack) for motor, one in each}
        for mode in side.hearing.books
    }


def _rules(side: JudgedSide) -> Mapping[str, Rule]:
    """The rules by which a side was judged."""
    rules = side.judged_by.about("profile") if side.judged_by is not None else ()
    return {rule.id: rule for rule in rules}


def _rehearsed(side: JudgedSide, motors: Mapping[str, BookPair]) -> Sequence[Failure]:
    return tuple(failures_of(motors, _rules(side)))


def _changes(old: Sequence[Failure], new: Sequence[Failure]) -> Iterator[FailureChange]:
    """The failures by what became of them, in the order of the file."""
    was = {(one.failure, one.motor): one for one in old}
    now = {(one.failure, one.motor): one for one in new}
    for key in dict.fromkeys((*now, *was)):
        before, after = was.get(key), now.get(key)
        way = _way(before, after)
        if way is not None:
            yield FailureChange(way, before, after)


def _way(before: Failure | None, after: Failure | None) -> FailureWay | None:
    """How a failure passed; None where nothing of note changed."""
    was_open = before is not None and before.covered is False
    if after is None or after.covered:
        return "covered" if was_open else None
    if after.covered is False:
        return None if was_open else "uncovered"
    return "not known" if before is not None and before.covered else None
