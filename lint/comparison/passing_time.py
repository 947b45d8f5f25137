"""What time alone did to a profile that nobody touched: a waiver ran out, a reading grew old."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from datetime import date, timedelta
from math import floor

from ..documents.day import day_of, is_day
from ..documents.git_history import Step
from ..documents.profile import Profile
from ..documents.schema import allowances, canonical
from ..judgement.evaluation import Ruling, hear
from ..judgement.finding import Judgement
from ..judgement.judge import concluded
from ..judgement.waivers import LONGEST_DAYS
from .comparison import compare
from .consequence import unmoved
from .finding_change import FindingChange
from .history import Episode, Followed, Version, value_at

TIME = "Nothing was committed: a date passed, or an age reached its limit."
RAN_OUT = "Nothing was committed: a waiver ran out."
COUNTED_IN = "days"


def time_turns(
    version: Version, first: str, last: str, followed: Followed | None = None
) -> Iterator[Episode]:
    """Each day after the first, up to the last, on which the findings of a version became others.

    Asked are the days on which a date of the documents passes or is as old as the shop lets it be. Where
    the findings differ from one of them to the next, an own rule has another limit, which is looked for.
    """
    if version.profile is None or last <= first:
        return
    states = _States(version, first)
    start = first
    for end in [*_turning_days(version.profile, first, last), last]:
        while start < end and states.on(start) != states.on(end):
            start = states.first_day_unlike(start, end)
            yield _turn(version, start, followed)
        start = max(start, end)


def _turning_days(profile: Profile, first: str, last: str) -> list[str]:
    """The days between two others on which something can come to be otherwise, and those before them."""
    allowed = profile.house.allowances
    holds = [
        floor(allowed[name].number if name in allowed else one.default)
        for name, one in allowances().items()
        if one.unit == COUNTED_IN
    ]
    turns = {
        day_of(day).toordinal() + days
        for day in _dates(profile)
        for days in (0, *(days + 1 for days in holds))
    }
    for waiver in profile.waivers:
        until = day_of(waiver.until).toordinal()
        turns |= {until - LONGEST_DAYS, until + 1}
    low, high = day_of(first).toordinal(), day_of(last).toordinal()
    asked = {day for turn in turns for day in (turn - 1, turn) if low < day < high}
    return [date.fromordinal(day).isoformat() for day in sorted(asked)]


def _dates(profile: Profile) -> set[str]:
    """The days that a profile gives, of each of several motors too."""
    names = [name for name, entry in canonical().items() if entry.kind == "date"]
    given = {one.value(name) for one in (profile, *profile.motors.values()) for name in names}
    return {day for day in given if isinstance(day, str) and is_day(day)}


def _shifted(day: str, days: int) -> str:
    return (day_of(day) + timedelta(days=days)).isoformat()


class _States:
    """What is found on a version on one day or another; what no day moves is heard once."""

    def __init__(self, version: Version, first: str) -> None:
        self.version = version
        self.known: Mapping[str, Ruling] = {}
        assert version.profile is not None
        if not version.profile.motors:
            assert version.catalogue is not None
            heard = version.on(first).hearing
            self.known = unmoved(heard, version.profile, version.catalogue, same_day=False)
        self._told: dict[str, Hashable] = {}

    def on(self, day: str) -> Hashable:
        """What is found on a day, apart from the words: numbers of days move every day."""
        if day not in self._told:
            judgement = self._judgement(day)
            self._told[day] = (
                judgement.verdict,
                frozenset(
                    (
                        one.rule.id,
                        one.severity,
                        one.modes,
                        one.motors,
                        one.entered_as,
                        one.waived is None,
                    )
                    for one in judgement.findings
                ),
            )
        return self._told[day]

    def _judgement(self, day: str) -> Judgement:
        profile, catalogue = self.version.profile, self.version.catalogue
        assert profile is not None and catalogue is not None
        if profile.motors:
            return self.version.on(day).judgement
        # Without the sweeps that only advice needs: many days are asked.
        return concluded(hear(profile, catalogue, day, self.known), catalogue, day, sweeps=False)

    def first_day_unlike(self, start: str, end: str) -> str:
        """The first day on which the findings are others than at the start, by halving the time between."""
        low, high = day_of(start).toordinal(), day_of(end).toordinal()
        found = self.on(start)
        while high - low > 1:
            middle = (low + high) // 2
            if self.on(date.fromordinal(middle).isoformat()) == found:
                low = middle
            else:
                high = middle
        return date.fromordinal(high).isoformat()


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
