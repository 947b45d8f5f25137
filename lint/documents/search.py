"""A search: the documents under some files and folders, each file in one place."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from contextlib import suppress
from os import PathLike
from pathlib import Path
from posixpath import relpath
from typing import NamedTuple

from .document import DOCUMENT_KINDS, DocumentKind
from .error import DocumentError, DocumentErrors, UnreadableFile
from .file_names import missing_as_typed
from .files import HOUSE_FILE, WorkingTree, unreadable
from .repository import Repository, real_place
from .shop_top import Top, followed, is_house_name, shop_top, stray_error
from .submodule import not_fetched, unfetched_below


class Listed(NamedTuple):
    """A document that lies under the paths asked for, or was itself asked for."""

    repository: Repository
    path: str
    kind: DocumentKind
    asked_for: bool = False

    @property
    def file(self) -> str:
        """Its name as places show it."""
        return self.repository.named(self.path)


class Search(NamedTuple):
    """What lies under some paths: profiles, other documents, what is not ours and what was not read.

    Every YAML file is in one of them; the house file and the rules in `others` hold.
    """

    profiles: tuple[Listed, ...]
    others: tuple[Listed, ...]
    errors: tuple[DocumentError, ...]
    foreign: tuple[str, ...] = ()


class Sorter:
    """Tells of each file what it is and whether it holds in its shop."""

    def __init__(self) -> None:
        self.errors: list[DocumentError] = []
        self.strays: dict[tuple[Repository, str], None] = {}
        self.found: dict[DocumentKind, list[Listed]] = {kind: [] for kind in DOCUMENT_KINDS}
        self.foreign: list[Listed] = []

    def sorted(self, repositories: Iterable[Repository]) -> Search:
        """Everything that was taken up, from all of these repositories."""
        self._sort_rules(repositories)
        for repository, name in self.strays:
            self.errors.append(stray_error(repository.files, name))
        others = [
            *self.found["part"],
            *self.found["house"],
            *self.found["rule"],
            *self.found["known"],
        ]
        return Search(
            tuple(sorted(self.found["profile"], key=_by_name)),
            tuple(sorted(others, key=_by_name)),
            tuple(self.errors),
            tuple(sorted(listed.file for listed in self.foreign)),
        )

    def take(self, repository: Repository, inside: str, asked_for: bool) -> None:
        """Put a file where it belongs; raises DocumentError where nobody can tell what it is."""
        if inside == HOUSE_FILE:
            if asked_for and not repository.files.exists(inside):
                raise unreadable(repository.files, inside, "no such file", "a house file")
            self.found["house"].append(Listed(repository, inside, "house"))
            return
        if is_house_name(os.path.basename(inside)):
            self.strays[repository, inside] = None
            return
        kind = repository.kind(inside, "profile" if asked_for else None)
        if kind is None and asked_for:
            kind = "profile"
        if kind == "house":
            self.strays[repository, inside] = None
        elif kind is None:
            self.foreign.append(Listed(repository, inside, "rule"))
        elif asked_for or inside.isprintable():
            self.found[kind].append(Listed(repository, inside, kind, asked_for))
        else:
            found = f"a {kind} whose name has characters that nobody sees"
            raise unreadable(repository.files, inside, found, "a name that can be read")

    def _sort_rules(self, repositories: Iterable[Repository]) -> None:
        """Tell rules that hold from those that do not, and from what is not ours."""
        held = {rule for repository in repositories for rule in _held_rules(repository)}
        foreign, self.foreign = self.foreign, []
        for listed in foreign:
            (self.found["rule"] if _real_path(listed) in held else self.foreign).append(listed)
        rules, self.found["rule"] = self.found["rule"], []
        for listed in rules:
            if listed.asked_for or _real_path(listed) in held or _is_broken(listed.repository):
                self.found["rule"].append(listed)
            else:
                wanted = f"a rule in the folder that `rules` of `{HOUSE_FILE}` names"
                found = "a rule that does not hold: no house file takes it up"
                self.errors.append(unreadable(listed.repository.files, listed.path, found, wanted))


def _held_rules(repository: Repository) -> Iterator[str | None]:
    """Where the files lie that a house file takes for its rules, links followed."""
    with suppress(DocumentErrors):  # told where the house file is read
        for path in repository.house().rule_paths:
            yield _real_path(Listed(repository, path, "rule"))


def _is_broken(repository: Repository) -> bool:
    """Whether the house file cannot be read: that is told, and not again with every rule."""
    try:
        repository.house()
    except DocumentErrors:
        return True
    return False


def _real_path(listed: Listed) -> str | None:
    files = listed.repository.files
    if isinstance(files, WorkingTree):
        return os.path.realpath(os.path.join(files.root, listed.path))
    from .git_revision import GitRevision

    assert isinstance(files, GitRevision)
    return files.real(listed.path)


def _by_name(listed: Listed) -> str:
    return listed.file


def find(paths: Iterable[str | PathLike[str]], shown_from: Path | None = None) -> Search:
    """The documents under some files and folders, in the order of their names.

    Names start at a folder that lies above them all, or inside the one shop that they lie in. Without
    such a one they start at the top of their shop; where several are found, at the folder above them.
    """
    return _Finding(paths, shown_from).search()


class _Finding:
    """A search on the disk: what is listed, and in which shop it lies."""

    def __init__(
        self, paths: Iterable[str | PathLike[str]], shown_from: Path | None = None
    ) -> None:
        self.files: dict[Path, bool] = {}  # with whether it was asked for by its name
        self.typed: dict[Path, str | PathLike[str]] = {}  # those, as they were asked for
        self.tops: dict[Path, Top] = {}
        told: list[tuple[Path, UnreadableFile]] = []
        for path in paths:
            told += self._listed(path)
        tops = {self._top(file.parent).folder for file in self.files} | {top for top, _ in told}
        self.above = Path(os.path.commonpath(tops)) if tops else Path()
        self.start = ""
        if shown_from is not None and tops:
            self._show_from(followed(shown_from), len(tops) == 1)
        self.repositories = {
            top: Repository(WorkingTree(top, self._prefix(top), self.start)) for top in tops
        }
        self.sorter = Sorter()
        self.sorter.errors += [self._named(*error) for error in told]
        for top in self.tops.values():
            if top.folder in self.repositories:
                repository = self.repositories[top.folder]
                self.sorter.strays |= {(repository, name): None for name in top.strays}

    def _listed(self, path: str | PathLike[str]) -> list[tuple[Path, UnreadableFile]]:
        """Take up what a path stands for; what could not be looked into, with the top it is told from."""
        whole = Path(os.path.abspath(path))
        if not os.path.isdir(whole):  # unlike Path.is_dir it answers for names no file can have
            self.files[real_place(whole)] = True
            self.typed[real_place(whole)] = path
            return []
        folder = followed(whole)
        top = self._top(folder).folder
        inside = folder.relative_to(top).as_posix()
        listing = WorkingTree(top).paths("" if inside == "." else inside)
        folders: dict[str, Path] = {}
        for name in listing.paths:
            way = os.path.dirname(name)
            if way not in folders:
                folders[way] = followed(top / way)
            self.files.setdefault(folders[way] / os.path.basename(name), False)
        empty = (place.relative_to(top).as_posix() for place in unfetched_below(folder))
        return [(top, error) for error in (*listing.errors, *map(not_fetched, empty))]

    def _top(self, folder: Path) -> Top:
        """The top of the shop that a folder lies in, looked for once."""
        if folder not in self.tops:
            self.tops[folder] = shop_top(folder)
        return self.tops[folder]

    def _show_from(self, folder: Path, is_one_shop: bool) -> None:
        if self.above.is_relative_to(folder):
            self.above = folder
        elif is_one_shop and folder.is_relative_to(self.above):
            self.start = folder.relative_to(self.above).as_posix()

    def _prefix(self, top: Path) -> str:
        way = top.relative_to(self.above).as_posix()
        return "" if way == "." else f"{way}/"

    def _named(self, top: Path, error: UnreadableFile) -> UnreadableFile:
        plain = self._prefix(top) + error.file
        error.file = relpath(plain, self.start) if self.start else plain
        return error

    def search(self) -> Search:
        """Everything found, each file in one place."""
        for path, asked_for in self.files.items():
            top = self._top(path.parent).folder
            inside = path.relative_to(top).as_posix()
            try:
                self.sorter.take(self.repositories[top], inside, asked_for)
            except DocumentError as error:
                self.sorter.errors.append(missing_as_typed(self.typed.get(path, path), error))
        return self.sorter.sorted(self.repositories.values())
