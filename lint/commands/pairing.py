"""Which revisions stand side by side: two sides, one profile and its last commit, or a whole tree."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from ..documents.dataclass import dataclass
from ..documents.document import kind_at_a_glance
from ..documents.error import DocumentError, DocumentErrors, NoProfile
from ..documents.files import ENDINGS, HOUSE, WorkingTree
from ..documents.house import House
from ..documents.lineage import Moves, from_top, moves
from ..documents.repository import Found, Repository, find
from ..documents.revision import Commit, GitRevision
from .side import Shelf, Side, same_vehicle


@dataclass(frozen=True, slots=True)
class Pair:
    """Two sides of one vehicle; None where a side is not there.

    `touched` holds the names of other files that changed: a profile whose own file did not change
    is left out unless it reads one of them. None: it is compared whatever they are.
    """

    old: Side | None
    new: Side | None
    touched: frozenset[str] | None = None


@dataclass(frozen=True, slots=True)
class Pairing:
    """All pairs to be compared, how many profiles were not even looked at, and what failed."""

    pairs: tuple[Pair, ...]
    unchanged: int = 0
    errors: tuple[DocumentError, ...] = ()


class _Top:
    """One git repository whose tree is compared with a commit of its own."""

    def __init__(self, top: Path, revision: str) -> None:
        self.top = top
        self.commit = Commit(top, revision)
        self.shelf = Shelf(self.commit, revision)
        self.moves: Moves = moves(self.commit)
        self.others = frozenset(name for name in self.moves.changed if name.endswith(ENDINGS))
        self.gone = set(self.moves.gone)
        self._houses: dict[tuple[int, int], bool] = {}

    def other_house(self, old: Repository, new: Repository) -> bool:
        """Whether the shop's allowances, requirements or own rules are others than they were."""
        key = (id(old), id(new))
        if key not in self._houses:
            self._houses[key] = _house(old) != _house(new)
        return self._houses[key]


def since(revision: str, paths: Sequence[Path]) -> Pairing:
    """Every profile under the paths that may differ from a revision, and those that are gone."""
    tops: dict[Path, _Top] = {}
    standing = [path for path in paths if os.path.lexists(path)]
    gone = [path for path in paths if not os.path.lexists(path)]
    for path in paths:
        top, _ = from_top(path)
        if top not in tops:
            tops[top] = _Top(top, revision)
    lost = [path for path in gone if not _is_gone(path, tops)]
    search = find([*standing, *lost])
    pairs = list(_of_found(search.profiles, tops, revision))
    removed = list(_removed(paths, tops))
    if not (search.profiles or removed or search.errors):
        raise NoProfile([str(path) for path in paths])
    asked = [pair for pair in pairs if pair is not None]
    return Pairing((*asked, *removed), len(pairs) - len(asked), search.errors)


def _is_gone(path: Path, tops: dict[Path, _Top]) -> bool:
    top, inside = from_top(path)
    return any(_below(name, inside) for name in tops[top].moves.gone)


def _below(name: str, folder: str) -> bool:
    return folder == "." or name == folder or name.startswith(f"{folder}/")


def _of_found(
    profiles: Iterable[Found], tops: dict[Path, _Top], revision: str
) -> Iterator[Pair | None]:
    """A pair for each profile, None for one that cannot have changed."""
    roots: dict[str, tuple[_Top, str]] = {}
    for found in profiles:
        files = found.repository.files
        assert isinstance(files, WorkingTree)
        root = str(files.root)
        if root not in roots:
            top, inside = from_top(files.root)
            if top not in tops:
                tops[top] = _Top(top, revision)
            roots[root] = (tops[top], "" if inside == "." else f"{inside}/")
        held, way = roots[root]
        yield _pair(found, held, way)


def _pair(found: Found, top: _Top, way: str) -> Pair | None:
    path = way + found.path
    former = top.moves.former.get(path, path)
    new = Side(found.repository, found.path)
    if not top.shelf.holds(former):
        return Pair(None, new)
    old = top.shelf.side(former)
    if former != path and not same_vehicle(old, new):
        top.gone.add(former)
        return Pair(None, new)
    if path in top.moves.changed:
        return Pair(old, new)
    if not top.others:
        return None
    cut = len(way)
    names = {found.repository.named(name[cut:]) for name in top.others if name.startswith(way)}
    if top.other_house(old.repository, found.repository):
        names.add(found.repository.named(found.path))
    return Pair(old, new, frozenset(names))


def _house(repository: Repository) -> tuple[object, ...]:
    """What a shop's house file comes to, with its own rules: apart from places and spelling."""
    try:
        house = repository.house()
    except DocumentErrors:
        return ("unreadable", HOUSE)
    return _said(house)


def _said(house: House) -> tuple[object, ...]:
    return (
        sorted((name, given.value) for name, given in house.allowances.items()),
        sorted(house.severities.items()),
        sorted(house.require),
        sorted(document.text for document in house.rules),
    )


def _removed(paths: Sequence[Path], tops: dict[Path, _Top]) -> Iterator[Pair]:
    """The profiles under the paths that the revision had and nobody has any more."""
    for path in paths:
        top, inside = from_top(path)
        held = tops[top]
        for name in sorted(held.gone):
            if name.endswith(ENDINGS) and _below(name, inside):
                data = GitRevision(held.commit).begin(name)
                if kind_at_a_glance(data) == "profile":
                    yield Pair(held.shelf.side(name), None)
