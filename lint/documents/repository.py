"""A repository of documents: where its top is, and each shared document once."""

from __future__ import annotations

import os
from dataclasses import replace
from os import PathLike
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, NamedTuple

from .document import Document, DocumentKind, read_document
from .error import DocumentError, DocumentErrors, UnreadableFile
from .files import BEGINNING, HOUSE_FILE, Files, Listing, WorkingTree, named
from .house import House, house_of
from .recognition import kind_at_a_glance, kind_of
from .shop_top import followed, holding, is_house_name, shop_top, stray_error, strays

if TYPE_CHECKING:
    from .git_revision import Commit


class Draft(NamedTuple):
    """A tree of files in which the file at `path` reads as `data`."""

    files: Files
    path: str
    data: bytes

    @property
    def prefix(self) -> str:
        """What stands before a path of this tree when it is shown."""
        return self.files.prefix

    def read(self, path: str) -> bytes:
        """The bytes of one file; raises UnreadableFile."""
        return self.data if path == self.path else self.files.read(path)

    def begin(self, path: str) -> bytes:
        """The first bytes of one file, enough to tell what it is; raises UnreadableFile."""
        return self.data[:BEGINNING] if path == self.path else self.files.begin(path)

    def exists(self, path: str) -> bool:
        """Whether there is anything of that name."""
        return path == self.path or self.files.exists(path)

    def paths(self, below: str = "") -> Listing:
        """The YAML files below a folder."""
        return self.files.paths(below)


class Repository:
    """Documents read from one tree of files. Parts and the house file are read once.

    `strays` are paths of what was meant for a house file and does not hold.
    """

    def __init__(self, files: Files, strays: tuple[str, ...] = ()) -> None:
        self.files = files
        self.strays = strays
        self._documents: dict[str, Document | DocumentErrors] = {}
        self._house: House | DocumentErrors | None = None

    def __reduce__(self) -> tuple[type[Repository], tuple[Files, tuple[str, ...]]]:
        return Repository, (self.files, self.strays)

    def named(self, path: str) -> str:
        """A path as places and reports show it."""
        return named(self.files, path)

    def kind(self, path: str, unclear: DocumentKind | None = None) -> DocumentKind | None:
        """What a file is, None where it is none of ours; raises UnreadableFile.

        Of one that is no text or no YAML nobody can tell: without an answer for that in `unclear` it
        raises what is wrong with it.
        """
        known = self._documents.get(path)
        if isinstance(known, Document):
            return known.kind
        glance = kind_at_a_glance(self.files.begin(path))
        if glance is not None:
            return glance
        try:
            return kind_of(self.files.read(path), self.named(path))
        except UnreadableFile:
            raise
        except DocumentError:
            if unclear is None:
                raise
            return unclear

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
                house = (
                    house_of(self.document(HOUSE_FILE, "house"), self.files) if exists else House()
                )
                told = [stray_error(self.files, path) for path in self.strays]
                self._house = replace(house, errors=(*house.errors, *told)) if told else house
            except DocumentErrors as broken:
                self._house = broken
        if isinstance(self._house, DocumentErrors):
            raise DocumentErrors(self._house.errors)
        return self._house


def open_repository(path: str | PathLike[str]) -> tuple[Repository, str]:
    """The repository that a file on the disk belongs to, and the file's path inside it.

    Through a linked folder it is the same file, and belongs to the same shop.
    """
    whole = real_place(path)
    top = shop_top(whole.parent)
    return Repository(WorkingTree(top.folder), top.strays), whole.relative_to(top.folder).as_posix()


def real_place(path: str | PathLike[str]) -> Path:
    """Where a file lies, links among its folders followed; one that is a link lies where it is."""
    whole = Path(os.path.abspath(path))
    return followed(whole.parent) / whole.name


def open_revision(commit: Commit, path: str) -> tuple[Repository, str]:
    """The same for a file of a commit, by its path from the top of the git repository."""
    from .git_revision import GitRevision

    folders = [
        "" if str(above) == "." else str(above) for above in reversed(PurePosixPath(path).parents)
    ]
    meant = commit.names_like(is_house_name)
    houses = {folder: meant[folder] for folder in folders if folder in meant}
    root = holding(houses, lambda top: GitRevision(commit, top)) or ""
    inside = path.removeprefix(f"{root}/") if root else path
    return Repository(GitRevision(commit, root), strays(houses, root)), inside
