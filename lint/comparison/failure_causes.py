"""Which changed entry uncovers a failure: each is put back by itself, else as few as do it together."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import NamedTuple

from ..judgement.rule import Rule
from ..quantities.book import Book
from ..rehearsal.rehearse import covered_failures
from .change import ValueChange

MOST_PUT_BACK = 80  # of more, as when a vehicle is built anew, no entry is the cause


class FailureCause(NamedTuple):
    """The changes of which each, put back alone, leaves a failure as it was; or all of them `together`.

    Empty where no change of an entry does, such as where a rule or an allowance changed too.
    """

    changes: tuple[ValueChange, ...] = ()
    together: bool = False

    @property
    def key(self) -> tuple[object, ...]:
        """What tells a cause from another: its entries, in the modes in which they changed."""
        return self.together, *((one.mode, one.quantity) for one in self.changes)


NO_CAUSE = FailureCause()


class Revision(NamedTuple):
    """One mode of one vehicle on both sides, and the rules by which the new side is judged."""

    old: Book
    new: Book
    rules: Mapping[str, Rule]

    def as_open(self, put_back: Iterable[ValueChange]) -> Mapping[str, bool | None]:
        """The failures that nothing is known to catch with some changes put back: False, or None."""
        values = {change.quantity: self.old.given(change.quantity) for change in put_back}
        book = self.new.changed(values)
        covered = covered_failures({"": (book, book)}, self.rules)
        return {failure: state for (failure, _), state in covered.items() if not state}


def failure_causes(
    failures: Collection[str], changes: Sequence[ValueChange], revision: Revision
) -> dict[str, FailureCause]:
    """What uncovers each of the failures, or leaves it unknown."""
    if not failures or len(changes) > MOST_PUT_BACK:
        return {}
    now = revision.as_open(())
    alone = [(change, revision.as_open([change])) for change in changes]
    causes = {}
    for failure in failures:
        single = tuple(change for change, then in alone if _is_mended(failure, now, then))
        causes[failure] = (
            FailureCause(single) if single else _together(failure, changes, revision, now)
        )
    return causes


def _is_mended(
    failure: str, now: Mapping[str, bool | None], then: Mapping[str, bool | None]
) -> bool:
    """Whether a failure is caught then, or is uncovered now and not known to be then."""
    return failure not in then or (now.get(failure) is False and then[failure] is None)


def _together(
    failure: str,
    changes: Sequence[ValueChange],
    revision: Revision,
    now: Mapping[str, bool | None],
) -> FailureCause:
    """As few changes as mend a failure together: all of them, but those that it does without."""
    if not _is_mended(failure, now, revision.as_open(changes)):
        return NO_CAUSE
    needed = list(changes)
    for change in changes:
        fewer = [one for one in needed if one is not change]
        if _is_mended(failure, now, revision.as_open(fewer)):
            needed = fewer
    return FailureCause(tuple(needed), together=True)
