"""The comparison of two commits, or of what is staged: every profile that a side has, without a look at the disk."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from ..documents.error import DocumentError, NoProfile
from ..documents.files import HOUSE_FILE
from ..documents.git_history import has_commits
from ..documents.git_moves import moves_to
from ..documents.git_names import SHORT_COMMIT, merge_base, shown_revision
from ..documents.git_revision import Commit, GitRevision, NoCommit, Staged
from ..documents.loading import wrong_with_others
from ..documents.profile import Profile
from ..documents.revision_search import find_in
from ..documents.search import Listed
from .ceased import Ceased, ceased_in
from .changed_files import path_inside
from .known_pairing import known_changes, new_in
from .pair import (
    Pair,
    Pairing,
    alone,
    by_identity,
    is_below,
    is_other_vehicle,
    removed,
    wrong_with_ids_of,
    wrong_with_shops,
)
from .pairing import HousesCompared, houses_gone
from .retired_entries import wrong_with_retired
from .revisions import RevisionRange, git_top, paths_in
from .sides import LAST_COMMIT, ProfilePath, Shelf
from .submodule_pairing import not_compared_in_range, others_than_submodules


def compared_range(
    span: RevisionRange,
    paths: Sequence[Path],
    here: Path,
    judged_on: str,
    path_alone: bool = False,
) -> Pairing:
    """Every profile under the paths in the later revision, and those that are gone from the earlier.

    Names of the later revision are shown as `REV:path`, or as the `path_alone`.
    """
    top = git_top(here)
    began = span.dots == "..."
    commit = Commit(top, merge_base(top, span.old, span.new) if began else span.old)
    shelf = Shelf(commit, commit.name[:SHORT_COMMIT] if began else shown_revision(span.old))
    later = Shelf(Commit(top, span.new), shown_revision(span.new))
    return _compared(shelf, later, paths, here, judged_on, path_alone, str(span))


def compared_staged(
    paths: Sequence[Path], here: Path, judged_on: str, path_alone: bool = False
) -> Pairing:
    """Every profile under the paths as it is staged, beside the last commit, and those that are gone.

    Staged files are shown as `:path`. Before the first commit every vehicle is new.
    """
    top = git_top(here)
    head = Commit(top, LAST_COMMIT) if has_commits(top) else NoCommit(top)
    shelf, staged = Shelf(head, LAST_COMMIT), Shelf(Staged(top), "")
    return _compared(shelf, staged, paths, here, judged_on, path_alone, LAST_COMMIT)


def _compared(
    shelf: Shelf,
    later: Shelf,
    paths: Sequence[Path],
    here: Path,
    judged_on: str,
    path_alone: bool,
    against: str,
) -> Pairing:
    """The profiles of two trees under some paths."""
    commit = shelf.commit
    asked = paths_in(commit.top, paths, here)
    known = [path for path in asked if _has(later.commit, path) or not _has(commit, path)]
    search = find_in(later.commit, known, "" if path_alone else f"{later.label}:")
    whole = search
    search = search._replace(errors=tuple(others_than_submodules(search.errors)))
    pairing = _Range(shelf, later, judged_on)
    lists = known_changes(shelf, pairing.moves.changed, new_in(later))
    pairs = [pairing.pair(profile) for profile in search.profiles]
    gone, pairs = by_identity(pairing.gone(asked), pairs)
    errors = (
        *lists.errors,
        *search.errors,
        *wrong_with_others(search),
        *wrong_with_shops(one.repository for one in search.profiles),
    )
    errors += (*houses_gone(pairs), *_wrong_with_retired(search.profiles, shelf))
    label = "" if path_alone else f"{later.label}:"
    errors += tuple(
        not_compared_in_range(commit, later.commit, asked, label, pairing.moves.changed)
    )
    of_ids = tuple(wrong_with_ids_of(search.profiles, pairs, judged_on))
    if not (pairs or gone or errors):
        errors = whole.errors  # of submodules that did not change: there is nothing else
    if not (pairs or gone or errors):
        raise NoProfile([str(path) for path in paths])
    return Pairing((*pairs, *gone), 0, errors, against, lists.added, of_ids)


def _wrong_with_retired(profiles: Sequence[Listed], shelf: Shelf) -> Iterator[DocumentError]:
    """What is wrong with the retired vehicles of each shop."""
    for shop in {id(one.repository): one.repository for one in profiles}.values():
        assert isinstance(shop.files, GitRevision)
        house = f"{shop.files.root}/{HOUSE_FILE}" if shop.files.root else HOUSE_FILE
        yield from wrong_with_retired(shelf.side(house).repository, shop, shelf.commit)


class _Range:
    """Two commits, or one and what is staged, each on its shelf."""

    def __init__(self, shelf: Shelf, later: Shelf, judged_on: str) -> None:
        self.shelf = shelf
        self.later = later
        self.judged_on = judged_on
        self.moves = moves_to(shelf.commit, later.commit)
        self.met: set[str] = set()  # names of the earlier commit that stand in a pair
        self.houses = HousesCompared()

    def pair(self, profile: Listed) -> Pair:
        """A profile beside what it was; where its own file is the same, another may have changed."""
        files = profile.repository.files
        assert isinstance(files, GitRevision)
        path = f"{files.root}/{profile.path}" if files.root else profile.path
        new = ProfilePath(profile.repository, profile.path)
        former = self.moves.former.get(path, path)
        if not self.shelf.holds(former):
            return alone(self.shelf, path, new, self.judged_on)
        old = self.shelf.side(former)
        if is_other_vehicle(old, new, former != path, path in self.moves.changed):
            return alone(self.shelf, path, new, self.judged_on)
        self.met.add(former)
        if path in self.moves.changed:
            return Pair(old, new)
        has_other_rules = self.houses.differ(old.repository, new.repository)
        return Pair(old, new, frozenset({profile.file} if has_other_rules else ()))

    def gone(self, asked: Sequence[str]) -> list[Pair]:
        """The profiles under some paths that only the earlier commit has, and what became of each."""

        def became(side: ProfilePath, name: str) -> Ceased | None:
            return ceased_in(side, name, self.later, self.moves, self.judged_on)

        lacking = self.later.commit.lacking
        changed = self.moves.changed.difference(self.met)
        names = {name for name in changed if not any(is_below(name, one) for one in lacking)}
        return [pair for _, pair in removed(self.shelf, names, asked, became)]


def _has(commit: Commit, path: str) -> bool:
    return any(is_below(name, path) for name in (*commit.files, *commit.links))


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
            for path in (path_inside(after, file) for file in new.files)
        )
    except DocumentError:
        return False
