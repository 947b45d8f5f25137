"""A profile's story in order: what each commit changed, and what time alone did between them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from .comparison import compare
from .finding_change import FindingChange
from .history import DayOf, Episode, Followed, HistoryPoint, Version, episode_of
from .passing_time import time_turns


def episodes(
    points: Iterable[HistoryPoint], day_of: DayOf, today: str, followed: Followed | None = None
) -> Iterator[Episode]:
    """Every episode, parents before their children.

    A merge is told where it leaves another vehicle than the episode before it: what stands last is
    what the main line has.
    """
    clock = _Clock(day_of, followed)
    last: Version | None = None  # what the episode before left
    every = list(points)
    for number, point in enumerate(every):
        for turn in clock.until(point, every[number:]):
            last = clock.held
            yield turn
        told = episode_of(point, day_of, followed)
        is_shown = point.is_restored or (point.is_touched and not point.is_merge)
        is_first = last is None and not point.before
        if told.has_news or is_shown or is_first:
            is_told = point.version is last and (point.is_merge or point.version.is_absent)
            if not (told.error and is_told):
                yield told
                last = point.version
        elif point.is_merge:
            brought = _brought(point, day_of(point.step))
            if brought or _is_other(last, point.version, day_of(point.step)):
                yield replace(told, is_joined=True, brought=brought)
                last = point.version
    yield from clock.rest(today)


def _brought(point: HistoryPoint, day: str) -> tuple[FindingChange, ...]:
    """The dangers and faults that a merge made new or worse on the branch into which it was merged."""
    was, now = point.main_before, point.version
    if was is None or was is now or was.profile is None or now.profile is None:
        return ()
    assert now.catalogue is not None
    compared = compare(was.on(day), now.on(day), now.catalogue, in_full=False)
    return tuple(change for change in compared.finding_changes if change.harms)


def _is_other(last: Version | None, now: Version, day: str) -> bool:
    """Whether a version has another value or finding than the one that was told last."""
    if last is None or last is now:
        return last is None
    if last.profile is None or now.profile is None or now.catalogue is None:
        return True
    compared = compare(last.on(day), now.on(day), now.catalogue, in_full=False)
    moved = any(change.way != "standing" for change in compared.finding_changes)
    return moved or bool(compared.made)


class _Clock:
    """What time does to the version that holds on the main line, told day by day, each turn once."""

    def __init__(self, day_of: DayOf, followed: Followed | None) -> None:
        self.day_of = day_of
        self.followed = followed
        self.held: Version | None = None
        self.done = ""  # the day up to which that is told
        self.told: set[tuple[str, tuple[str, ...]]] = set()

    def until(self, point: HistoryPoint, ahead: Iterable[HistoryPoint]) -> Iterator[Episode]:
        """What happened by itself before a commit; from one of the main line on its version holds.

        Before a commit of a branch no more is told than up to the next one of the main line `ahead`.
        """
        if not point.is_main:
            main = (self.day_of(one.step) for one in ahead if one.is_main)
            yield from self.rest(min(self.day_of(point.step), next(main, "")))
        elif point.version is not self.held:
            yield from self.rest(self.day_of(point.step))
            self.held = point.version if point.version.profile is not None else None
            self.done = ""

    def rest(self, last: str) -> Iterator[Episode]:
        """What happened by itself up to a day, but for what is told already."""
        if self.held is None:
            return
        first = max(self.day_of(self.held.step), self.done)
        for turn in time_turns(self.held, first, last, self.followed):
            rules = tuple(change.finding.rule.id for change in turn.finding_changes)
            if (turn.step.day, rules) not in self.told:
                self.told.add((turn.step.day, rules))
                yield turn
        self.done = max(self.done, last)
