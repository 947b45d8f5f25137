"""Which commit brought a finding to a vehicle: back from HEAD, and by halving where that is long."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..comparison.history import EpisodeCause, Version
from ..documents.files import is_yaml_name
from ..documents.git_commits import LoggedCommit
from ..documents.git_history import Step
from ..reports.finding_origin import FindingOrigin
from .finding_end import EndSearch
from .version_search import CommitLine, VersionSearch

MOST_READ = 64  # versions read one by one from HEAD backwards; what is older is halved
PROBED = 16  # versions between, where a finding that halving found may have been gone again

_Mark = tuple[int, int]


class OriginSearch(VersionSearch):
    """Looks for the commit from which on one rule's finding stands on one vehicle."""

    def origin(self, disk: Version | None, today: str) -> FindingOrigin:
        """Where the finding comes from that stands today; `disk` is what is not committed, if anything."""
        head = self.reader.commits[-1]
        at_head = self.version(head)
        now = disk or at_head
        error = "" if now.is_absent else now.error  # of a vehicle that is gone its past is asked
        whole = FindingOrigin(now.step.path, _name(now), error=error, of=len(self.reader.commits))
        found = self.finding(now, today)
        if found is None:
            ended = whole if error else EndSearch(self, self.back).ended(whole, disk, today)
            return replace(ended, read=len(self.read))
        whole = replace(whole, finding=found)
        if disk is not None and self.finding(at_head, today) is None:
            return replace(whole, cause="disk", step=disk.step, read=len(self.read))
        if self.finding(at_head, self.day(head)) is None:
            turned = self._by_time(whole, at_head, self.day(head), today)
            return replace(turned, read=len(self.read))
        line = self.line(head.commit, frozenset())
        return replace(self.back(whole, line), read=len(self.read))

    def back(self, whole: FindingOrigin, line: CommitLine) -> FindingOrigin:
        """The commit of a line from which on the finding stands without a break up to its end."""
        since = len(line) - 1
        is_unread = False
        for count, (version, first, last) in enumerate(self.segments(line)):
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

    def _between(
        self, whole: FindingOrigin, line: CommitLine, clear: int, found: int
    ) -> FindingOrigin:
        """The cause, where the finding is not yet there at one commit and stands at a later one."""
        version, start, end = (
            self.version(line[clear]),
            self.day(line[clear]),
            self.day(line[found]),
        )
        if self.finding(version, end) is not None and not whole.is_unread:
            return self._by_time(whole, version, start, end)
        return self._commit(whole, line, found)

    def _halved(
        self, whole: FindingOrigin, line: CommitLine, since: int, end: int
    ) -> FindingOrigin:
        """The same by halving what is older than `end`: one commit that brought it, of perhaps several."""
        whole = replace(whole, is_halved=True)
        places = [number for number in range(end) if number == 0 or _can_matter(line[number])]
        known = self._state(line, places[0])
        if known is None:
            return self._commit(replace(whole, is_from_start=True), line, since)
        latest = (len(places), since)
        low, clear, high, found = (
            (-1, -1, 0, 0) if known else self._turn(line, places, (0, places[0]), latest)
        )
        # Probes behind it tell of a later turn, where the finding came, went and came again.
        while (gone := self._gone_again(line, places, high)) is not None:
            low, clear, high, found = self._turn(line, places, (gone, places[gone]), latest)
        if low < 0:
            return self._commit(replace(whole, is_from_start=True), line, 0)
        return self._between(replace(whole, is_unread=high - low > 1), line, clear, found)

    def _turn(
        self, line: CommitLine, places: Sequence[int], clear: _Mark, found: _Mark
    ) -> tuple[int, int, int, int]:
        """By halving, the last place that is clear and the first behind it that has the finding.

        Each is a number of `places` and the number of its commit; between them none can be read.
        """
        (low, clear_at), (high, found_at) = clear, found
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
                break
            if state[1]:
                high, found_at = state[0], places[state[0]]
            else:
                low, clear_at = state[0], places[state[0]]
        return low, clear_at, high, found_at

    def _gone_again(self, line: CommitLine, places: Sequence[int], found: int) -> int | None:
        """The last of some places behind one with the finding at which it is not there."""
        step = max((len(places) - found) // PROBED, 1)
        probes = range(len(places) - 1, found, -step)
        return next((one for one in probes if self._state(line, places[one]) is False), None)

    def _state(self, line: CommitLine, number: int) -> bool | None:
        """Whether the finding stands at a commit; None where that cannot be told, False before it is there."""
        version = self.version(line[number])
        if version.profile is None:
            return False if version.is_absent else None
        return self.finding(version, self.day(line[number])) is not None

    def _commit(self, whole: FindingOrigin, line: CommitLine, number: int) -> FindingOrigin:
        """A commit; of a merge, that which brought it to the branch, where the branch had it already."""
        one = line[number]
        stop = frozenset(each.commit for each in line)
        for parent in one.parents[1:]:
            beside = self.line(parent, stop)
            tip = self.by_name.get(parent)
            if tip is None or len(beside) < 2:
                continue
            if self.finding(self.version(tip), self.day(tip)) is not None:
                brought = self.back(replace(whole, is_from_start=False), beside)
                if brought.step is not None and brought.step.commit != beside[0].commit:
                    return brought
        cause: EpisodeCause = "merge" if len(one.parents) > 1 else "commit"
        return replace(whole, cause=cause, step=self.reader.step(one))

    def _by_time(
        self, whole: FindingOrigin, version: Version, start: str, end: str
    ) -> FindingOrigin:
        """The day on which a version that nobody touched began to be found wanting."""
        day = self.first_day(version, start, end, is_found=True)
        return replace(whole, cause="day", step=Step("", day, "", version.step.path))


def _can_matter(one: LoggedCommit) -> bool:
    """Whether a commit changed anything that a profile could depend on."""
    return any(each.is_link or is_yaml_name(each.path) for each in one.changed)


def _name(version: Version) -> str:
    return version.profile.name if version.profile is not None else ""
