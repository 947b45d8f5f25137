"""What a change put on lists of known findings: entries that are new there, graver or larger."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from ..documents.known import Known, KnownFinding
from ..documents.profile import BASE
from .known_findings import severity_rank


class KnownAddition(NamedTuple):
    """A finding, or a required rule not checked, that a change put on a list or made larger there."""

    file: str
    vehicle: str
    rule: str
    severity: str | None


def known_additions(old: Iterable[Known], new: Iterable[Known]) -> tuple[KnownAddition, ...]:
    """What lists record on the new side and did not on the old one, or not as grave or as large."""
    before = [*old]
    return tuple(addition for known in new for addition in _added(known, before))


def _added(known: Known, before: Sequence[Known]) -> Iterator[KnownAddition]:
    for vehicle in known.vehicles:
        was = [each.of(vehicle.file, vehicle.id) for each in before]
        findings = [one for each in was for one in each.findings]
        asks = [one for each in was for one in each.asks]
        for finding in vehicle.findings:
            if not any(_holds(one, finding) for one in findings):
                yield KnownAddition(known.file, vehicle.file, finding.rule, finding.severity)
        for ask in vehicle.asks:
            if not any(
                one.rule == ask.rule and set(ask.missing) <= set(one.missing) for one in asks
            ):
                yield KnownAddition(known.file, vehicle.file, ask.rule, None)


def _holds(old: KnownFinding, new: KnownFinding) -> bool:
    """Whether an entry covers no more than another one did."""
    same = ("rule", "entry", "unit")
    if any(getattr(old, key) != getattr(new, key) for key in same):
        return False
    if severity_rank(new.severity) < severity_rank(old.severity) or bool(old.excess is None) != (
        new.excess is None
    ):
        return False
    if (old.at_most is None) != (new.at_most is None):
        return False
    modes = set(new.modes or (BASE,)) <= set(old.modes or (BASE,))
    motors = not old.motors or (bool(new.motors) and set(new.motors) <= set(old.motors))
    larger = old.excess is not None and new.excess is not None and new.excess > old.excess
    return modes and motors and not larger
