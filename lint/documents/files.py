"""Where documents are read from: the disk, a file not written yet, or a revision."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path
from posixpath import basename, dirname, join, relpath, splitext
from typing import NamedTuple, Protocol
from unicodedata import normalize

from .error import UnreadableFile
from .file_names import is_editor_lock, like_name, put_behind
from .text import clean

LARGEST = 1 << 20
BEGINNING = 1 << 14
MOST_LINKED = 100  # folders that links lead to, each of which is looked into
ENDINGS = (".yaml", ".yml")
# What makes a folder the top of a repository of documents.
HOUSE_FILE = "house.yaml"
HOUSE_NAMES = (HOUSE_FILE, "house.yml")


def plain_name(name: str) -> str:
    """A file's name as people take it: small letters, without what they do not see or look past.

    >>> plain_name("House.YAML .")
    'house.yaml'
    """
    if not name.isascii():
        name = normalize("NFKC", name)
    return "".join(filter(str.isprintable, name)).rstrip(" .").casefold()


def is_yaml_name(name: str) -> bool:
    """Whether a file is YAML by its name, be that written `.YAML` or with a blank behind it."""
    return name.endswith(ENDINGS) or plain_name(name).endswith(ENDINGS)


def is_git_folder(path: str) -> bool:
    """Whether git keeps a repository in a folder: an empty one called `.git` is none of its."""
    kept = ("objects", "refs")
    return os.path.isfile(os.path.join(path, "HEAD")) and all(
        os.path.isdir(os.path.join(path, name)) for name in kept
    )


class Listing(NamedTuple):
    """YAML files below a folder, the folders that could not be looked into, and files of other names."""

    paths: tuple[str, ...]
    errors: tuple[UnreadableFile, ...] = ()
    others: tuple[str, ...] = ()

    def and_names(self, names: Iterable[str]) -> Listing:
        """With more files, sorted by whether they are YAML by their names."""
        every = set(names)
        yaml = {name for name in every if is_yaml_name(basename(name))}
        paths, others = yaml.union(self.paths), (every - yaml).union(self.others)
        return self._replace(paths=tuple(sorted(paths)), others=tuple(sorted(others)))

    def and_error(self, error: UnreadableFile) -> Listing:
        """With one more folder that could not be looked into."""
        return self._replace(errors=(*self.errors, error))


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
        """Every YAML file below a folder, in hidden and linked folders too."""


def named(files: Files, path: str) -> str:
    """A path as places and reports show it."""
    start: str = getattr(files, "start", "")
    return clean(relpath(path, start) if start else files.prefix + path)


def unreadable(
    files: Files, path: str, found: str, wanted: str, nearest: str | None = None
) -> UnreadableFile:
    """An error about a file as a whole."""
    return UnreadableFile(named(files, path), 1, 1, found, wanted, nearest)


def missing(files: Files, path: str, names: Iterable[str] = ()) -> UnreadableFile:
    """There is no such file; one of nearly that name among `names` in its folder is offered."""
    names, asked = list(names), basename(path)
    whole = [asked] if is_yaml_name(asked) else [asked + ending for ending in ENDINGS]
    hidden = put_behind(whole, names)
    if hidden is not None:
        wanted = (
            f"a YAML file: rename `{clean(hidden)}`, without the `{splitext(hidden)[1]}` at its end"
        )
        return unreadable(files, path, "no such file", wanted)
    like = like_name(asked, filter(is_yaml_name, names))
    other = named(files, join(dirname(path), like)) if like else None
    return unreadable(files, path, "no such file", "a YAML file", other)


def too_large(files: Files, path: str) -> UnreadableFile:
    """Refused before it is read whole: no profile is that long."""
    return unreadable(files, path, "a file above 1 MiB", "a document of some hundred lines")


def leads_out(files: Files, path: str) -> UnreadableFile:
    """The path, or a link on its way, ends outside the root."""
    return unreadable(files, path, "a link that points out of the repository", "a file inside it")


def lies_in(path: str, folders: Iterable[str]) -> bool:
    """Whether a path is one of some folders, or below one; "" is above all."""
    return any(
        not folder or path == folder or path.startswith(join(folder, "")) for folder in folders
    )


def too_linked(files: Files, path: str) -> UnreadableFile:
    """One linked folder more than anybody needs, so that no maze of links holds us up."""
    wanted = f"no more than {MOST_LINKED} links to other folders"
    return unreadable(files, path, "a link to one folder too many", wanted)


@dataclass(frozen=True, slots=True)
class WorkingTree:
    """The files below a folder, as they lie on the disk."""

    root: Path
    prefix: str = ""
    start: str = ""  # the folder inside the root from which its paths are shown
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
        if not self.is_inside(path):
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
        """Every YAML file below a folder, but what git keeps for itself in `.git`.

        A file is listed even if it cannot be read. A linked folder is looked into where it leads to
        another part of the tree, and told of where it leads out.
        """
        if not self.is_inside(below):
            return Listing((), (leads_out(self, below),))
        walk = _Walk(self, below)
        while walk.waiting:
            folder = walk.waiting.pop()
            try:
                with os.scandir(self._full(folder)) as entries:
                    for entry in entries:
                        walk.meet(entry, f"{folder}/{entry.name}" if folder else entry.name)
            except (OSError, ValueError) as broken:
                walk.errors.append(self._trouble(folder, broken))
        return Listing((), tuple(walk.errors)).and_names(walk.met)

    def _full(self, path: str) -> str:
        return os.path.join(self.root, path) if path else str(self.root)

    def is_inside(self, path: str) -> bool:
        """Whether a path ends inside the root, links followed."""
        try:
            real = os.path.realpath(os.path.join(self._real, path))
        except (OSError, ValueError):
            return False
        return lies_in(real, (self._real,))

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


class _Walk:
    """What a walk through the folders of a tree has met, and where it has still to go."""

    def __init__(self, tree: WorkingTree, below: str) -> None:
        self.tree = tree
        self.waiting = [below]
        self.met: list[str] = []
        self.errors: list[UnreadableFile] = []
        self.known = [os.path.realpath(os.path.join(tree.root, below))]

    def meet(self, entry: os.DirEntry[str], path: str) -> None:
        """Take note of what lies in a folder."""
        if entry.is_dir(follow_symlinks=False):
            if entry.name != ".git" or not is_git_folder(entry.path):
                self.waiting.append(path)
        elif entry.is_symlink() and os.path.isdir(entry.path):
            self._follow(os.path.realpath(entry.path), path)
        elif not is_editor_lock(entry):
            self.met.append(path)

    def _follow(self, real: str, path: str) -> None:
        """Go on in a linked folder, unless its files are met under their own names."""
        if not self.tree.is_inside(path):
            self.errors.append(leads_out(self.tree, path))
        elif not self._is_met(real) and len(self.known) > MOST_LINKED:
            self.errors.append(too_linked(self.tree, path))
        elif not self._is_met(real):
            self.known.append(real)
            self.waiting.append(path)

    def _is_met(self, real: str) -> bool:
        """Whether a folder's files are met anyway: what git keeps for itself only where a link led."""
        for above in map(str, (Path(real), *Path(real).parents)):
            if basename(above) == ".git" and is_git_folder(above):
                return lies_in(real, (each for each in self.known if lies_in(each, (above,))))
        return lies_in(real, self.known)
