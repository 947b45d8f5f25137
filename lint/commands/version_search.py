"""A vehicle's versions along the commits, and one rule's finding on each."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date

from ..comparison.history import Version
from ..documents.day import day_of
from ..documents.git_commits import LoggedCommit
from ..documents.git_history import Step
from ..judgement.finding import Finding
from .history_reader import Reader

CommitLine = Sequence[LoggedCommit]
Segment = tuple[Version, int, int]


class VersionSearch:
    """Reads each version once, and asks it for the finding of one rule."""

    def __init__(self, reader: Reader, rule: str, day_of_step: Callable[[Step], str]) -> None:
        self.reader, self.rule, self.day_of_step = reader, rule, day_of_step
        self.by_name = {one.commit: one for one in reader.commits}
        self.read: dict[str, Version] = {}

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

    def line(self, tip: str, stop: frozenset[str]) -> list[LoggedCommit]:
        """The commits back along first parents, the oldest first, up to one of those to stop at."""
        line: list[LoggedCommit] = []
        while tip in self.by_name:
            line.append(self.by_name[tip])
            if tip in stop or not line[-1].parents:
                break
            tip = line[-1].parents[0]
        return line[::-1]

    def segments(self, line: CommitLine, tip: int | None = None) -> Iterator[Segment]:
        """Back from the tip: each version, and the first and last commit of the line that have it."""
        last = len(line) - 1 if tip is None else tip
        while last >= 0:
            version = self.version(line[last])
            first = last
            while first > 0 and self.reader.is_same_before(version, line[first]):
                first -= 1
            yield version, first, last
            last = first - 1

    def first_day(self, version: Version, start: str, end: str, is_found: bool) -> str:
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
