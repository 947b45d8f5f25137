"""Two revisions of one vehicle side by side: what changed, what it does, is it still safe?"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from ..documents.profile import Profile
from ..judgement.catalogue import Catalogue
from ..judgement.evaluation import Ruling, hear
from ..judgement.finding import Judgement, NotJudged
from ..judgement.judge import concluded
from .change import Change, changes
from .consequence import THRESHOLD, Consequence, consequences, unmoved
from .finding_change import Bench, Matter, Way, matters
from .followup import FollowUp, causes, follow_ups
from .margin import Margin, margins
from .statement import statement


@dataclass(frozen=True, slots=True)
class Waiting:
    """Gates and other rules that cannot be judged any more, and those that can be now."""

    lost: tuple[NotJudged, ...] = ()
    gained: tuple[NotJudged, ...] = ()


@dataclass(frozen=True, slots=True)
class Comparison:
    """Everything that a person who will ride the thing wants to know of a change.

    A vehicle that is new has no old side, one that is gone no new one. `rewritten` says that the
    text of a file differs, so that a report can say that no value does.
    """

    old: Judgement | None
    new: Judgement | None
    changes: tuple[Change, ...] = ()
    consequences: tuple[Consequence, ...] = ()
    matters: tuple[Matter, ...] = ()
    waiting: Waiting = Waiting()
    margins: tuple[Margin, ...] = ()
    follow_ups: tuple[FollowUp, ...] = ()
    threshold: float = THRESHOLD
    rewritten: bool = False

    @property
    def judgement(self) -> Judgement:
        """The new side, or the old one of a vehicle that is gone."""
        side = self.new or self.old
        assert side is not None
        return side

    @property
    def made(self) -> tuple[Change, ...]:
        """The changes that are more than spelling."""
        return tuple(change for change in self.changes if change.kind != "respelt")

    @property
    def respelt(self) -> tuple[Change, ...]:
        """The values that only stand under another key, or come from a part now."""
        return tuple(change for change in self.changes if change.kind == "respelt")

    @property
    def is_empty(self) -> bool:
        """Whether both sides say the same and are judged the same."""
        return not (
            self.old is None
            or self.new is None
            or self.made
            or self.consequences
            or self.waiting.lost
            or self.waiting.gained
            or any(one.way != "standing" or one.eased for one in self.matters)
        )

    @property
    def harms(self) -> bool:
        """Whether the change brought in a danger or fault, or made one worse."""
        return any(matter.harms for matter in self.matters)

    @property
    def hides(self) -> bool:
        """Whether a gate that was judged is not judged any more."""
        return any(one.rule.gate for one in self.waiting.lost)

    def of_way(self, way: Way) -> tuple[Matter, ...]:
        """The findings that were introduced, worsened, resolved or stand."""
        return tuple(matter for matter in self.matters if matter.way == way)


def benched(
    profile: Profile,
    catalogue: Catalogue,
    judged_on: str,
    strict: bool = False,
    before: Bench | None = None,
) -> Bench:
    """One side, judged; `before`, the side before it, spares what the change does not reach."""
    known: Mapping[str, Ruling] = {}
    if before is not None and before.judgement.judged_on == judged_on:
        known = unmoved(before.hearing, profile, catalogue)
    hearing = hear(profile, catalogue, judged_on, known)
    return Bench(hearing, concluded(hearing, catalogue, judged_on, strict))


def compare(old: Bench, new: Bench, catalogue: Catalogue) -> Comparison:
    """Both sides compared; `catalogue` is the one that the new side was judged by."""
    was, now = old.hearing.profile, new.hearing.profile
    before, after = statement(was), statement(now)
    made = changes(was, now, before, after)
    return Comparison(
        old=old.judgement,
        new=new.judgement,
        changes=made,
        consequences=consequences(old.hearing, new.hearing, made) if made else (),
        matters=matters(old, new),
        waiting=_waiting(old.judgement, new.judgement),
        margins=margins(old.hearing, new.hearing, catalogue) if made else (),
        follow_ups=follow_ups(made, causes()),
        rewritten=list(was.texts.values()) != list(now.texts.values()),
    )


def added(new: Bench) -> Comparison:
    """A vehicle that is new: all that is found was brought in with it."""
    found = (
        Matter("introduced", None, finding, finding.modes, finding.everywhere)
        for finding in new.judgement.findings
    )
    return Comparison(old=None, new=new.judgement, matters=tuple(found))


def removed(old: Bench) -> Comparison:
    """A vehicle that is gone."""
    return Comparison(old=old.judgement, new=None)


def _waiting(old: Judgement, new: Judgement) -> Waiting:
    return Waiting(
        lost=_unmatched(new.not_judged, old.not_judged),
        gained=_unmatched(old.not_judged, new.not_judged),
    )


def _unmatched(these: Iterable[NotJudged], those: Iterable[NotJudged]) -> tuple[NotJudged, ...]:
    known = {one.rule.id for one in those}
    return tuple(one for one in these if one.rule.id not in known)
