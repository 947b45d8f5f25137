"""Two revisions of one vehicle side by side: what changed, what it does, is it still safe?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ..judgement.catalogue import Catalogue
from ..judgement.finding import Judgement, NotChecked
from ..riding.vehicle import Ridden
from .change import ValueChange, changes
from .changed_rules import as_judged_before, with_changed_rules
from .consequence import THRESHOLD, Consequence, consequences
from .finding_change import FindingChange, JudgedSide, Way, finding_changes
from .followup import FollowUp, causes, follow_ups
from .loosening import Loosening, loosenings
from .margin import Margin, margins
from .renewed_waivers import without_renewals
from .ride_change import RideChange, ride_changes
from .statement import statement

if TYPE_CHECKING:
    from .failure_change import FailureChange

WAIVER_SIZE = ".accepts"


@dataclass(frozen=True, slots=True)
class Waiting:
    """Rules that can no longer be checked, and those that can be now; required ones too."""

    introduced: tuple[NotChecked, ...] = ()
    resolved: tuple[NotChecked, ...] = ()


@dataclass(frozen=True, slots=True)
class Comparison:
    """Everything that a person who will ride the thing wants to know of a change.

    A vehicle that is new has no old side, one that is gone no new one. `rewritten` says that the
    text of a file differs, so that a report can say that no value does. `is_unknown` says that there
    may have been an old side, which nobody can read; `is_back` that the shop had parted with the vehicle.
    """

    old: Judgement | None
    new: Judgement | None
    changes: tuple[ValueChange, ...] = ()
    ride: tuple[RideChange, ...] = ()
    consequences: tuple[Consequence, ...] = ()
    failures: tuple[FailureChange, ...] = ()
    finding_changes: tuple[FindingChange, ...] = ()
    waiting: Waiting = Waiting()
    margins: tuple[Margin, ...] = ()
    follow_ups: tuple[FollowUp, ...] = ()
    loosened: tuple[Loosening, ...] = ()
    threshold: float = THRESHOLD
    rewritten: bool = False
    is_unknown: bool = False
    is_back: bool = False

    @property
    def judgement(self) -> Judgement:
        """The new side, or the old one of a vehicle that is gone."""
        side = self.new or self.old
        assert side is not None
        return side

    @property
    def made(self) -> tuple[ValueChange, ...]:
        """The changes that are more than spelling."""
        return tuple(change for change in self.changes if change.kind != "equivalent")

    @property
    def equivalent(self) -> tuple[ValueChange, ...]:
        """The values that only stand under another key, or come from a part now."""
        return tuple(change for change in self.changes if change.kind == "equivalent")

    @property
    def is_empty(self) -> bool:
        """Whether both sides say the same and are judged the same."""
        return not (
            self.old is None
            or self.new is None
            or self.made
            or self.consequences
            or self.waiting.introduced
            or self.waiting.resolved
            or any(change.way != "standing" or change.improved for change in self.finding_changes)
        )

    @property
    def harms(self) -> bool:
        """Whether a finding harms, a grave failure is uncovered, or the shop asks for less."""
        asks_less = any(one.harms for one in self.loosened)
        return self.harms_by_finding or bool(self.uncovered) or asks_less

    @property
    def harms_by_finding(self) -> bool:
        """Whether the change made a danger or fault new or worse, or hid one that was there."""
        return any(change.harms for change in self.finding_changes)

    @property
    def uncovered(self) -> tuple[FailureChange, ...]:
        """The failures that may injure or destroy, and that nothing catches any more; gravest first."""
        return tuple(one for one in self.failures if one.harms)

    @property
    def hides(self) -> bool:
        """Whether a required rule that was checked is no longer checked."""
        return any(entry.gate for entry in self.waiting.introduced)

    def of_way(self, way: Way) -> tuple[FindingChange, ...]:
        """The findings that were introduced, worsened, resolved or stand."""
        return tuple(change for change in self.finding_changes if change.way == way)

    @property
    def unchecked(self) -> tuple[FindingChange, ...]:
        """The findings that are gone only since their rules cannot be checked any more."""
        return tuple(change for change in self.finding_changes if change.is_unchecked)

    @property
    def unflagged(self) -> tuple[FindingChange, ...]:
        """The findings that are gone, or less grave, only since the shop changed its rules."""
        return tuple(change for change in self.finding_changes if change.is_unflagged)

    @property
    def waived_here(self) -> tuple[FindingChange, ...]:
        """The dangers and faults that got their waiver by this change."""
        return tuple(change for change in self.finding_changes if change.is_waived_here)

    @property
    def waived_longer(self) -> tuple[FindingChange, ...]:
        """The dangers and faults whose waiver this change prolongs."""
        return tuple(change for change in self.finding_changes if change.is_waived_longer)

    @property
    def waives(self) -> bool:
        """Whether a danger or fault is waived now that was not, or is so for longer or for more."""
        return any(
            change.is_waived_here or change.is_waived_further for change in self.finding_changes
        )


def compare(
    old: JudgedSide, new: JudgedSide, catalogue: Catalogue, in_full: bool = True
) -> Comparison:
    """Both sides compared; `catalogue` is the one that the new side was judged by.

    If not `in_full`, only what was changed, found and left unchecked: not what that does to the ride, to
    calculated values and margins, nor the work that it makes.
    """
    was, now = old.judgement.profile, new.judgement.profile
    if was.motors or now.motors:
        return _of_motors(old, new, catalogue, in_full)
    before, after = statement(was), statement(now)
    made = _with_sizes(changes(was, now, before, after), old, new, catalogue)
    does = bool(made) and in_full
    as_before = as_judged_before(old, new)
    return Comparison(
        old=old.judgement,
        new=new.judgement,
        changes=made,
        ride=ride_changes(old.hearing.books, new.hearing.books) if does else (),
        consequences=consequences(old.hearing, new.hearing, made) if does else (),
        failures=_failures(old, new, made) if does else (),
        finding_changes=_told(finding_changes(old, new), old, new, as_before),
        waiting=_waiting(old.judgement, new.judgement),
        margins=margins(old.hearing, new.hearing, catalogue) if does else (),
        follow_ups=follow_ups(made, causes()) if does else (),
        loosened=loosenings(made, old, new, as_before) if does else (),
        rewritten=list(was.texts.values()) != list(now.texts.values()),
    )


def _of_motors(old: JudgedSide, new: JudgedSide, catalogue: Catalogue, in_full: bool) -> Comparison:
    """Both sides compared where one has several motors."""
    from .motor_changes import asked_of, motor_changes, motor_pairs  # late: seldom needed
    from .motor_consequences import motor_consequences, motor_margins
    from .motor_findings import motor_findings, unchecked_now

    was, now = old.judgement.profile, new.judgement.profile
    pairs = motor_pairs(was, now)
    made = _with_sizes(motor_changes(was, now, pairs), old, new, catalogue)
    asked = (*made, *asked_of(was, now, pairs))
    waiting = _waiting(old.judgement, new.judgement)
    waiting = replace(waiting, introduced=unchecked_now(old, new, pairs))
    does = bool(made) and in_full
    before = as_judged_before(old, new)
    return Comparison(
        old=old.judgement,
        new=new.judgement,
        changes=made,
        ride=ride_changes(*map(_ridden, (old, new))) if does else (),
        consequences=motor_consequences(old, new, pairs, asked) if does else (),
        failures=_failures(old, new, made) if does else (),
        finding_changes=_told(motor_findings(old, new, pairs), old, new, before),
        waiting=waiting,
        margins=motor_margins(old, new, pairs, catalogue) if does else (),
        follow_ups=follow_ups(asked, causes()) if in_full else (),
        loosened=loosenings(made, old, new, before) if does else (),
        rewritten=list(was.texts.values()) != list(now.texts.values()),
    )


def _with_sizes(
    made: tuple[ValueChange, ...], old: JudgedSide, new: JudgedSide, catalogue: Catalogue
) -> tuple[ValueChange, ...]:
    """The changes, with its unit where it is the size of a waiver that changed."""
    if not any(change.quantity.endswith(WAIVER_SIZE) for change in made):
        return made
    from ..judgement.waiver_list import size_unit  # late: seldom needed

    told: list[ValueChange] = []
    for change in made:
        if change.quantity.startswith("waivers.") and change.quantity.endswith(WAIVER_SIZE):
            rule = change.quantity.split(".")[1]
            side = old if change.new is None else new
            judged_by = side.judged_by or catalogue
            change = replace(change, unit=size_unit(rule, None, side.judgement, judged_by))
        told.append(change)
    return tuple(told)


def _told(
    found: tuple[FindingChange, ...],
    old: JudgedSide,
    new: JudgedSide,
    before: JudgedSide | None,
) -> tuple[FindingChange, ...]:
    return with_changed_rules(without_renewals(found, old, new), old, new, before)


def _failures(
    old: JudgedSide, new: JudgedSide, made: tuple[ValueChange, ...]
) -> tuple[FailureChange, ...]:
    from .failure_change import failure_changes  # late: only what changed is rehearsed

    return failure_changes(old, new, made)


def _ridden(side: JudgedSide) -> Mapping[str, Ridden]:
    from ..judgement.ridden_books import heard_books  # late: most vehicles have one motor

    if not side.heard:
        return side.hearing.books
    return heard_books(side.judgement.profile, side.heard)


def new_vehicle(new: JudgedSide, is_unknown: bool = False, is_back: bool = False) -> Comparison:
    """A vehicle that is new, `is_back`, or of which `is_unknown` what it was: all found came with it."""
    introduced = (
        FindingChange("introduced", None, finding, finding.modes, finding.everywhere)
        for finding in new.judgement.findings
    )
    return Comparison(
        old=None,
        new=new.judgement,
        finding_changes=tuple(introduced),
        is_unknown=is_unknown,
        is_back=is_back,
    )


def vehicle_gone(old: JudgedSide) -> Comparison:
    """A vehicle that is gone."""
    return Comparison(old=old.judgement, new=None)


def _waiting(old: Judgement, new: Judgement) -> Waiting:
    was, now = old.not_checked, new.not_checked
    return Waiting(introduced=_unmatched(now, was), resolved=_unmatched(was, now))


def _unmatched(these: Iterable[NotChecked], those: Iterable[NotChecked]) -> tuple[NotChecked, ...]:
    known = {entry.rule.id for entry in those}
    return tuple(entry for entry in these if entry.rule.id not in known)
