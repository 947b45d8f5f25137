"""Where documents are read from: the disk, a file not written yet, or a revision."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from posixpath import basename, dirname, join, splitext
from typing import NamedTuple, Protocol

from .error import UnreadableFile
from .text import clean, nearest


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


LARGEST = 1 << 20
BEGINNING = 1 << 14
ENDINGS = (".yaml", ".yml")
# What makes a folder the top of a repository of documents.
HOUSE_FILE = "house.yaml"


class Listing(NamedTuple):
    """YAML files below a folder, sorted, and the folders that could not be looked into."""

    paths: tuple[str, ...]
    errors: tuple[UnreadableFile, ...] = ()


class Files(Protocol):
    """A tree of files. Paths are relative to its root, with `/` between their parts.

    `prefix` is what a path is shown with: the way to the root from where the user thinks.
    """

    @property
    def prefix(self) -> str:
        """What stands before a path of this tree when it is shown."""

    def read(self, path: str) -> bytes:
        """The bytes of one file; raises UnreadableFile."""

    def begin(self, path: str) -> bytes:
        """The first bytes of one file, enough to tell what it is; raises UnreadableFile."""

    def exists(self, path: str) -> bool:
        """Whether there is anything of that name, be it a link that leads nowhere."""

    def paths(self, below: str = "") -> Listing:
        """The YAML files below a folder, hidden folders and linked ones left out."""


def named(files: Files, path: str) -> str:
    """A path as places and reports show it."""
    return clean(files.prefix + path)


def unreadable(
    files: Files, path: str, found: str, wanted: str, nearest: str | None = None
) -> UnreadableFile:
    """An error about a file as a whole."""
    return UnreadableFile(named(files, path), 1, 1, found, wanted, nearest)


def missing(files: Files, path: str, names: Iterable[str] = ()) -> UnreadableFile:
    """There is no such file; one of nearly that name among `names` in its folder is offered."""
    stems = {splitext(name)[0]: name for name in names if name.endswith(ENDINGS)}
    meant = nearest(splitext(basename(path))[0], stems)
    other = named(files, join(dirname(path), stems[meant])) if meant else None
    return unreadable(files, path, "no such file", "a YAML file", other)


def too_large(files: Files, path: str) -> UnreadableFile:
    """Refused before it is read whole: no profile is that long."""
    return unreadable(files, path, "a file above 1 MiB", "a document of some hundred lines")


def leads_out(files: Files, path: str) -> UnreadableFile:
    """The path, or a link on its way, ends outside the root."""
    return unreadable(files, path, "a link that points out of the repository", "a file inside it")


@dataclass(frozen=True, slots=True)
class WorkingTree:
    """The files below a folder, as they lie on the disk."""

    root: Path
    prefix: str = ""
    _real: str = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_real", os.path.realpath(self.root))

    def read(self, path: str) -> bytes:
        """The bytes of a regular file that lies inside the root, links followed."""
        data = self._bytes(path, LARGEST + 1)
        if len(data) > LARGEST:
            raise too_large(self, path)
        return data

    def begin(self, path: str) -> bytes:
        """The first bytes of such a file."""
        return self._bytes(path, BEGINNING)

    def _bytes(self, path: str, most: int) -> bytes:
        if not self._is_inside(path):
            raise leads_out(self, path)
        try:
            # A pipe that nobody writes to would otherwise be waited for for ever.
            handle = os.open(self._full(path), os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
            with open(handle, "rb") as stream:
                if not stat.S_ISREG(os.fstat(handle).st_mode):
                    raise unreadable(self, path, "something other than a file", "a YAML file")
                return stream.read(most)
        except (OSError, ValueError) as broken:
            raise self._trouble(path, broken) from broken

    def exists(self, path: str) -> bool:
        """Whether there is anything of that name."""
        return os.path.lexists(self._full(path))

    def paths(self, below: str = "") -> Listing:
        """The YAML files below a folder, hidden and linked folders left out."""
        listed: list[str] = []
        errors: list[UnreadableFile] = []
        waiting = [below]
        while waiting:
            folder = waiting.pop()
            try:
                with os.scandir(self._full(folder)) as entries:
                    for entry in entries:
                        path = f"{folder}/{entry.name}" if folder else entry.name
                        if entry.name.startswith("."):
                            continue
                        if entry.is_dir(follow_symlinks=False):
                            waiting.append(path)
                        elif entry.name.endswith(ENDINGS) and self._is_listed(entry, path):
                            listed.append(path)
            except OSError as broken:
                errors.append(self._trouble(folder, broken))
        return Listing(tuple(sorted(listed)), tuple(errors))

    def _full(self, path: str) -> str:
        return os.path.join(self.root, path) if path else str(self.root)

    def _is_inside(self, path: str) -> bool:
        try:
            real = os.path.realpath(os.path.join(self._real, path))
        except (OSError, ValueError):
            return False
        return real == self._real or real.startswith(os.path.join(self._real, ""))

    def _is_listed(self, entry: os.DirEntry[str], path: str) -> bool:
        """A file is listed, even one that cannot be read; a link only if it stays inside."""
        if entry.is_symlink():
            return entry.is_file() and self._is_inside(path)
        return True

    def _trouble(self, path: str, broken: Exception) -> UnreadableFile:
        if isinstance(broken, OSError):
            if broken.errno in (errno.ENOENT, errno.ENOTDIR):
                return missing(self, path, self._beside(path))
            if broken.errno == errno.EISDIR:
                return unreadable(self, path, "a folder", "a YAML file")
            if os.path.isdir(self._full(path)):
                return unreadable(self, path, "a folder that cannot be read", "a YAML file")
            if broken.errno in (errno.EACCES, errno.EPERM):
                return unreadable(self, path, "a file without read permission", "read permission")
            if broken.errno == errno.ELOOP:
                return unreadable(self, path, "links that point to each other", "a YAML file")
        return unreadable(self, path, "a file that cannot be read", "a YAML file")

    def _beside(self, path: str) -> list[str]:
        try:
            return os.listdir(self._full(dirname(path)))
        except OSError:
            return []
