"""What time alone did to a profile that nobody touched: a waiver ran out, a reading grew old."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from datetime import date, timedelta

from ..documents.day import day_of
from ..documents.git_history import Step
from ..judgement.evaluation import hear
from ..judgement.judge import concluded
from .comparison import compare
from .finding_change import FindingChange
from .history import Episode, Followed, Version, value_at

TIME = "Nothing was committed: a date passed, or an age reached its limit."
RAN_OUT = "Nothing was committed: a waiver ran out."


def time_turns(
    version: Version, first: str, last: str, followed: Followed | None = None
) -> Iterator[Episode]:
    """Each day after the first, up to the last, on which the findings of a version became others."""
    if version.profile is None or last <= first:
        return
    start = first
    for end in [*_days_after_waivers(version, first, last), last]:
        while start < end and _found(version, start) != _found(version, end):
            start = first_day_unlike(version, start, end)
            yield _turn(version, start, followed)
        start = max(start, end)


def _days_after_waivers(version: Version, first: str, last: str) -> list[str]:
    assert version.profile is not None
    ends = {waiver.until for waiver in version.profile.waivers if first <= waiver.until < last}
    return sorted({_shifted(until, 1) for until in ends})


def _shifted(day: str, days: int) -> str:
    return (day_of(day) + timedelta(days=days)).isoformat()


def first_day_unlike(version: Version, start: str, end: str) -> str:
    """The first day on which the findings are others than at the start, by halving the time between."""
    low, high = day_of(start).toordinal(), day_of(end).toordinal()
    found = _found(version, start)
    while high - low > 1:
        middle = (low + high) // 2
        if _found(version, date.fromordinal(middle).isoformat()) == found:
            low = middle
        else:
            high = middle
    return date.fromordinal(high).isoformat()


def _found(version: Version, day: str) -> Hashable:
    """What is found on a day, apart from the words: numbers of days move every day."""
    assert version.profile is not None and version.catalogue is not None
    if version.profile.motors:
        judgement = version.on(day).judgement
    else:  # without the sweeps that only advice needs: many days are asked
        hearing = hear(version.profile, version.catalogue, day)
        judgement = concluded(hearing, version.catalogue, day, sweeps=False)
    return judgement.verdict, frozenset(
        (one.rule.id, one.severity, one.modes, one.motors, one.entered_as, one.waived is None)
        for one in judgement.findings
    )


def _turn(version: Version, day: str, followed: Followed | None) -> Episode:
    assert version.catalogue is not None
    now = version.on(day)
    compared = compare(version.on(_shifted(day, -1)), now, version.catalogue, in_full=False)
    moved = tuple(change for change in compared.finding_changes if change.way != "standing")
    return Episode(
        step=Step("", day, RAN_OUT if any(map(_ran_out, moved)) else TIME, version.step.path),
        judgement=now.judgement,
        changes=(),
        finding_changes=moved,
        value=None if followed is None else value_at(followed, now),
        cause="day",
    )


def _ran_out(change: FindingChange) -> bool:
    """Whether a finding lost its waiver."""
    was = change.old is not None and change.old.waived is not None
    return was and change.new is not None and change.new.waived is None
