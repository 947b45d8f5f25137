"""The files of one git revision, read without touching the working tree."""

from __future__ import annotations

import os
from bisect import bisect_left
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from posixpath import basename, dirname, join, normpath

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
from .git import ObjectReader, commit_of, git
from .git_folder import git_folder

LINK = "120000"
MOST_LINKS = 16
MOST_PATHS = 200_000  # a tree of ten objects can unfold to a thousand million


class Commit:
    """One commit of the repository that holds a folder: its paths, and its objects on demand."""

    def __init__(self, folder: Path, revision: str) -> None:
        self.name = commit_of(folder, revision)
        repository = git_folder(folder)
        assert repository is not None
        self.top = repository.top
        self.objects = ObjectReader(self.top)
        self.files: dict[str, str] = {}
        self.links: dict[str, str] = {}
        self._like: dict[Callable[[str], bool], Mapping[str, Sequence[str]]] = {}
        listing = git(self.top, "ls-tree", "-r", "-z", "--full-tree", self.name)
        if listing.count(b"\0") > MOST_PATHS:
            raise RevisionError(f"The revision holds more than {MOST_PATHS:,} files.")
        for entry in listing.split(b"\0"):
            if entry:
                about, path = entry.split(b"\t", 1)
                mode, kind, name = about.decode("ascii").split()
                if kind == "blob":
                    paths = self.links if mode == LINK else self.files
                    paths[os.fsdecode(path)] = name

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


@dataclass(frozen=True, slots=True)
class GitRevision:
    """The files of a commit below a root, a path from the repository's top; "" is the top."""

    commit: Commit
    root: str = ""
    prefix: str = ""

    def read(self, path: str) -> bytes:
        """The bytes of a file that lies inside the root, links followed."""
        inside = self._real(path)
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
            real = self._real(folder) if folder else self.root
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
        target = self._real(path)
        if target is None:
            return not is_yaml_name(basename(path))
        place = bisect_left(ordered, f"{target}/")
        return place < len(ordered) and ordered[place].startswith(f"{target}/")

    def _full(self, path: str) -> str:
        return normpath(join(self.root, path))

    def _is_inside(self, full: str) -> bool:
        return full.startswith(join(self.root, "")) if self.root else not full.startswith("..")

    def _real(self, path: str) -> str | None:
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
