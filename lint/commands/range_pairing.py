"""The comparison of two commits: every profile that one of them has, without a look at the disk."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from posixpath import basename, join, normpath

from ..documents.error import DocumentError, NoProfile
from ..documents.files import Files, WorkingTree, is_yaml_name
from ..documents.git_moves import FileMoves, moves_to
from ..documents.git_names import merge_base
from ..documents.git_revision import Commit, GitRevision
from ..documents.loading import wrong_with_others
from ..documents.profile import Profile
from ..documents.revision_search import find_in
from ..documents.search import Listed
from .pairing import SHORT_COMMIT, HousesCompared, Pair, Pairing, wrong_with_shops
from .revisions import RevisionRange, git_top, paths_in
from .sides import ProfilePath, Shelf, same_vehicle


def compared_range(
    span: RevisionRange, paths: Sequence[Path], here: Path, path_alone: bool = False
) -> Pairing:
    """Every profile under the paths in the later revision, and those that are gone from the earlier.

    Names of the later revision are shown as `REV:path`, or as the `path_alone`.
    """
    top = git_top(here)
    asked = paths_in(top, paths, here)
    began = span.dots == "..."
    commit = Commit(top, merge_base(top, span.old, span.new) if began else span.old)
    shelf = Shelf(commit, commit.name[:SHORT_COMMIT] if began else span.old)
    later = Commit(top, span.new)
    known = [path for path in asked if _has(later, path) or not _has(commit, path)]
    search = find_in(later, known, "" if path_alone else f"{span.new}:")
    pairing = _Range(shelf, moves_to(commit, later))
    pairs = [pairing.pair(profile) for profile in search.profiles]
    pairs += pairing.removed(asked)
    errors = (
        *search.errors,
        *wrong_with_others(search),
        *wrong_with_shops(one.repository for one in search.profiles),
    )
    if not (pairs or errors):
        raise NoProfile([str(path) for path in paths])
    return Pairing(tuple(pairs), 0, errors, str(span))


class _Range:
    """Two commits, the earlier on its shelf."""

    def __init__(self, shelf: Shelf, moves: FileMoves) -> None:
        self.shelf = shelf
        self.moves = moves
        self.gone = set(moves.gone)
        self.houses = HousesCompared()

    def pair(self, profile: Listed) -> Pair:
        """A profile beside what it was; where its own file is the same, another may have changed."""
        files = profile.repository.files
        assert isinstance(files, GitRevision)
        path = f"{files.root}/{profile.path}" if files.root else profile.path
        new = ProfilePath(profile.repository, profile.path)
        former = self.moves.former.get(path, path)
        if not self.shelf.holds(former):
            return Pair(None, new)
        old = self.shelf.side(former)
        if former != path and not same_vehicle(old, new):
            self.gone.add(former)
            return Pair(None, new)
        if path in self.moves.changed:
            return Pair(old, new)
        has_other_rules = self.houses.differ(old.repository, new.repository)
        return Pair(old, new, frozenset({profile.file} if has_other_rules else ()))

    def removed(self, asked: Sequence[str]) -> Iterator[Pair]:
        """The profiles under some paths that only the earlier commit has."""
        for name in sorted(self.gone):
            if is_yaml_name(basename(name)) and any(_below(name, path) for path in asked):
                side = self.shelf.side(name)
                with suppress(DocumentError):  # what nobody could read then was no vehicle
                    if side.repository.kind(side.path) == "profile":
                        yield Pair(side, None)


def _below(name: str, folder: str) -> bool:
    return not folder or name == folder or name.startswith(f"{folder}/")


def _has(commit: Commit, path: str) -> bool:
    return any(_below(name, path) for name in (*commit.files, *commit.links))


def _inside(files: Files, file: str) -> str:
    """The path inside its root of a file by the name that is shown."""
    start = files.start if isinstance(files, WorkingTree) else ""
    return normpath(join(start, file)) if start else file.removeprefix(files.prefix)


def is_untouched(pair: Pair, new: Profile) -> bool:
    """Whether all that a profile reads is as it was, so that it can be no other vehicle.

    The files are read by the same paths on both sides: behind a linked folder or a submodule no
    name tells whether a file changed.
    """
    if pair.touched is None or pair.old is None or not pair.touched.isdisjoint(new.files):
        return False
    assert pair.new is not None
    before, after = pair.old.repository.files, pair.new.repository.files
    try:
        return pair.old.path == pair.new.path and all(
            before.read(path) == after.read(path)
            for path in (_inside(after, file) for file in new.files)
        )
    except DocumentError:
        return False
