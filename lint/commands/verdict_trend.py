"""The verdicts of a vehicle at the last commits, each as it was when its files came to be so."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from ..documents.error import GonogoError
from ..documents.git_commits import LoggedCommit, logged_commits, main_line
from ..documents.git_history import from_top, has_commits
from ..judgement.finding import Verdict
from ..reports.shop import TrendPoint
from .history import day_of_step
from .history_reader import Reader


class Trends:
    """The last commits of each repository, read once; `most` of them, none where that is nought."""

    def __init__(self, most: int, judged_on: str) -> None:
        self.most, self.judged_on = most, judged_on
        self._logs: dict[Path, tuple[LoggedCommit, ...]] = {}

    def of(self, file: Path) -> tuple[TrendPoint, ...]:
        """The verdict at each commit, the earliest first; empty outside git and without a commit."""
        if not self.most:
            return ()
        try:
            top, inside = from_top(file)
            commits = self._commits(top)
            return self._points(Reader(top, commits, inside), commits) if commits else ()
        except GonogoError:  # no repository, or one that cannot be read: there is no trend
            return ()

    def _commits(self, top: Path) -> tuple[LoggedCommit, ...]:
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
        return tuple(
            TrendPoint(one.commit, one.day, self._verdict(reader, one.commit))
            for one in commits
            if one.commit in main
        )

    def _verdict(self, reader: Reader, commit: str) -> Verdict | None:
        """The verdict of the version that a commit has; None where there is none to be read."""
        version = reader.versions[commit]
        if version.profile is None:
            return None
        day = day_of_step(version.step, self.judged_on, todays_rules=False)
        return version.on(day).judgement.verdict
