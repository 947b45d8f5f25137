"""What a call names: folders and profiles as they are, and for any other file the profiles that take it.

A hook hands over the names of files that changed, whatever they are: parts, house files, pictures, and
some that are gone. Each stands for the profiles that it may have changed. A file that is none of ours
is passed over; a name that neither the disk, a profile nor git knows is a slip of the hand, and an error.
"""

from __future__ import annotations

import os
from codecs import BOM_UTF8
from collections.abc import Iterable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from ..documents.dependents import PartsTaken, is_own_rule, places_of
from ..documents.error import DocumentError, RevisionError
from ..documents.files import WorkingTree, is_yaml_name
from ..documents.recognition import kind_by_whole
from ..documents.repository import Repository, open_repository
from ..documents.search import Listed, find
from ..documents.shop_top import is_house_name, is_in_shop
from ..reports.check_totals import Named, Unread
from ..reports.surroundings import Other
from .output import BY_PATH

MOST_BESIDE = 1000  # files in a folder of no shop

if TYPE_CHECKING:
    from .vanished import LastCommit


class Ground(Protocol):
    """The files that a call is about: those on the disk, of a commit, or staged."""

    def is_folder(self, path: str) -> bool:
        """Whether it is a folder."""

    def opened(self, path: str) -> tuple[Repository, str]:
        """The shop that a file lies in, or would, and its path inside it."""

    def exists(self, path: str) -> bool:
        """Whether there is anything of that name."""

    def is_plain(self, path: str) -> bool:
        """Whether it is a file as any other, and no pipe or device."""

    def top(self, repository: Repository) -> str:
        """The folder that a shop begins at."""

    def profiles(self, folder: str) -> Sequence[Listed]:
        """Every profile that a shop has below a folder; outside of any shop those in the folder itself."""

    def path_of(self, profile: Listed) -> str:
        """A profile as this call would name it."""

    def on_disk(self, path: str) -> Path:
        """Where a file lies, or would, in the working tree: from there git knows its past."""

    def vanished(self, path: str, name: str) -> Sequence[Unread]:
        """The profiles at or below a path that the last commit has, and that are none here.

        `name` is what a report calls the path.
        """


def _tree(repository: Repository) -> WorkingTree:
    assert isinstance(repository.files, WorkingTree)
    return repository.files


class DiskGround:
    """The files on the disk."""

    def __init__(self, judged_on: str) -> None:
        self.judged_on = judged_on
        self._last: dict[Path, LastCommit] = {}

    def is_folder(self, path: str) -> bool:
        """Whether it is a folder."""
        return os.path.isdir(path)

    def opened(self, path: str) -> tuple[Repository, str]:
        """The shop that a file lies in, or would."""
        return open_repository(path)

    def exists(self, path: str) -> bool:
        """Whether there is anything of that name."""
        return os.path.lexists(path)

    def is_plain(self, path: str) -> bool:
        """Whether it is a file as any other, or a link, if only to what is gone."""
        return os.path.isfile(path) or os.path.islink(path)

    def top(self, repository: Repository) -> str:
        """The folder that a shop begins at."""
        return str(_tree(repository).root)

    def profiles(self, folder: str) -> Sequence[Listed]:
        """Every profile below a folder; none where it is gone.

        Where neither a house file nor git makes a shop of it, a profile deeper down is a shop of its own, and
        what lies there may be the whole disk.
        """
        folder = folder or os.curdir
        if not os.path.isdir(folder):
            return ()
        if is_in_shop(Path(folder)):
            return find([folder]).profiles
        with suppress(OSError), os.scandir(folder) as entries:
            names = sorted(one.path for one in entries if is_yaml_name(one.name) and one.is_file())
            return find(names[:MOST_BESIDE]).profiles if names else ()
        return ()

    def path_of(self, profile: Listed) -> str:
        """A profile's whole path."""
        return os.path.join(self.top(profile.repository), profile.path)

    def on_disk(self, path: str) -> Path:
        """The path itself."""
        return Path(path)

    def vanished(self, path: str, name: str) -> Sequence[Unread]:
        """Those of a file, or of a folder that is gone: what a folder holds is what is there."""
        if self.is_folder(path):
            return ()
        from .vanished import last_commit_of  # late: most checks name folders and profiles

        last = last_commit_of(Path(path), self.judged_on, self._last)
        if last is None:
            return ()
        return (*last[0].vanished(last[1], name), *last[0].left_out(last[1], name))


def wanted_under(
    paths: Iterable[str], ground: Ground, names: Iterable[str]
) -> tuple[tuple[str, ...], Named]:
    """What to search under for the paths of a call, whose `names` a report gives; and the others."""
    sorting = _Sorting(ground)
    for path, name in zip(paths, names, strict=True):
        sorting.take(path, name)
    passed = tuple(dict.fromkeys(sorting.passed))
    named = Named(passed, sorting.has_folder, tuple(dict.fromkeys(sorting.vanished)))
    return tuple(dict.fromkeys(sorting.paths)), named


def names_shown(paths: Iterable[Path], form: str) -> list[str]:
    """Paths of a call as a report names them: as they were typed, to machines from git's top."""
    if form not in BY_PATH:
        return [str(path) for path in paths]
    return list(map(_from_top, paths))


def _from_top(path: Path) -> str:
    from ..documents.git_history import from_top  # late: a page for people has no need of it

    try:
        return from_top(path)[1]
    except RevisionError:  # in no repository
        return str(path)


class _Sorting:
    """Takes the paths of a call one by one."""

    def __init__(self, ground: Ground) -> None:
        self.ground = ground
        self.paths: list[str] = []
        self.passed: list[Other] = []
        self.vanished: list[Unread] = []
        self.has_folder = False
        self.parts = PartsTaken()
        self._listed: dict[str, Sequence[Listed]] = {}

    def take(self, path: str, name: str) -> None:
        """A folder and a profile stand for themselves, anything else for the profiles that take it."""
        if self.ground.is_folder(path):
            self.has_folder = True
            self.paths.append(path)
            self.vanished += self.ground.vanished(path, name)
            return
        repository, inside = self.ground.opened(path)
        kind = self._kind(path, repository, inside)
        if kind == "profile":
            self.paths.append(path)
            return
        from ..documents.git_past import (
            kind_in_last_commit,
            was_committed,
        )  # late: few are no profile

        takers = self._takers(path, repository, inside, kind)
        self.paths += map(self.ground.path_of, takers)
        vanished = self.ground.vanished(path, name)
        self.vanished += vanished
        if vanished and kind not in ("part", "house", "rule"):
            return
        past = self.ground.on_disk(path)
        if kind in ("part", "house", "rule"):
            self.paths.append(path)
        elif kind == "gone" and (takers or was_committed(past)):
            self.passed.append(Other(name, "gone"))
        elif kind == "other" and not takers and kind_in_last_commit(past) is None:
            self.passed.append(Other(name, "passed"))
        elif not takers:  # else what is wrong with it is told where they need it
            self.paths.append(path)

    def _kind(self, path: str, repository: Repository, inside: str) -> str:
        """What a file is: `gone`, `other` if it is clearly none of ours, `unclear` if nobody can tell."""
        if not self.ground.exists(path):
            return "gone"
        if is_house_name(os.path.basename(path)):
            return "house"
        is_yaml = is_yaml_name(os.path.basename(path))
        try:
            kind = repository.kind(inside)
            if kind is not None and is_yaml:
                return kind
            data = repository.files.read(inside)
            if not is_yaml:
                return kind_by_whole(data, inside) or "other"
            return "unclear" if _is_blank(data) else "other"
        except DocumentError:
            return "unclear" if is_yaml or not self.ground.is_plain(path) else "other"

    def _takers(
        self, path: str, repository: Repository, inside: str, kind: str
    ) -> Sequence[Listed]:
        """The profiles that may be judged otherwise because of a file."""
        if is_house_name(os.path.basename(path)):
            return self._below(os.path.dirname(path))
        top = self.ground.top(repository)
        of_shop = [one for one in self._below(top) if self.ground.top(one.repository) == top]
        if kind == "rule" or (is_yaml_name(path) and is_own_rule(repository, inside)):
            return of_shop
        wanted = places_of(repository, inside)
        return [one for one in of_shop if self.parts.takes(one, wanted)]

    def _below(self, folder: str) -> Sequence[Listed]:
        if folder not in self._listed:
            self._listed[folder] = self.ground.profiles(folder)
        return self._listed[folder]


def _is_blank(data: bytes) -> bool:
    """Whether a file has nothing but comments: what is left of a document that somebody emptied."""
    lines = map(bytes.strip, data.removeprefix(BOM_UTF8).splitlines())
    return all(not line or line.startswith(b"#") or line in (b"---", b"...") for line in lines)
