"""Follow-ups: work that a change makes necessary, from `rules/follow-ups.yaml`."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from ..documents.contents import contents
from ..documents.motors import MOTORS
from ..judgement.catalogue import RULES
from .change import ValueChange

FOLLOW_UPS = "follow-ups"
RAISED = "raised"
OF_A_MOTOR = f"{MOTORS}."  # begins the key of an entry of one of several motors


@dataclass(frozen=True, slots=True)
class Cause:
    """A kind of change, and the work that it makes necessary.

    `when_changed` names quantities, or sections for all below them; with `only_raised` a value
    that went down is ignored. Of each list of `when_together` at least two must change.
    """

    when_changed: frozenset[str]
    only_raised: bool
    do: str
    because: str
    when_together: tuple[frozenset[str], ...] = ()

    def asked_by(self, changed: frozenset[str]) -> frozenset[str]:
        """The names that ask for the work, where these quantities and their sections change."""
        together = [names for names in self.when_together if len(names & changed) > 1]
        return self.when_changed.union(*together)


@dataclass(frozen=True, slots=True)
class FollowUp:
    """Work that has become necessary, with the quantities whose change asks for it."""

    do: str
    because: str
    changed: tuple[str, ...]


@lru_cache(maxsize=1)
def causes() -> tuple[Cause, ...]:
    """The follow-ups that come with gonogo."""
    data: list[Mapping[str, Any]] = contents(RULES, FOLLOW_UPS)
    return tuple(
        Cause(
            when_changed=frozenset(entry["when_changed"]),
            only_raised=entry.get("only_if") == RAISED,
            do=entry["do"],
            because=entry["because"],
            when_together=tuple(map(frozenset, entry.get("when_together", ()))),
        )
        for entry in data
    )


def follow_ups(made: Iterable[ValueChange], known: Iterable[Cause]) -> tuple[FollowUp, ...]:
    """The work that the changes ask for, in the order in which it stands in the file."""
    real = [(change, _names(change.quantity)) for change in made if change.effect != "none"]
    works: list[FollowUp] = []
    moved = frozenset(name for _, names in real for name in names)
    for cause in known:
        asked_by = cause.asked_by(moved)
        asking = dict.fromkeys(
            change.entered_as if change.entered_as.startswith(OF_A_MOTOR) else change.quantity
            for change, names in real
            if not asked_by.isdisjoint(names) and (change.effect == RAISED or not cause.only_raised)
        )
        if asking:
            works.append(FollowUp(cause.do, cause.because, tuple(asking)))
    return tuple(works)


def _names(quantity: str) -> list[str]:
    """The quantity, and every section that it lies in."""
    parts = quantity.split(".")
    return [".".join(parts[:length]) for length in range(1, len(parts) + 1)]
