"""A search in a commit or in what is staged: the same as on the disk, which is not looked at."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from posixpath import basename, dirname, join

from .error import DocumentError
from .files import HOUSE_FILE, lies_in
from .git_revision import Commit, GitRevision
from .repository import Repository, open_revision
from .search import Search, Sorter
from .submodule import not_fetched


def find_in(commit: Commit, paths: Iterable[str], prefix: str = "") -> Search:
    """The documents of a commit under some of its files and folders, in the order of their names.

    Paths start at git's top, which is "" itself; so do the names, with `prefix` before them.
    """
    return _Finding(commit, prefix).search(paths)


class _Finding:
    """A search: what is listed, and in which shop it lies."""

    def __init__(self, commit: Commit, prefix: str) -> None:
        self.commit = commit
        self.prefix = prefix
        self.files: dict[str, bool] = {}  # with whether it was asked for by its name
        self.repositories: dict[str, Repository] = {}
        self.opened: dict[str, tuple[Repository, str]] = {}
        self.lacking: dict[str, DocumentError] = {}
        self.sorter = Sorter()

    def search(self, paths: Iterable[str]) -> Search:
        """Everything found, each file in one place."""
        for path in paths:
            self._list(path)
        self.sorter.errors += self.lacking.values()
        for path, asked_for in self.files.items():
            repository, root = self._open(dirname(path))
            inside = path.removeprefix(f"{root}/") if root else path
            try:
                self.sorter.take(repository, inside, asked_for)
            except DocumentError as error:
                self.sorter.errors.append(error)
        return self.sorter.sorted(self.repositories.values())

    def _list(self, path: str) -> None:
        """Take up what a path stands for; a submodule that is not there is an error."""
        for name, why in self.commit.lacking.items():
            if lies_in(name, (path,)) or lies_in(path, (name,)):
                self.lacking.setdefault(name, not_fetched(f"{self.prefix}{name}", why))
        if any(lies_in(path, (name,)) for name in self.commit.lacking):
            return
        real = GitRevision(self.commit).real(path) if path else ""
        folder = path if real is None else real
        if folder in self.commit.files or not self._is_folder(folder):
            self.files[path] = True
            return
        repository, root = self._open(folder)
        files = repository.files
        assert isinstance(files, GitRevision)
        listing = files.paths(folder.removeprefix(root).removeprefix("/"))
        self.sorter.errors += listing.errors
        for name in listing.paths:
            way = files.real(dirname(name)) if dirname(name) else root
            if way is not None:  # a link that leads out is among the errors
                self.files.setdefault(join(way, basename(name)), False)

    def _is_folder(self, path: str) -> bool:
        names = (*self.commit.files, *self.commit.links)
        return not path or any(name.startswith(f"{path}/") for name in names)

    def _open(self, folder: str) -> tuple[Repository, str]:
        """The shop that a folder lies in, opened once, and its root."""
        if folder not in self.opened:
            there, _ = open_revision(self.commit, join(folder, HOUSE_FILE))
            files = there.files
            assert isinstance(files, GitRevision)
            if files.root not in self.repositories:
                way = f"{files.root}/" if files.root else ""
                files = replace(files, prefix=f"{self.prefix}{way}")
                self.repositories[files.root] = Repository(files)
            repository = self.repositories[files.root]
            self.sorter.strays |= {(repository, name): None for name in there.strays}
            self.opened[folder] = (repository, files.root)
        return self.opened[folder]
