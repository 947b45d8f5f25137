"""The comparison of a whole tree: every profile beside what it was, those that are gone too."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from pathlib import Path
from posixpath import basename, relpath

from ..documents.error import (
    DocumentError,
    DocumentErrors,
    HouseGone,
    NoProfile,
    RevisionError,
    UnreadableFile,
)
from ..documents.files import HOUSE_FILE, LARGEST, WorkingTree, is_yaml_name
from ..documents.git_history import from_top
from ..documents.git_moves import FileMoves, differs, moves
from ..documents.git_names import SHORT_COMMIT, commit_of, merge_base, shown_revision
from ..documents.git_revision import Commit
from ..documents.house import House
from ..documents.loading import wrong_with_others
from ..documents.repository import Repository
from ..documents.search import Listed, find
from ..documents.sparse import ADD_IT, LEFT_OUT_WORDS
from .ceased import Ceased, ceased_on_disk
from .known_pairing import changes_on_disk
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
from .retired_entries import wrong_with_retired
from .sides import ProfilePath, Shelf
from .submodule_pairing import not_compared_on_disk, others_than_submodules, with_submodules

NO_HOUSE = (
    "no house file any more: its allowances, severities, required entries and own rules are gone"
)


class HousesCompared:
    """Whether house files came to differ; those of two repositories are looked at once."""

    def __init__(self) -> None:
        self._known: dict[tuple[int, int], bool] = {}

    def differ(self, old: Repository, new: Repository) -> bool:
        """Whether the shop's allowances, requirements or own rules are others than they were."""
        key = (id(old), id(new))
        if key not in self._known:
            self._known[key] = _house_statement(old) != _house_statement(new)
        return self._known[key]


def houses_gone(pairs: Iterable[Pair]) -> Iterator[DocumentError]:
    """Each house file that asked for something and that a change took away, once for its shop."""
    told: set[tuple[int, str]] = set()
    for pair in pairs:
        if pair.old is None or pair.new is None:
            continue
        old, new = pair.old.repository, pair.new.repository
        file = new.named(HOUSE_FILE)
        is_known = (id(old), file) in told
        told.add((id(old), file))
        if is_known or new.files.exists(HOUSE_FILE) or not old.files.exists(HOUSE_FILE):
            continue
        if _house_statement(old) != _stated(House()):
            yield HouseGone(file, 1, 1, NO_HOUSE, "the house file")


class _Top:
    """One git repository whose tree is compared with the merge base of HEAD and a revision."""

    def __init__(self, top: Path, revision: str, judged_on: str) -> None:
        self.top = top
        self.judged_on = judged_on
        self.commit = Commit(top, merge_base(top, revision))
        exact = commit_of(top, revision) == self.commit.name
        self.shelf = Shelf(
            self.commit, shown_revision(revision) if exact else self.commit.name[:SHORT_COMMIT]
        )
        self.moves: FileMoves = moves(self.commit)
        # A link to a folder may change what any path means that passes it.
        self.relinked = not self.moves.changed.isdisjoint(self.moves.ways)
        self.others = self.moves.changed.difference(self.moves.ways)
        self.unwatched = _has_other_parts(self.commit)
        self.met: set[str] = set()  # the commit's names of profiles that stand in a pair
        self.houses = HousesCompared()

    def shown(self, start: Path | None) -> Callable[[str], str]:
        """How a path from git's top is shown from a folder."""
        way = os.path.relpath(self.top, os.path.realpath(start or self.top))
        return lambda path: os.path.normpath(os.path.join(way, path)).replace(os.sep, "/")


def against_revision(
    revision: str, paths: Sequence[Path], judged_on: str, shown_from: Path | None = None
) -> Pairing:
    """Every profile under the paths that may differ from the merge base, and those that are gone."""
    folders = dict.fromkeys(from_top(path)[0] for path in paths)
    tops = {top: _Top(top, revision, judged_on) for top in folders}
    standing = [path for path in paths if os.path.lexists(path)]
    gone = [path for path in paths if not os.path.lexists(path)]
    lost = [path for path in gone if not _is_gone(path, tops)]
    search = find([*standing, *lost], shown_from)
    with_all = search.errors
    search = search._replace(errors=tuple(others_than_submodules(search.errors)))
    if any(isinstance(error, UnreadableFile) for error in search.errors):
        for top in tops.values():
            top.unwatched = True  # a link that leads out: no name tells what lies behind it
    pairs = list(_pairs(search.profiles, tops, revision, judged_on))
    gone_pairs = [pair for path in paths for pair in _removed(path, tops, judged_on)]
    rejoined, asked = by_identity(gone_pairs, [pair for pair in pairs if pair is not None])
    lists = changes_on_disk((top.shelf, top.moves.changed, top.top) for top in tops.values())
    errors = (
        *lists.errors,
        *search.errors,
        *wrong_with_others(search),
        *wrong_with_shops(one.repository for one in search.profiles),
    )
    errors += tuple(houses_gone(asked))
    errors += tuple(_wrong_with_retired(search.profiles, tops.values()))
    away: list[DocumentError] = []
    left: list[str] = []
    for top in tops.values():
        inside = [from_top(path)[1] for path in paths if from_top(path)[0] == top.top]
        away += not_compared_on_disk(top.commit, inside, top.shown(shown_from))
        away += _left_out_changed(top, inside, top.shown(shown_from))
        left += _left_out_same(top, inside, top.shown(shown_from))
    errors += tuple(with_submodules(with_all, away))
    of_ids = tuple(wrong_with_ids_of(search.profiles, asked, judged_on))
    if not (search.profiles or rejoined or errors or left):
        raise NoProfile([str(path) for path in paths])
    told = (revision, lists.added, of_ids, tuple(left))
    return Pairing((*asked, *rejoined), pairs.count(None), errors, *told)


def _left_out_changed(
    top: _Top, asked: Sequence[str], shown: Callable[[str], str]
) -> Iterator[DocumentError]:
    """What a sparse clone keeps from the disk though its branch changed it: it is compared by nobody here."""
    for name in sorted(top.moves.left_out_changed):
        if any(is_below(name, one) for one in asked):
            found = f"{LEFT_OUT_WORDS}, and that changed"
            yield UnreadableFile(shown(name), 1, 1, found, ADD_IT)


def _left_out_same(top: _Top, asked: Sequence[str], shown: Callable[[str], str]) -> Iterator[str]:
    """The profiles that a sparse clone keeps from the disk, and that its branch has as they were."""
    for name in sorted(top.moves.left_out - top.moves.left_out_changed):
        if any(is_below(name, one) for one in asked):
            side = top.shelf.side(name)
            with suppress(DocumentError):  # what nobody could read then was no vehicle
                if side.repository.kind(side.path) == "profile":
                    yield shown(name)


def _wrong_with_retired(
    profiles: Iterable[Listed], tops: Iterable[_Top]
) -> Iterator[DocumentError]:
    """What is wrong with the retired vehicles of each shop that lies in a repository."""
    shops = {id(one.repository): one.repository for one in profiles}
    for shop in shops.values():
        assert isinstance(shop.files, WorkingTree)
        folder = Path(os.path.realpath(shop.files.root))
        top = next((one for one in tops if folder.is_relative_to(one.top)), None)
        if top is not None:
            house = (folder / HOUSE_FILE).relative_to(top.top).as_posix()
            yield from wrong_with_retired(top.shelf.side(house).repository, shop, top.commit)


def _is_gone(path: Path, tops: dict[Path, _Top]) -> bool:
    top, inside = from_top(path)
    return any(is_below(name, inside) for name in tops[top].moves.gone)


def _pairs(
    profiles: Iterable[Listed], tops: dict[Path, _Top], revision: str, judged_on: str
) -> Iterator[Pair | None]:
    """A pair for each profile, None for one that cannot have changed."""
    places: dict[str, tuple[_Top, str, str]] = {}
    for profile in profiles:
        files = profile.repository.files
        assert isinstance(files, WorkingTree)
        folder = os.path.join(files.root, os.path.dirname(profile.path))
        if folder not in places:
            try:
                top = _top_of(Path(folder), tops, revision, judged_on)
            except RevisionError as broken:  # a submodule has other branches
                new = ProfilePath(profile.repository, profile.path)
                yield Pair(None, new, unknown=str(broken))
                continue
            inside = os.path.relpath(os.path.realpath(folder), top.top).replace(os.sep, "/")
            root = os.path.relpath(os.path.realpath(files.root), top.top).replace(os.sep, "/")
            places[folder] = (top, "" if inside == "." else f"{inside}/", root)
        top, way, root = places[folder]
        yield _pair(profile, top, way + os.path.basename(profile.path), root)


def _top_of(folder: Path, tops: dict[Path, _Top], revision: str, judged_on: str) -> _Top:
    """The repository whose commit holds a folder: around a submodule it is the one that was asked for."""
    path, _ = from_top(folder)
    if path in tops:
        return tops[path]
    for top in tops.values():
        if path.is_relative_to(top.top):
            inside = path.relative_to(top.top).as_posix()
            known = (*top.commit.submodules, *top.commit.lacking)
            if any(is_below(inside, name) for name in known):
                return top
    tops[path] = _Top(path, revision, judged_on)
    return tops[path]


def _pair(profile: Listed, top: _Top, path: str, root: str) -> Pair | None:
    """What to compare a profile with: `path` is its own from git's top, `root` its shop's."""
    former = top.moves.former.get(path, path)
    new = ProfilePath(profile.repository, profile.path)
    if not top.shelf.holds(former):
        return alone(top.shelf, path, new, top.judged_on)
    old = top.shelf.side(former)
    if is_other_vehicle(old, new, former != path, path in top.moves.changed):
        return alone(top.shelf, path, new, top.judged_on)
    top.met.add(former)
    is_watched = is_yaml_name(basename(path))
    if path in top.moves.changed or (not is_watched and differs(top.commit, path)):
        return Pair(old, new)
    other_rules = top.relinked or top.houses.differ(old.repository, profile.repository)
    has_parts_elsewhere = root.split("/")[0] == ".."  # git knows nothing of those
    if not (top.others or top.unwatched or other_rules or has_parts_elsewhere):
        return None
    names = {profile.repository.named(relpath(name, root)) for name in top.others}
    is_doubtful = other_rules or has_parts_elsewhere
    return Pair(old, new, frozenset(names | ({profile.file} if is_doubtful else set())))


def _has_other_parts(commit: Commit) -> bool:
    """Whether a file changed that is not YAML by its name, and that a profile may take for a part."""
    others = (name for name in commit.files if not is_yaml_name(basename(name)))
    return any(differs(commit, name) for name in others if _may_be_read(commit.top / name))


def _may_be_read(path: Path) -> bool:
    try:
        return os.stat(path).st_size <= LARGEST
    except (OSError, ValueError):
        return True


def _house_statement(repository: Repository) -> tuple[object, ...]:
    """What a shop's house file comes to, with its own rules: apart from places and spelling."""
    try:
        house = repository.house()
    except DocumentErrors:
        return ("unreadable", HOUSE_FILE)
    return _stated(house)


def _stated(house: House) -> tuple[object, ...]:
    return (
        sorted((name, given.value) for name, given in house.allowances.items()),
        sorted(house.severities.items()),
        sorted(house.require),
        sorted(document.text for document in house.rules),
    )


def _removed(path: Path, tops: dict[Path, _Top], judged_on: str) -> Iterator[Pair]:
    """The profiles under a path that the revision had, and that stand in no pair."""
    folder, inside = from_top(path)
    top = tops[folder]

    def became(side: ProfilePath, name: str) -> Ceased | None:
        return ceased_on_disk(side, name, top.commit.top, top.moves, judged_on)

    for name, pair in removed(top.shelf, top.moves.changed.difference(top.met), [inside], became):
        top.met.add(name)
        yield pair
