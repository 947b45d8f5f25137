"""The sides of a comparison: a file on the disk, `REV:path`, or `:path` as it is staged."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from ..documents.error import DocumentError, DocumentErrors, RevisionError, UsageError
from ..documents.file_names import missing_as_typed
from ..documents.files import WorkingTree
from ..documents.git_history import from_top, has_commits, steps
from ..documents.git_moves import moves
from ..documents.git_revision import Commit, GitRevision, Staged
from ..documents.identity import id_of, identity_of
from ..documents.repository import Repository, open_repository, open_revision
from ..documents.text import quoted

LAST_COMMIT = "HEAD"


@dataclass(frozen=True, slots=True)
class ProfilePath:
    """A profile's path inside the repository in which its parts and its house file lie too."""

    repository: Repository
    path: str
    missing: str = ""  # as it was named in the call, where it is not on the disk

    def as_typed(self, broken: DocumentErrors) -> tuple[DocumentError, ...]:
        """What keeps the profile from use; a file that is not there is named as the call does."""
        if not self.missing:
            return tuple(broken.errors)
        return tuple(missing_as_typed(self.missing, error) for error in broken.errors)


class Shelf:
    """The repositories of one commit, each opened once; `label` is how the user calls it."""

    def __init__(self, commit: Commit, label: str) -> None:
        self.commit = commit
        self.label = label
        self._opened: dict[str, Repository] = {}

    def holds(self, path: str) -> bool:
        """Whether the commit has a file of that name, counted from git's top."""
        return path in self.commit.files or path in self.commit.links

    def side(self, path: str) -> ProfilePath:
        """A file of the commit; its places are shown as `REV:path`, ready to be asked for."""
        repository, inside = open_revision(self.commit, path)
        files = repository.files
        assert isinstance(files, GitRevision)
        opened = self._opened.get(files.root)
        if opened is None:
            way = f"{files.root}/" if files.root else ""
            files = replace(files, prefix=f"{self.label}:{way}")
            opened = Repository(files, repository.strays)
            self._opened[files.root] = opened
        return ProfilePath(opened, inside)


def on_disk(path: Path, typed: str = "", start: Path | None = None) -> ProfilePath:
    """A file as it lies there; `typed` is what the call names it by, `start` where shown names begin.

    A shop that lies beside it is shown by the way there.
    """
    if os.path.isdir(path):
        raise UsageError(
            f"{quoted(str(path))} is a folder: a side is one profile. "
            "`gonogo diff --against REV PATH` compares all profiles in a folder."
        )
    missing = "" if os.path.lexists(path) else typed or str(path)
    repository, inside = open_repository(path)
    if start is not None:
        assert isinstance(repository.files, WorkingTree)
        repository = Repository(_named_from(repository.files, start), repository.strays)
    return ProfilePath(repository, inside, missing)


def _named_from(files: WorkingTree, start: Path) -> WorkingTree:
    """The same files, their names shown from a folder above them, among them or elsewhere."""
    folder = Path(os.path.realpath(start))
    if files.root.is_relative_to(folder):
        way = files.root.relative_to(folder).as_posix()
        return replace(files, prefix="" if way == "." else f"{way}/")
    if folder.is_relative_to(files.root):
        return replace(files, start=folder.relative_to(files.root).as_posix())
    return replace(files, prefix=f"{Path(os.path.relpath(files.root, folder)).as_posix()}/")


def both_sides(
    old: str, new: str, here: Path, start: Path | None = None
) -> tuple[ProfilePath, ProfilePath]:
    """Both sides of a call; two that lie in one repository share its house file and parts."""
    before, after = side_of(old, here, start), side_of(new, here, start)
    if before.repository.files == after.repository.files:
        return before, replace(after, repository=before.repository)
    return before, after


def by_path_alone(side: ProfilePath) -> ProfilePath:
    """The same side, its files shown without the revision before their paths from git's top."""
    files = side.repository.files
    if not isinstance(files, GitRevision):
        return side
    way = f"{files.root}/" if files.root else ""
    shown = Repository(replace(files, prefix=way), side.repository.strays)
    return replace(side, repository=shown)


def side_of(text: str, here: Path, start: Path | None = None) -> ProfilePath:
    """What the user names: a file on the disk if there is one of that name, else `REV:path`.

    Names of files on the disk are shown from `start`.
    """
    path = here / text
    revision, colon, inside = text.partition(":")
    if not colon or os.path.lexists(path):
        if colon and inside and _is_in_revision(revision, inside, here):
            raise UsageError(
                f"{quoted(text)} is a file on the disk and a file of a revision as well; expected "
                f"{quoted('./' + text)} for the file on the disk, or the revision's commit."
            )
        return on_disk(path, text, start)
    if not inside:
        raise UsageError(f"{quoted(text)} names no file; expected {revision}:path/to/profile.yaml.")
    commit = _named(revision, here)
    shelf = Shelf(commit, revision)
    for name in _names(inside, here, commit):
        if shelf.holds(name):
            return shelf.side(name)
    raise RevisionError(_not_there(inside, here, shelf))


def _named(revision: str, here: Path) -> Commit:
    """The files of a revision; before the colon of `:path` stands none, which means what is staged."""
    return Commit(here, revision) if revision else Staged(here)


def _is_in_revision(revision: str, inside: str, here: Path) -> bool:
    """Whether `REV:path` names a file of a revision: on the disk anybody can add one of that name."""
    try:
        commit = _named(revision, here)
        shelf = Shelf(commit, revision)
        return any(shelf.holds(name) for name in _names(inside, here, commit))
    except RevisionError:
        return False


def _names(inside: str, here: Path, commit: Commit) -> Iterator[str]:
    """The paths from git's top that may be meant: from the top as git has it, or from here."""
    if not inside.startswith(("./", "../", "/")):
        yield os.path.normpath(inside).replace(os.sep, "/")
    try:
        top, name = from_top(here / inside)
    except RevisionError:
        return
    if commit.top == top:
        yield name


def _not_there(inside: str, here: Path, shelf: Shelf) -> str:
    place = quoted(shelf.label) if shelf.label else "the index"
    nothing = f"{place} has no {quoted(inside)}"
    for name in _names(inside, here, shelf.commit):
        if any(path.startswith(f"{name}/") for path in shelf.commit.files):
            return f"{quoted(inside)} is a folder in {place}: a side is one profile."
        old = next(
            (
                step.path
                for step in reversed(steps(shelf.commit.top, name))
                if shelf.holds(step.path)
            ),
            None,
        )
        if old is not None:
            return f"{nothing}: it was called `{shelf.label}:{old}` then."
    return f"{nothing}: expected the path of a profile in that revision."


def same_vehicle(old: ProfilePath, new: ProfilePath) -> bool:
    """Whether two files describe one vehicle: git takes any file for another of much the same text.

    By its id, where both give one, else by its name. A file that cannot be read is given the benefit
    of the doubt.
    """
    ids = [id_of(side.repository, side.path) for side in (old, new)]
    if ids[0] is not None and ids[1] is not None:
        return ids[0] == ids[1]
    try:
        names = [
            side.repository.document(side.path, "profile").value["vehicle"]["name"]
            for side in (old, new)
        ]
    except DocumentErrors:
        return True
    return bool(names[0] == names[1])


def last_commit(path: Path, start: Path | None = None) -> tuple[ProfilePath, ProfilePath]:
    """A profile as the last commit holds it, under whatever name, and as it lies on the disk."""
    new = on_disk(path, start=start)
    top, inside = from_top(path)
    if not has_commits(top):
        raise RevisionError(
            f"The repository of {quoted(str(path))} has no commit yet to compare with."
        )
    shelf = Shelf(Commit(top, LAST_COMMIT), LAST_COMMIT)
    old = _former(shelf, inside, new)
    if old is None and shelf.holds(inside):
        raise RevisionError(
            f"{quoted(str(path))} describes another vehicle in the last commit, by its id. "
            f"`gonogo diff HEAD:{inside} {path}` compares the two."
        )
    if old is None:
        raise RevisionError(
            f"{quoted(str(path))} is not in the last commit: there is nothing to compare it with."
        )
    return old, new


def in_revision(path: Path, revision: str) -> ProfilePath:
    """A profile on the disk as a revision holds it, under whatever name."""
    top, inside = from_top(path)
    old = _former(Shelf(Commit(top, revision), revision), inside, on_disk(path))
    if old is None:
        raise RevisionError(f"{quoted(str(path))} is not in {quoted(revision)}.")
    return old


def _former(shelf: Shelf, inside: str, new: ProfilePath) -> ProfilePath | None:
    """The file of a commit that became `new`: of that name, or moved and of the same vehicle.

    A file of that name with another id is another vehicle's.
    """
    own = identity_of(new.repository, new.path)
    if shelf.holds(inside):
        there = shelf.side(inside)
        its = identity_of(there.repository, there.path)
        if own is None or its is None or own.id == its.id:
            return there
    moved = moves(shelf.commit)
    for name in sorted(filter(shelf.holds, moved.changed)) if own is not None else ():
        side = shelf.side(name)
        its = identity_of(side.repository, side.path)
        if own is not None and its is not None and its.id == own.id:
            return side
    former = moved.former.get(inside, "")
    return shelf.side(former) if former and same_vehicle(shelf.side(former), new) else None
