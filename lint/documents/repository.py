"""A repository of documents: where its top is, what lies in it, and each shared document once."""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import replace
from os import PathLike
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, NamedTuple

from .document import Document, DocumentKind, kind_at_a_glance, read_document
from .error import DocumentError, DocumentErrors
from .files import HOUSE_FILE, Files, WorkingTree, named
from .house import House, house_of

if TYPE_CHECKING:
    from .git_revision import Commit

TOPS = (HOUSE_FILE, ".git")


class Repository:
    """Documents read from one tree of files. Parts and the house file are read once."""

    def __init__(self, files: Files) -> None:
        self.files = files
        self._documents: dict[str, Document | DocumentErrors] = {}
        self._house: House | DocumentErrors | None = None

    def __reduce__(self) -> tuple[type[Repository], tuple[Files]]:
        return Repository, (self.files,)

    def named(self, path: str) -> str:
        """A path as places and reports show it."""
        return named(self.files, path)

    def kind(self, path: str) -> DocumentKind | None:
        """What a file seems to be; raises UnreadableFile."""
        known = self._documents.get(path)
        if isinstance(known, Document):
            return known.kind
        return kind_at_a_glance(self.files.begin(path))

    def document(self, path: str, kind: DocumentKind | None = None) -> Document:
        """A shared file that fits its schema, read once.

        Raises DocumentErrors; the errors in them are the same objects each time.
        """
        document = self._documents.get(path)
        if document is None:
            try:
                document = read_document(self.files, path, kind)
            except DocumentErrors as broken:
                document = broken
            self._documents[path] = document
        if isinstance(document, DocumentErrors):
            raise DocumentErrors(document.errors)
        return document

    def house(self) -> House:
        """The house file at the top, or the defaults where there is none."""
        if self._house is None:
            try:
                exists = self.files.exists(HOUSE_FILE)
                self._house = (
                    house_of(self.document(HOUSE_FILE, "house"), self.files) if exists else House()
                )
            except DocumentErrors as broken:
                self._house = broken
        if isinstance(self._house, DocumentErrors):
            raise DocumentErrors(self._house.errors)
        return self._house


class Listed(NamedTuple):
    """A document that lies under the paths asked for."""

    repository: Repository
    path: str
    kind: DocumentKind

    @property
    def file(self) -> str:
        """Its name as places show it."""
        return self.repository.named(self.path)


class Search(NamedTuple):
    """What lies under some paths: profiles, parts and house files, and what could not be read."""

    profiles: tuple[Listed, ...]
    others: tuple[Listed, ...]
    errors: tuple[DocumentError, ...]


def top_of(folder: Path) -> Path:
    """The nearest folder upwards with a house file or `.git`; without one, the folder itself."""
    for above in (folder, *folder.parents):
        if any(os.path.exists(above / name) for name in TOPS):
            return above
    return folder


def open_repository(path: str | PathLike[str]) -> tuple[Repository, str]:
    """The repository that a file on the disk belongs to, and the file's path inside it."""
    whole = Path(os.path.abspath(path))
    top = top_of(whole.parent)
    return Repository(WorkingTree(top)), whole.relative_to(top).as_posix()


def open_revision(commit: Commit, path: str) -> tuple[Repository, str]:
    """The same for a file of a commit, by its path from the top of the git repository."""
    from .git_revision import GitRevision

    whole = GitRevision(commit)
    for above in PurePosixPath(path).parents:
        root = "" if str(above) == "." else str(above)
        if whole.exists(f"{root}/{HOUSE_FILE}" if root else HOUSE_FILE):
            break
    else:
        root = ""
    inside = path.removeprefix(f"{root}/") if root else path
    return Repository(GitRevision(commit, root)), inside


def find(paths: Iterable[str | PathLike[str]]) -> Search:
    """The documents under some files and folders, in the order of their names.

    Names start at the top of their repository; where several are found, at the folder above them.
    """
    files, errors = _listed(paths)
    tops: dict[Path, Path] = {}
    for path in files:
        if path.parent not in tops:
            tops[path.parent] = top_of(path.parent)
    repositories = _opened(set(tops.values()))
    profiles: list[Listed] = []
    others: list[Listed] = []
    for path, asked_for in files.items():
        repository = repositories[tops[path.parent]]
        inside = path.relative_to(tops[path.parent]).as_posix()
        try:
            kind = repository.kind(inside)
        except DocumentError as error:
            errors.append(error)
            continue
        if kind == "profile" or (kind is None and asked_for):
            profiles.append(Listed(repository, inside, "profile"))
        elif kind is not None and (kind != "rule" or asked_for):
            others.append(Listed(repository, inside, kind))
    return Search(
        tuple(sorted(profiles, key=_by_name)), tuple(sorted(others, key=_by_name)), tuple(errors)
    )


def _by_name(listed: Listed) -> str:
    return listed.file


def _listed(
    paths: Iterable[str | PathLike[str]],
) -> tuple[dict[Path, bool], list[DocumentError]]:
    """Every file under the paths, with whether it was asked for by its name."""
    files: dict[Path, bool] = {}
    errors: list[DocumentError] = []
    for path in paths:
        whole = Path(os.path.abspath(path))
        if not os.path.isdir(whole):  # unlike Path.is_dir it answers for names no file can have
            files[whole] = True
            continue
        listing = WorkingTree(whole).paths()
        errors += listing.errors
        for inside in listing.paths:
            files.setdefault(whole / inside, False)
    return files, errors


def _opened(tops: set[Path]) -> dict[Path, Repository]:
    if not tops:
        return {}
    above = Path(os.path.commonpath(tops))
    trees = {top: WorkingTree(top) for top in tops}
    if len(tops) > 1:
        for top, tree in trees.items():
            way = top.relative_to(above).as_posix()
            trees[top] = replace(tree, prefix="" if way == "." else f"{way}/")
    return {top: Repository(tree) for top, tree in trees.items()}
