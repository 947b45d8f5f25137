"""Which commit brought a finding to a vehicle: back from HEAD, and by halving where that is long."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date

from ..comparison.history import EpisodeCause, Version
from ..documents.day import day_of
from ..documents.files import is_yaml_name
from ..documents.git_commits import LoggedCommit
from ..documents.git_history import Step
from ..judgement.finding import Finding
from ..judgement.waivers import last_day_of_waiver
from ..reports.finding_origin import FindingEnd, FindingOrigin
from .history_reader import Reader

MOST_READ = 16  # versions read one by one from HEAD backwards; what is older is halved

_Line = Sequence[LoggedCommit]
_Segment = tuple[Version, int, int]


def _waived_to(version: Version, found: Finding, today: str) -> str:
    waivers = version.profile.waivers if version.profile else ()
    return last_day_of_waiver(waivers, found, today)


class OriginSearch:
    """Looks for the commit from which on one rule's finding stands on one vehicle."""

    def __init__(self, reader: Reader, rule: str, day_of_step: Callable[[Step], str]) -> None:
        self.reader, self.rule, self.day_of_step = reader, rule, day_of_step
        self.by_name = {one.commit: one for one in reader.commits}
        self.read: dict[str, Version] = {}

    def origin(self, disk: Version | None, today: str) -> FindingOrigin:
        """Where the finding comes from that stands today; `disk` is what is not committed, if anything."""
        head = self.reader.commits[-1]
        at_head = self.version(head)
        now = disk or at_head
        whole = FindingOrigin(
            now.step.path, _name(now), error=now.error, of=len(self.reader.commits)
        )
        found = self.finding(now, today)
        if found is None:
            ended = replace(whole) if now.error else self._ended(whole, disk, today)
            return replace(ended, read=len(self.read))
        whole = replace(whole, finding=found, waived_to=_waived_to(now, found, today))
        if disk is not None and self.finding(at_head, today) is None:
            return replace(whole, cause="disk", step=disk.step, read=len(self.read))
        if self.finding(at_head, self.day(head)) is None:
            turned = self._by_time(whole, at_head, self.day(head), today)
            return replace(turned, read=len(self.read))
        line = self._line(head.commit, frozenset())
        return replace(self._back(whole, line), read=len(self.read))

    def _ended(self, whole: FindingOrigin, disk: Version | None, today: str) -> FindingOrigin:
        """What had brought a finding that stood on the main line before, and what resolved it.

        The last versions are asked, each on the first and the last day of its own.
        """
        line = self._line(self.reader.commits[-1].commit, frozenset())
        after = disk  # the version that came next, with its cause where no commit has it
        for count, (version, first, last) in enumerate(self._segments(line)):
            if count > MOST_READ:
                return replace(whole, is_halved=True)
            was = self.finding(version, self.day(line[last]))
            until = today if last + 1 == len(line) else self.day(line[last + 1])
            if was is None and first < last:
                was, until = self.finding(version, self.day(line[first])), self.day(line[last])
                last = first
            if was is not None:
                end = self._end(was, version, line[: last + 2], last, until, after)
                return self._back(replace(whole, end=end), line[: last + 1])
            after = None
        return whole

    def _end(
        self,
        was: Finding,
        version: Version,
        line: _Line,
        last: int,
        until: str,
        disk: Version | None,
    ) -> FindingEnd:
        """What a finding came to its end by: time alone where the version had it no more by then."""
        if self.finding(version, until) is None:
            day = self._first_day(version, self.day(line[last]), until, is_found=False)
            return FindingEnd(was, Step("", day, "", version.step.path), "day")
        if last + 1 == len(line):
            assert disk is not None
            return FindingEnd(was, disk.step, "disk")
        one = line[last + 1]
        cause: EpisodeCause = "merge" if len(one.parents) > 1 else "commit"
        return FindingEnd(was, self.reader.step(one), cause)

    def version(self, one: LoggedCommit) -> Version:
        """The vehicle as a commit left it, read once."""
        if one.commit not in self.read:
            self.read[one.commit] = self.reader.version(one)
            self.reader.done(1)
        return self.read[one.commit]

    def day(self, one: LoggedCommit) -> str:
        """The day to judge a commit by."""
        return self.day_of_step(self.reader.step(one))

    def finding(self, version: Version, day: str) -> Finding | None:
        """The rule's finding on a version on a day; None where it finds nothing or cannot be asked."""
        if version.profile is None:
            return None
        findings = version.on(day).judgement.findings
        return next((one for one in findings if one.rule.id == self.rule), None)

    def _line(self, tip: str, stop: frozenset[str]) -> list[LoggedCommit]:
        """The commits back along first parents, the oldest first, up to one of those to stop at."""
        line: list[LoggedCommit] = []
        while tip in self.by_name:
            line.append(self.by_name[tip])
            if tip in stop or not line[-1].parents:
                break
            tip = line[-1].parents[0]
        return line[::-1]

    def _segments(self, line: _Line) -> Iterator[_Segment]:
        """Back from the end: each version, and the first and last commit of the line that have it."""
        last = len(line) - 1
        while last >= 0:
            version = self.version(line[last])
            first = last
            while first > 0 and self.reader.is_same_before(version, line[first]):
                first -= 1
            yield version, first, last
            last = first - 1

    def _back(self, whole: FindingOrigin, line: _Line) -> FindingOrigin:
        """The commit of a line from which on the finding stands without a break up to its end."""
        since = len(line) - 1
        is_unread = False
        for count, (version, first, last) in enumerate(self._segments(line)):
            if version.profile is None:
                is_unread = is_unread or not version.is_absent
            elif self.finding(version, self.day(line[last])) is None:
                return self._between(replace(whole, is_unread=is_unread), line, last, since)
            elif self.finding(version, self.day(line[first])) is None:
                return self._by_time(whole, version, self.day(line[first]), self.day(line[last]))
            else:
                since, is_unread = first, False
            if count >= MOST_READ and first > 1:
                return self._halved(whole, line, since, first)
        return self._commit(replace(whole, is_from_start=True, is_unread=is_unread), line, since)

    def _between(self, whole: FindingOrigin, line: _Line, clear: int, found: int) -> FindingOrigin:
        """The cause, where the finding is not yet there at one commit and stands at a later one."""
        version, start, end = (
            self.version(line[clear]),
            self.day(line[clear]),
            self.day(line[found]),
        )
        if self.finding(version, end) is not None and not whole.is_unread:
            return self._by_time(whole, version, start, end)
        return self._commit(whole, line, found)

    def _halved(self, whole: FindingOrigin, line: _Line, since: int, end: int) -> FindingOrigin:
        """The same by halving what is older than `end`: one commit that brought it, of perhaps several."""
        whole = replace(whole, is_halved=True)
        places = [number for number in range(end) if number == 0 or _can_matter(line[number])]
        known = self._state(line, places[0])
        if known is not False:
            return self._commit(
                replace(whole, is_from_start=True), line, since if known is None else 0
            )
        low, high = 0, len(places)
        clear, found = places[0], since
        while high - low > 1:
            middle = (low + high) // 2
            state = next(
                (
                    (number, said)
                    for number in (*range(middle, low, -1), *range(middle + 1, high))
                    if (said := self._state(line, places[number])) is not None
                ),
                None,
            )
            if state is None:
                return self._between(replace(whole, is_unread=True), line, clear, found)
            if state[1]:
                high, found = state[0], places[state[0]]
            else:
                low, clear = state[0], places[state[0]]
        return self._between(whole, line, clear, found)

    def _state(self, line: _Line, number: int) -> bool | None:
        """Whether the finding stands at a commit; None where that cannot be told, False before it is there."""
        version = self.version(line[number])
        if version.profile is None:
            return False if version.is_absent else None
        return self.finding(version, self.day(line[number])) is not None

    def _commit(self, whole: FindingOrigin, line: _Line, number: int) -> FindingOrigin:
        """A commit; of a merge, that which brought it to the branch, where the branch had it already."""
        one = line[number]
        stop = frozenset(each.commit for each in line)
        for parent in one.parents[1:]:
            beside = self._line(parent, stop)
            tip = self.by_name.get(parent)
            if tip is None or len(beside) < 2:
                continue
            if self.finding(self.version(tip), self.day(tip)) is not None:
                brought = self._back(replace(whole, is_from_start=False), beside)
                if brought.step is not None and brought.step.commit != beside[0].commit:
                    return brought
        cause: EpisodeCause = "merge" if len(one.parents) > 1 else "commit"
        return replace(whole, cause=cause, step=self.reader.step(one))

    def _by_time(
        self, whole: FindingOrigin, version: Version, start: str, end: str
    ) -> FindingOrigin:
        """The day on which a version that nobody touched began to be found wanting."""
        day = self._first_day(version, start, end, is_found=True)
        return replace(whole, cause="day", step=Step("", day, "", version.step.path))

    def _first_day(self, version: Version, start: str, end: str, is_found: bool) -> str:
        """The first day after the start on which a version has the finding, or has it not, by halving."""
        low, high = day_of(start).toordinal(), day_of(end).toordinal()
        while high - low > 1:
            middle = (low + high) // 2
            found = self.finding(version, date.fromordinal(middle).isoformat()) is not None
            if found == is_found:
                high = middle
            else:
                low = middle
        return date.fromordinal(high).isoformat()


def _can_matter(one: LoggedCommit) -> bool:
    """Whether a commit changed anything that a profile could depend on."""
    return any(each.is_link or is_yaml_name(each.path) for each in one.changed)


def _name(version: Version) -> str:
    return version.profile.name if version.profile is not None else ""
