"""What resolved a finding that stood before: a commit, a merge, time alone, or the end of the vehicle."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from ..comparison.history import EpisodeCause, Version
from ..documents.git_commits import LoggedCommit
from ..documents.git_history import Step
from ..judgement.finding import Finding
from ..reports.finding_origin import FindingEnd, FindingOrigin
from .version_search import CommitLine, VersionSearch

MOST_ENDED = 64  # versions of the main line, and of branches, that are asked for a finding


class EndSearch:
    """Looks for the end of one rule's finding on one vehicle."""

    def __init__(
        self, search: VersionSearch, back: Callable[[FindingOrigin, CommitLine], FindingOrigin]
    ) -> None:
        self.search, self.back = search, back  # `back` looks for what had brought the finding

    def ended(self, whole: FindingOrigin, disk: Version | None, today: str) -> FindingOrigin:
        """What had brought a finding that stood before, and what resolved it.

        The last versions of the main line are asked, then those of branches that were merged, each on
        the first and the last day of its own.
        """
        main = self.search.line(self.search.reader.commits[-1].commit, frozenset())
        ended = self._ended_on([(main, len(main) - 1)], whole, disk, today)
        if ended.end is not None:
            return ended
        beside = self._ended_on(self._branches(main), whole, None, today)
        return replace(beside, is_halved=beside.is_halved or ended.is_halved)

    def _branches(self, main: CommitLine) -> Iterator[tuple[CommitLine, int]]:
        """Each branch that was merged, the newest merge first, with the merge behind its tip."""
        known = {one.commit for one in main}
        waiting = [main]
        while waiting:
            for one in reversed(waiting.pop(0)):
                for parent in one.parents[1:]:
                    beside = [] if parent in known else self.search.line(parent, frozenset(known))
                    known |= {each.commit for each in beside}
                    if beside:
                        waiting.append(beside)
                        yield [*beside, one], len(beside) - 1

    def _ended_on(
        self,
        lines: Iterable[tuple[CommitLine, int]],
        whole: FindingOrigin,
        disk: Version | None,
        today: str,
    ) -> FindingOrigin:
        """The same on some lines, each up to its tip."""
        after = disk  # the version that came next, with its cause where no commit has it
        count = 0
        for line, tip in lines:
            for version, first, last in self.search.segments(line, tip):
                if count > MOST_ENDED:
                    return replace(whole, is_halved=True)
                count += 1
                was = self.search.finding(version, self.search.day(line[last]))
                until = today if last + 1 == len(line) else self.search.day(line[last + 1])
                if was is None and first < last:
                    was, until = (
                        self.search.finding(version, self.search.day(line[first])),
                        self.search.day(line[last]),
                    )
                    last = first
                if was is not None:
                    end = self._end(was, version, line[: last + 2], last, until, after)
                    assert version.profile is not None
                    named = replace(whole, end=end, name=whole.name or version.profile.name)
                    return self.back(named, line[: last + 1])
                after = None
        return whole

    def _end(
        self,
        was: Finding,
        version: Version,
        line: CommitLine,
        last: int,
        until: str,
        disk: Version | None,
    ) -> FindingEnd:
        """What a finding came to its end by: time alone where the version had it no more by then."""
        if self.search.finding(version, until) is None:
            day = self.search.first_day(version, self.search.day(line[last]), until, is_found=False)
            return FindingEnd(was, Step("", day, "", version.step.path), "day")
        if last + 1 == len(line):
            assert disk is not None
            return FindingEnd(was, disk.step, "disk", disk.is_absent)
        one = line[last + 1]
        mended = self._mended_beside(one, line) if len(one.parents) > 1 else None
        cause: EpisodeCause = "merge" if mended is None and len(one.parents) > 1 else "commit"
        one = mended or one
        is_gone = self.search.version(one).is_absent
        return FindingEnd(was, self.search.reader.step(one), cause, is_gone)

    def _mended_beside(self, merge: LoggedCommit, line: CommitLine) -> LoggedCommit | None:
        """The commit of a merged branch that resolved a finding which the branch had had too."""
        search, stop = self.search, frozenset(one.commit for one in line)
        for parent in merge.parents[1:]:
            beside = search.line(parent, stop)
            first_clear: int | None = None
            for count, (version, first, last) in enumerate(search.segments(beside)):
                if search.finding(version, search.day(beside[last])) is not None:
                    if first_clear is not None:
                        return beside[first_clear]
                    break
                if count > MOST_ENDED:
                    break
                first_clear = first
        return None
