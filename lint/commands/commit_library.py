"""The commits that many vehicles are read from: each is opened once, and each of its files read once."""

from __future__ import annotations

from collections.abc import Callable
from copy import copy
from dataclasses import replace
from pathlib import Path

from ..documents.document import DocumentKind, Reading
from ..documents.git import ObjectReader
from ..documents.git_revision import Commit, GitRevision
from ..documents.repository import Repository
from .sides import ProfilePath, Shelf

LARGEST_KEPT = 64 << 20  # bytes of files; what is beyond is read again

KeptReadings = dict[tuple[str, DocumentKind | None, str], Reading]


class KeptObjects(ObjectReader):
    """Reads each file once, by git's name for it, and goes on until it is ended."""

    def __init__(self, top: Path) -> None:
        super().__init__(top)
        self._kept: dict[str, bytes | None] = {}
        self._left = LARGEST_KEPT

    def read(self, name: str) -> bytes | None:
        """A file's bytes, or None where it is too large to be read."""
        if name in self._kept:
            return self._kept[name]
        data = super().read(name)
        self._left -= len(data or b"")
        if self._left >= 0:
            self._kept[name] = data
        return data

    def stop(self) -> None:
        """Nothing: the next commit is read by the same process."""

    def end(self) -> None:
        """End the process."""
        super().stop()


class SharedShelf(Shelf):
    """A commit whose documents are taken over from another where they lie there with the same text.

    Its files are shown under one name whatever the commit is, so that they are the same.
    """

    def __init__(self, commit: Commit, readings: KeptReadings) -> None:
        super().__init__(commit, "")
        self.readings = readings

    def side(self, path: str) -> ProfilePath:
        """A file of the commit."""
        side = super().side(path)
        files = side.repository.files
        assert isinstance(files, GitRevision)
        if files.readings is None:
            shared = Repository(replace(files, readings=self.readings), side.repository.strays)
            self._opened[files.root] = shared
            side = replace(side, repository=shared)
        return side


class CommitLibrary:
    """The commits of one repository."""

    def __init__(self, top: Path, opened: Callable[[Path, str], Commit] = Commit) -> None:
        self.top, self.opened = top, opened
        self.objects = KeptObjects(top)
        self.readings: KeptReadings = {}
        self._commits: dict[str, Commit] = {}

    def shelf(self, name: str) -> SharedShelf:
        """A commit, to be read by one who may note what is read."""
        if name not in self._commits:
            commit = self._commits[name] = self.opened(self.top, name)
            commit.objects.own.stop()
            commit.objects.own = self.objects
        return SharedShelf(copy(self._commits[name]), self.readings)

    def is_whole(self) -> bool:
        """Whether no commit that was opened has files that lie in another repository."""
        return not any(one.submodules or one.lacking for one in self._commits.values())

    def close(self) -> None:
        """End the processes."""
        for commit in self._commits.values():
            commit.close()
        self.objects.end()
