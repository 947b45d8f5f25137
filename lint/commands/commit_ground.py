"""The files of a commit, or those staged, as what a call may name."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from posixpath import join
from typing import TYPE_CHECKING

from ..documents.files import lies_in
from ..documents.git_revision import Commit, GitRevision
from ..documents.repository import Repository, open_revision
from ..documents.revision_search import find_in
from ..documents.search import Listed
from ..reports.check_totals import Unread

if TYPE_CHECKING:
    from .vanished import LastCommit


class CommitGround:
    """The files of a commit, or what is staged; paths start at git's top.

    What is staged is held against the `last` commit, a commit against none.
    """

    def __init__(self, commit: Commit, last: LastCommit | None = None) -> None:
        self.commit, self.last = commit, last

    def is_folder(self, path: str) -> bool:
        """Whether it is a folder, through links as well."""
        real = GitRevision(self.commit).real(path) if path else ""
        begin = f"{path if real is None else real}/"
        known = (*self.commit.files, *self.commit.links)
        is_submodule = any(lies_in(path, (name,)) for name in self.commit.lacking)
        return not path or is_submodule or any(name.startswith(begin) for name in known)

    def opened(self, path: str) -> tuple[Repository, str]:
        """The shop that a file lies in, or would."""
        return open_revision(self.commit, path)

    def exists(self, path: str) -> bool:
        """Whether the commit has it."""
        return path in self.commit.files or path in self.commit.links

    def is_plain(self, path: str) -> bool:
        """Whether it is a file or a link: a commit holds nothing else."""
        return self.exists(path)

    def top(self, repository: Repository) -> str:
        """The folder that a shop begins at."""
        return _revision(repository).root

    def profiles(self, folder: str) -> Sequence[Listed]:
        """Every profile below a folder."""
        return find_in(self.commit, [folder]).profiles if self.is_folder(folder) else ()

    def path_of(self, profile: Listed) -> str:
        """A profile's path from git's top."""
        return join(self.top(profile.repository), profile.path)

    def on_disk(self, path: str) -> Path:
        """Where the file would lie."""
        return self.commit.top / path

    def vanished(self, path: str, name: str) -> Sequence[Unread]:
        """Those of a file or a folder: a commit takes them out of the shop."""
        return () if self.last is None else tuple(self.last.vanished(path, name))


def _revision(repository: Repository) -> GitRevision:
    assert isinstance(repository.files, GitRevision)
    return repository.files
