"""The story of one profile: what each commit changed, and what became of its findings."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any, Literal

from ..documents.git_history import Step
from ..documents.profile import BASE, Profile
from ..judgement.catalogue import Catalogue
from ..judgement.evaluation import Hearing
from ..judgement.finding import Judgement
from ..judgement.rule import SEVERITIES
from ..judgement.sentences import Spoken, entered_in
from ..quantities.number import is_number, tidy
from ..quantities.registry import unit_of
from .change import ValueChange
from .comparison import Comparison, compare, new_vehicle
from .finding_change import FindingChange, JudgedSide
from .judged_side import judged_side

DIFFER = "differs by motor"
RETIRED_HERE = "The vehicle was retired here: its id stands under `retired` in the house file."
NOT_WORKED_OUT = "not worked out for several motors"

EpisodeCause = Literal["commit", "merge", "day", "disk"]
DayOf = Callable[[Step], str]


@dataclass(frozen=True, slots=True, eq=False)
class Version:
    """A profile as a commit left it; or the reason why it could not be read, or that it is not there.

    A step without a commit is what lies on the disk.
    """

    step: Step
    profile: Profile | None
    catalogue: Catalogue | None
    error: str = ""
    is_absent: bool = False
    _sides: dict[str, JudgedSide] = field(default_factory=dict, repr=False)

    def on(self, day: str) -> JudgedSide:
        """The profile judged on a day, once; another day spares what no day moves."""
        assert self.profile is not None and self.catalogue is not None
        if day not in self._sides:
            other = next(iter(self._sides.values()), None)
            self._sides[day] = judged_side(self.profile, self.catalogue, day, before=other)
        return self._sides[day]


@dataclass(frozen=True, slots=True)
class HistoryPoint:
    """A commit that left the profile otherwise than a parent did, or its file alone.

    `before` has for each parent the last version that could be read; a profile is `restored` that could
    not be read in any. `left_out` is the version of a
    parent that a merge did not take up, where it took another whole; `main_before` that of its first parent.
    """

    step: Step
    version: Version
    before: tuple[Version, ...]
    is_main: bool = True
    is_merge: bool = False
    is_touched: bool = True
    is_restored: bool = False
    left_out: Version | None = None
    main_before: Version | None = None


@dataclass(frozen=True, slots=True)
class Episode:
    """One commit of the story: its verdict, and what it changed since the one before.

    Where the cause is a `day`, nothing was committed: a date passed or an age reached its limit. A
    merge `is_joined` that changed nothing itself, and is told for what both sides had changed; `brought`
    is what came to the branch into which it was merged. Where the profile `is_absent` there is nothing to be read.
    """

    step: Step
    judgement: Judgement | None
    changes: tuple[ValueChange, ...]
    finding_changes: tuple[FindingChange, ...]
    value: Any
    error: str = ""
    cause: EpisodeCause = "commit"
    is_main: bool = True
    is_joined: bool = False
    is_absent: bool = False
    brought: tuple[FindingChange, ...] = ()

    @property
    def is_retired(self) -> bool:
        """Whether the shop parted with the vehicle here."""
        return self.error == RETIRED_HERE

    @property
    def has_news(self) -> bool:
        """Whether anything changed, or it could not be read."""
        return bool(self.changes or self.finding_changes or self.error)


@dataclass(frozen=True, slots=True)
class Followed:
    """The value that a story follows: its quantity, in one mode or in the base settings."""

    quantity: str
    mode: str = BASE


def episode_of(point: HistoryPoint, day_of: DayOf, followed: Followed | None = None) -> Episode:
    """What one commit changed: all judged on its own day, so that nothing is laid to it that time did."""
    version = point.version
    cause: EpisodeCause = "merge" if point.is_merge else "commit" if point.step.commit else "disk"
    if version.profile is None:
        return Episode(
            step=point.step,
            judgement=None,
            changes=(),
            finding_changes=(),
            value=None,
            error=version.error,
            cause=cause,
            is_main=point.is_main,
            is_absent=version.is_absent,
        )
    day = day_of(point.step)
    now = version.on(day)
    made, findings = _news(point, now, day)
    return Episode(
        step=point.step,
        judgement=now.judgement,
        changes=made,
        finding_changes=findings,
        value=None if followed is None else value_at(followed, now),
        cause=cause,
        is_main=point.is_main,
    )


def _news(
    point: HistoryPoint, now: JudgedSide, day: str
) -> tuple[tuple[ValueChange, ...], tuple[FindingChange, ...]]:
    """The changes of values and findings that hold against each parent: a merge's own."""
    assert point.version.catalogue is not None
    before = (point.left_out,) if point.left_out else point.before
    if any(one is point.version for one in before):
        return (), ()
    compared = [compare(one.on(day), now, point.version.catalogue, in_full=False) for one in before]
    if not compared:
        compared = [new_vehicle(now)]
    made = [{_value_key(change) for change in one.made} for one in compared]
    moved = [{_finding_key(change) for change in _moved(one)} for one in compared]
    return (
        tuple(
            change
            for change in compared[0].made
            if all(_value_key(change) in known for known in made)
        ),
        tuple(
            change
            for change in _moved(compared[0])
            if all(_finding_key(change) in known for known in moved)
        ),
    )


def _moved(compared: Comparison) -> Iterable[FindingChange]:
    return (
        change
        for change in compared.finding_changes
        if change.way != "standing" or change.is_waived_here or is_less_grave(change)
    )


def is_less_grave(change: FindingChange) -> bool:
    """Whether a finding stands with a severity that is less grave than it was."""
    if change.way != "standing" or change.old is None or change.new is None:
        return False
    was, now = (SEVERITIES.index(one.severity) for one in (change.old, change.new))
    return now > was


def _value_key(change: ValueChange) -> tuple[str, ...]:
    return (change.quantity, change.mode or "", change.entered_as)


def _finding_key(change: FindingChange) -> tuple[Any, ...]:
    finding = change.finding
    better = change.way == "resolved"
    return (better, finding.rule.id, finding.entered_as, change.modes, finding.motors)


def value_at(followed: Followed, side: JudgedSide) -> Any:
    """The followed value of one side; of several motors one that is given alike for all, else why not."""
    values = [followed_value(followed, hearing) for hearing in side.hearings.values()]
    if any(value != values[0] for value in values):
        return DIFFER
    books = [hearing.books.get(followed.mode) for hearing in side.hearings.values()]
    given = any(book is not None and book.given(followed.quantity) is not None for book in books)
    return values[0] if len(books) == 1 or values[0] is None or given else NOT_WORKED_OUT


def followed_value(followed: Followed, hearing: Hearing) -> Any:
    """The followed value at one commit, canonical; None where there is none."""
    book = hearing.books.get(followed.mode)
    if book is None:
        return None
    value = book.operand(followed.quantity).value
    if is_number(value):
        return tidy(float(value))
    return value


FOLLOWS_NONE = Spoken(1.0, 0.0, "", None)


def told_in(followed: Followed, hearing: Hearing | None) -> Spoken:
    """How the followed value is told: in the unit of the key as entered last."""
    book = None if hearing is None else hearing.books.get(followed.mode)
    if book is None:
        return Spoken(1.0, 0.0, unit_of(followed.quantity), None)
    return entered_in(followed.quantity, book)
