"""The verdicts of a vehicle at the last commits, each on the day of its commit."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from ..comparison.consequence import unmoved
from ..comparison.history import Version
from ..documents.error import GonogoError
from ..documents.git_commits import LoggedCommit, logged_commits, main_line
from ..documents.git_history import from_top, has_commits
from ..judgement.evaluation import Hearing, hear
from ..judgement.finding import Verdict
from ..judgement.judge import concluded
from ..reports.shop import TrendPoint
from .commit_library import CommitLibrary
from .history import day_of_step
from .history_reader import Reader


class Trend(NamedTuple):
    """A vehicle's verdicts, and the commits that they rest on, as `last_commits` tells them.

    None where they rest on more: files in another repository, or some that could not be read.
    """

    points: tuple[TrendPoint, ...]
    commits: bytes | None


class Trends:
    """The last commits of each repository, read once; `most` of them, none where that is nought."""

    def __init__(self, most: int, judged_on: str) -> None:
        self.most, self.judged_on = most, judged_on
        self._logs: dict[Path, tuple[LoggedCommit, ...]] = {}
        self._libraries: dict[Path, CommitLibrary] = {}

    def of(self, file: Path) -> Trend:
        """The verdict at each commit, the earliest first; empty outside git and without a commit."""
        if not self.most:
            return Trend((), b"")
        try:
            top, inside = from_top(file)
        except GonogoError:  # no repository
            return Trend((), b"")
        try:
            commits = self.commits(top)
            if top not in self._libraries:
                self._libraries[top] = CommitLibrary(top)
            library = self._libraries[top]
            reader = Reader(top, commits, inside, library=library)
            points = self._points(reader, commits) if commits else ()
        except GonogoError:  # one that cannot be read: there is no trend
            return Trend((), None)
        return Trend(points, _told(commits) if library.is_whole() else None)

    def commits(self, top: Path) -> tuple[LoggedCommit, ...]:
        """The last commits of the main line, with those that were merged between them."""
        if top not in self._logs:
            every = logged_commits(top) if has_commits(top) else ()
            main = main_line(every)
            line = [number for number, one in enumerate(every) if one.commit in main]
            self._logs[top] = every[line[-self.most :][0] :] if line else ()
        return self._logs[top]

    def _points(self, reader: Reader, commits: Sequence[LoggedCommit]) -> tuple[TrendPoint, ...]:
        for _ in reader.points():
            pass  # read in order, so that each commit has its version
        main = main_line(commits)
        line = [one for one in commits if one.commit in main]
        verdicts = _Verdicts()
        return tuple(
            TrendPoint(one.commit, one.day, self._verdict(verdicts, reader, one)) for one in line
        )

    def _verdict(self, verdicts: _Verdicts, reader: Reader, one: LoggedCommit) -> Verdict | None:
        """The verdict of the version that a commit has; None where there is none to be read.

        On its own day, be its files those of an older commit: a waiver may have run out since.
        """
        version = reader.versions[one.commit]
        if version.profile is None:
            return None
        return verdicts.of(
            version, day_of_step(reader.step(one), self.judged_on, todays_rules=False)
        )


def _told(commits: Sequence[LoggedCommit]) -> bytes:
    """The commits of the main line, the last one first."""
    main = main_line(commits)
    lines = [
        f"{one.commit} {' '.join(one.parents)} {one.day}\n"
        for one in reversed(commits)
        if one.commit in main
    ]
    return "".join(lines).encode()


class _Verdicts:
    """The verdicts of one vehicle's versions; what neither a change nor the day moves is heard once."""

    def __init__(self) -> None:
        self._before: tuple[Hearing, str] | None = None
        self._told: dict[tuple[int, str], tuple[Version, Verdict]] = {}

    def of(self, version: Version, day: str) -> Verdict:
        """The verdict of a version on a day."""
        key = (id(version), day)
        if key not in self._told:
            self._told[key] = (
                version,
                self._judged(version, day),
            )  # kept, so that its id is its own
        return self._told[key][1]

    def _judged(self, version: Version, day: str) -> Verdict:
        profile, catalogue = version.profile, version.catalogue
        assert profile is not None and catalogue is not None
        if profile.motors:
            return version.on(day).judgement.verdict
        if self._before is None:
            hearing = hear(profile, catalogue, day)
        else:
            before, was = self._before
            hearing = hear(profile, catalogue, day, unmoved(before, profile, catalogue, was == day))
        self._before = (hearing, day)
        return concluded(hearing, catalogue, day, sweeps=False).verdict
