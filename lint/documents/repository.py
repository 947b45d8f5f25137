"""A repository of documents: where its top is, what lies in it, and each shared document once."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import replace
from os import PathLike
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, NamedTuple

from .document import DOCUMENT_KINDS, Document, DocumentKind, read_document
from .error import DocumentError, DocumentErrors, UnreadableFile
from .file_names import missing_as_typed
from .files import HOUSE_FILE, Files, WorkingTree, named, unreadable
from .house import House, house_of
from .recognition import kind_at_a_glance, kind_of
from .shop_top import Top, followed, holding, is_house_name, shop_top, stray_error, strays

if TYPE_CHECKING:
    from .git_revision import Commit


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


def open_repository(path: str | PathLike[str]) -> tuple[Repository, str]:
    """The repository that a file on the disk belongs to, and the file's path inside it.

    Through a linked folder it is the same file, and belongs to the same shop.
    """
    whole = _real_place(path)
    top = shop_top(whole.parent)
    return Repository(WorkingTree(top.folder), top.strays), whole.relative_to(top.folder).as_posix()


def _real_place(path: str | PathLike[str]) -> Path:
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


def find(paths: Iterable[str | PathLike[str]]) -> Search:
    """The documents under some files and folders, in the order of their names.

    Names start at the top of their repository; where several are found, at the folder above them.
    """
    return _Finding(paths).search()


class _Finding:
    """A search: what is listed, in which shop it lies, what it is, and whether it holds there."""

    def __init__(self, paths: Iterable[str | PathLike[str]]) -> None:
        self.files: dict[Path, bool] = {}  # with whether it was asked for by its name
        self.typed: dict[Path, str | PathLike[str]] = {}  # those, as they were asked for
        self.tops: dict[Path, Top] = {}
        told: list[tuple[Path, UnreadableFile]] = []
        for path in paths:
            told += self._listed(path)
        tops = {self._top(file.parent).folder for file in self.files} | {top for top, _ in told}
        self.above = Path(os.path.commonpath(tops)) if tops else Path()
        self.repositories = {
            top: Repository(WorkingTree(top, prefix=self._prefix(top))) for top in tops
        }
        self.errors: list[DocumentError] = [self._named(*error) for error in told]
        self.strays = {
            (top.folder, name): None for top in self.tops.values() for name in top.strays
        }
        self.found: dict[DocumentKind, list[Listed]] = {kind: [] for kind in DOCUMENT_KINDS}
        self.foreign: list[Listed] = []

    def _listed(self, path: str | PathLike[str]) -> list[tuple[Path, UnreadableFile]]:
        """Take up what a path stands for; what could not be looked into, with the top it is told from."""
        whole = Path(os.path.abspath(path))
        if not os.path.isdir(whole):  # unlike Path.is_dir it answers for names no file can have
            self.files[_real_place(whole)] = True
            self.typed[_real_place(whole)] = path
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
        return [(top, error) for error in listing.errors]

    def _top(self, folder: Path) -> Top:
        """The top of the shop that a folder lies in, looked for once."""
        if folder not in self.tops:
            self.tops[folder] = shop_top(folder)
        return self.tops[folder]

    def _prefix(self, top: Path) -> str:
        way = top.relative_to(self.above).as_posix()
        return "" if way == "." else f"{way}/"

    def _named(self, top: Path, error: UnreadableFile) -> UnreadableFile:
        error.file = self._prefix(top) + error.file
        return error

    def search(self) -> Search:
        """Everything found, each file in one place."""
        for path, asked_for in self.files.items():
            try:
                self._take(path, asked_for)
            except DocumentError as error:
                self.errors.append(missing_as_typed(self.typed.get(path, path), error))
        self._sort_rules()
        for top, name in self.strays:
            if top in self.repositories:
                self.errors.append(stray_error(self.repositories[top].files, name))
        others = [*self.found["part"], *self.found["house"], *self.found["rule"]]
        return Search(
            tuple(sorted(self.found["profile"], key=_by_name)),
            tuple(sorted(others, key=_by_name)),
            tuple(self.errors),
            tuple(sorted(listed.file for listed in self.foreign)),
        )

    def _take(self, path: Path, asked_for: bool) -> None:
        """Put a file where it belongs; raises DocumentError where nobody can tell what it is."""
        top = self._top(path.parent).folder
        repository = self.repositories[top]
        inside = path.relative_to(top).as_posix()
        if inside == HOUSE_FILE:
            self.found["house"].append(Listed(repository, inside, "house"))
            return
        if is_house_name(path.name):
            self.strays[top, inside] = None
            return
        kind = repository.kind(inside, "profile" if asked_for else None)
        if kind is None and asked_for:
            kind = "profile"
        if kind == "house":
            self.strays[top, inside] = None
        elif kind is None:
            self.foreign.append(Listed(repository, inside, "rule"))
        elif asked_for or inside.isprintable():
            self.found[kind].append(Listed(repository, inside, kind, asked_for))
        else:
            found = f"a {kind} whose name has characters that nobody sees"
            raise unreadable(repository.files, inside, found, "a name that can be read")

    def _sort_rules(self) -> None:
        """Tell rules that hold from those that do not, and from what is not ours."""
        held = {rule for top in self.repositories.values() for rule in _held_rules(top)}
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


def _held_rules(repository: Repository) -> Iterator[str]:
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


def _real_path(listed: Listed) -> str:
    files = listed.repository.files
    assert isinstance(files, WorkingTree)
    return os.path.realpath(os.path.join(files.root, listed.path))


def _by_name(listed: Listed) -> str:
    return listed.file
