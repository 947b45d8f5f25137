"""The files of one git revision, read without touching the working tree."""

from __future__ import annotations

import os
from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from posixpath import basename, dirname, join, normpath
from typing import Any, NamedTuple

from .error import RevisionError
from .files import (
    BEGINNING,
    MOST_LINKED,
    Listing,
    is_yaml_name,
    leads_out,
    lies_in,
    missing,
    too_large,
    too_linked,
)
from .git import ObjectReader, git, no_repository, staged_entries
from .git_folder import git_folder, is_top
from .git_names import commit_of
from .text import quoted

LINK = "120000"
SUBMODULE = "160000"
MOST_LINKS = 16
MOST_PATHS = 200_000  # a tree of ten objects can unfold to a thousand million
MOST_SUBMODULES = 50


class TreeEntry(NamedTuple):
    """What stands at a path of a tree or of the index."""

    mode: str
    name: str
    path: str


class Objects:
    """The contents of files by git's names for them, of a repository and of its submodules."""

    def __init__(self, top: Path) -> None:
        self.own = ObjectReader(top)
        self.others: dict[str, ObjectReader] = {}

    def read(self, name: str) -> bytes | None:
        """A file's bytes, or None where it is too large to be read."""
        return self.others.get(name, self.own).read(name)

    def stop(self) -> None:
        """End the processes; they start again when they are needed."""
        for reader in {self.own, *self.others.values()}:
            reader.stop()


class Commit:
    """One commit of the repository that holds a folder: its paths, and its objects on demand.

    The files of submodules are among them where they are checked out with the commit that is named in
    `gitlinks`; `lacking` says why others are not.
    """

    def __init__(self, folder: Path, revision: str) -> None:
        self.name = commit_of(folder, revision)
        self.top = _top(folder)
        entries = git(self.top, "ls-tree", "-r", "-z", "--full-tree", self.name)
        self._take(_committed(entries))

    def _take(self, entries: Iterable[TreeEntry]) -> None:
        self.objects = Objects(self.top)
        self.files: dict[str, str] = {}
        self.links: dict[str, str] = {}
        self.lacking: dict[str, str] = {}
        self.gitlinks: dict[str, str] = {}
        self.submodules: dict[str, Commit] = {}
        self._like: dict[Callable[[str], bool], Mapping[str, Sequence[str]]] = {}
        submodules: list[tuple[str, str]] = []
        for mode, name, path in entries:
            if mode == SUBMODULE:
                submodules.append((path, name))
            else:
                (self.links if mode == LINK else self.files)[path] = name
        own = frozenset((*self.files.values(), *self.links.values()))
        for path, name in submodules:
            self._take_submodule(path, name, own)

    def _take_submodule(self, path: str, name: str, own: frozenset[str]) -> None:
        """The files of a submodule below its path; what it lacks is no reason to read nothing."""
        folder = self.top / path
        self.gitlinks[path] = name
        if normpath(path) != path or path.startswith(("/", "../")) or not is_top(folder):
            self.lacking[path] = "it is not checked out"
            return
        if len(self.submodules) == MOST_SUBMODULES:
            raise RevisionError(f"The revision holds more than {MOST_SUBMODULES} submodules.")
        try:
            inner = Commit(folder, name)
        except RevisionError as broken:
            self.lacking[path] = str(broken)
            return
        self.submodules[path] = inner
        for ours, theirs in ((self.files, inner.files), (self.links, inner.links)):
            ours.update((f"{path}/{below}", blob) for below, blob in theirs.items())
        self.lacking |= {f"{path}/{below}": why for below, why in inner.lacking.items()}
        self.gitlinks |= {f"{path}/{below}": blob for below, blob in inner.gitlinks.items()}
        readers = inner.objects.others
        for blob in {*inner.files.values(), *inner.links.values()}.difference(own):
            self.objects.others[blob] = readers.get(blob, inner.objects.own)

    def names_like(self, is_meant: Callable[[str], bool]) -> Mapping[str, Sequence[str]]:
        """By folder the names of files and links that are meant, the order of folders by chance."""
        if is_meant not in self._like:
            found: dict[str, list[str]] = {}
            for path in (*self.files, *self.links):
                if is_meant(basename(path)):
                    found.setdefault(dirname(path), []).append(basename(path))
            self._like[is_meant] = found
        return self._like[is_meant]

    def close(self) -> None:
        """End the process that hands out objects; it starts again when it is needed."""
        self.objects.stop()


class Staged(Commit):
    """What is staged: the files as the next commit would hold them."""

    def __init__(self, folder: Path) -> None:
        self.top = _top(folder)
        self.name = ""
        self._take(_staged(staged_entries(self.top)))


class NoCommit(Commit):
    """The tree before the first commit: there is nothing in it."""

    def __init__(self, folder: Path) -> None:
        self.top = _top(folder)
        self.name = ""
        self._take(())


def _top(folder: Path) -> Path:
    repository = git_folder(folder)
    if repository is None:
        raise no_repository(folder)
    return repository.top


def _committed(listing: bytes) -> Iterator[TreeEntry]:
    """The entries of a tree, as `git ls-tree -r -z` strings them up."""
    for about, path in _told(listing):
        mode, kind, name = about.split()
        if kind != "tree":
            yield TreeEntry(mode, name, path)


def _staged(listing: bytes) -> Iterator[TreeEntry]:
    """The entries of the index, as `git ls-files --stage -z` strings them up."""
    for about, path in _told(listing):
        mode, name, stage = about.split()
        if stage != "0":
            raise RevisionError(f"{quoted(path)} is in a merge conflict: nothing is staged of it.")
        yield TreeEntry(mode, name, path)


def _told(listing: bytes) -> Iterator[tuple[str, str]]:
    if listing.count(b"\0") > MOST_PATHS:
        raise RevisionError(f"The revision holds more than {MOST_PATHS:,} files.")
    for entry in listing.split(b"\0"):
        if entry:
            about, path = entry.split(b"\t", 1)
            yield about.decode("ascii"), os.fsdecode(path)


@dataclass(frozen=True, slots=True)
class GitRevision:
    """The files of a commit below a root, a path from the repository's top; "" is the top.

    `readings` keeps what documents came to, for whoever reads many commits of the same files.
    """

    commit: Commit
    root: str = ""
    prefix: str = ""
    readings: dict[Any, Any] | None = field(default=None, compare=False, repr=False)

    def read(self, path: str) -> bytes:
        """The bytes of a file that lies inside the root, links followed."""
        inside = self.real(path)
        if inside is None:
            raise leads_out(self, path)
        name = self.commit.files.get(inside)
        if name is None:
            raise missing(self, path, self._beside(path))
        data = self.commit.objects.read(name)
        if data is None:
            raise too_large(self, path)
        return data

    def begin(self, path: str) -> bytes:
        """The first bytes of such a file."""
        return self.read(path)[:BEGINNING]

    def exists(self, path: str) -> bool:
        """Whether there is anything of that name."""
        full = self._full(path)
        return full in self.commit.files or full in self.commit.links

    def paths(self, below: str = "") -> Listing:
        """Every YAML file below a folder, in hidden and linked folders too."""
        listing = Listing((), ())
        waiting, known = [below], list[str]()
        while waiting:
            folder = waiting.pop()
            real = self.real(folder) if folder else self.root
            if real is None:
                listing = listing.and_error(leads_out(self, folder))
            elif len(known) > MOST_LINKED:
                listing = listing.and_error(too_linked(self, folder))
            elif not lies_in(real, known):
                known.append(real)
                ways, names = self._below(folder, real)
                waiting += ways
                listing = listing.and_names(names)
        return listing

    def _below(self, folder: str, real: str) -> tuple[list[str], list[str]]:
        """The links below a folder that lead to other folders, and the paths of all files."""
        cut = len(join(real, "")) if real else 0
        paths = [join(folder, name[cut:]) for name in self.commit.files if lies_in(name, (real,))]
        links = [join(folder, name[cut:]) for name in self.commit.links if lies_in(name, (real,))]
        ordered = sorted(self.commit.files) if links else []
        ways = [path for path in links if self._is_way(path, ordered)]
        return ways, [*paths, *set(links).difference(ways)]

    def _is_way(self, path: str, ordered: Sequence[str]) -> bool:
        """Whether a link leads to a folder, or where nobody can tell."""
        target = self.real(path)
        if target is None:
            return not is_yaml_name(basename(path))
        place = bisect_left(ordered, f"{target}/")
        return place < len(ordered) and ordered[place].startswith(f"{target}/")

    def _full(self, path: str) -> str:
        return normpath(join(self.root, path))

    def _is_inside(self, full: str) -> bool:
        return full.startswith(join(self.root, "")) if self.root else not full.startswith("..")

    def real(self, path: str) -> str | None:
        """The path from the top with links followed; None where it leads out of the root."""
        full = self._full(path)
        for _ in range(MOST_LINKS):
            if not self._is_inside(full) or full.startswith("/"):
                return None
            link = self._first_link(full)
            if link is None:
                return full
            target = self.commit.objects.read(self.commit.links[link]) or b""
            full = normpath(join(dirname(link), os.fsdecode(target)) + full[len(link) :])
        return None

    def _first_link(self, full: str) -> str | None:
        if not self.commit.links:
            return None
        parts = full.split("/")
        ways = ("/".join(parts[: length + 1]) for length in range(len(parts)))
        return next((way for way in ways if way in self.commit.links), None)

    def _beside(self, path: str) -> Sequence[str]:
        folder = dirname(self._full(path))
        return [basename(other) for other in self.commit.files if dirname(other) == folder]
