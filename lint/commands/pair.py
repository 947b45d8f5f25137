"""A pair: one vehicle on both sides of a comparison of many, and the vehicles that only one side has."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from posixpath import basename, dirname

from ..comparison.known_additions import KnownAddition
from ..documents.error import DocumentError
from ..documents.files import is_yaml_name
from ..documents.git_revision import Commit
from ..documents.identity import id_of, identity_of, retired, wrong_with_ids
from ..documents.repository import Repository
from ..documents.search import Listed
from ..documents.twins import with_twins
from ..judgement.site_rules import shop_of
from .ceased import Ceased
from .sides import ProfilePath, Shelf, same_vehicle


@dataclass(frozen=True, slots=True)
class Pair:
    """Two sides of one vehicle; None where a side is not there.

    `touched` holds the names of other files that changed: a profile whose own file did not change
    is left out unless it reads one of them. None: it is compared whatever they are. `ceased` says
    why there is no new side, `returned` that the shop had the vehicle before and parted with it,
    `unknown` why nobody can tell what the vehicle was.
    """

    old: ProfilePath | None
    new: ProfilePath | None
    touched: frozenset[str] | None = None
    ceased: Ceased | None = None
    returned: bool = False
    unknown: str = ""


@dataclass(frozen=True, slots=True)
class Pairing:
    """All pairs to be compared, how many profiles were not even looked at, and what failed.

    Of a profile with an error `of_ids` nobody knows whose it is: it has no share of the report.
    """

    pairs: tuple[Pair, ...]
    unchanged: int = 0
    errors: tuple[DocumentError, ...] = ()
    against: str | None = None  # of a whole tree: what it is compared with
    known_added: tuple[KnownAddition, ...] = ()
    of_ids: tuple[DocumentError, ...] = ()
    left_out: tuple[str, ...] = ()  # profiles that a sparse clone keeps from the disk


def wrong_with_ids_of(
    profiles: Sequence[Listed], asked: Iterable[Pair], judged_on: str
) -> list[DocumentError]:
    """What is wrong with the ids of the profiles that changed; others are read only if they may share one."""
    own = {id_.encode() for pair in asked if (id_ := _id_of(pair.new))}
    alike = (one for one in profiles if own and _may_have(one, own))
    given = ((one.repository, one.path, identity_of(one.repository, one.path)) for one in alike)
    return wrong_with_ids(with_twins(given), judged_on)


def _may_have(one: Listed, ids: set[bytes]) -> bool:
    """Whether a file has one of some ids among its words."""
    try:
        text = one.repository.files.read(one.path)
    except DocumentError:
        return False
    return any(name in text for name in ids)


def wrong_with_shops(repositories: Iterable[Repository]) -> list[DocumentError]:
    """What keeps a rule of a shop from holding, be it for profiles that did not change."""
    once = {id(repository): repository for repository in repositories}
    return [error for each in once.values() for error in shop_of(each).errors]


def is_below(name: str, folder: str) -> bool:
    """Whether a path is a file or folder, or lies below it; git's top is `.` or nothing."""
    return folder in ("", ".") or name == folder or name.startswith(f"{folder}/")


def moved_words(pair: Pair) -> str:
    """From where to where a vehicle's file was moved, in words; "" where it stayed.

    Of two shops whose tops differ one may begin further up, so that its paths are longer.
    """
    if pair.old is None or pair.new is None:
        return ""
    old, new = pair.old.path, pair.new.path
    if old == new or old.endswith(f"/{new}") or new.endswith(f"/{old}"):
        return ""
    if basename(old) == basename(new):
        was, now = (f"{folder}/" if (folder := dirname(path)) else "the top" for path in (old, new))
        return f"moved from {was} to {now}"
    return f"moved from {old} to {new}"


def is_other_vehicle(old: ProfilePath, new: ProfilePath, moved: bool, changed: bool) -> bool:
    """Whether a file describes another vehicle than the one it is held against.

    A file that moved is known by its id or its name; one in its place is another by its id alone.
    """
    if moved:
        return not same_vehicle(old, new)
    if not changed:
        return False
    was, now = _id_of(old), _id_of(new)
    return was is not None and now is not None and was != now


def alone(shelf: Shelf, path: str, new: ProfilePath, judged_on: str) -> Pair:
    """A vehicle that a commit does not have; one that its shop had parted with is back.

    Where the commit lacks what lies there, nobody can tell.
    """
    unknown = _unknown(shelf.commit, path)
    if unknown:
        return Pair(None, new, unknown=unknown)
    own = identity_of(new.repository, new.path)
    before = shelf.side(path).repository
    return Pair(None, new, returned=own is not None and own.id in retired(before, judged_on))


def by_identity(gone: Sequence[Pair], asked: Sequence[Pair]) -> tuple[list[Pair], list[Pair]]:
    """Those that are gone, and the others, with each vehicle that has only another file put together."""
    lost = {own: pair for pair in gone if (own := _id_of(pair.old))}
    joined: dict[int, Pair] = {}
    for pair in asked:
        own = _id_of(pair.new) if pair.old is None else None
        was = lost.pop(own, None) if own else None
        if was is not None:
            joined[id(pair)] = Pair(was.old, pair.new)
    found = [pair.old for pair in joined.values()]
    rest = [pair for pair in gone if pair.old not in found]
    return rest, [joined.get(id(pair), pair) for pair in asked]


def _id_of(side: ProfilePath | None) -> str | None:
    return None if side is None else id_of(side.repository, side.path)


def _unknown(commit: Commit, path: str) -> str:
    """Why a commit does not say what a file was; "" where it says that there was none."""
    lacking = commit.lacking.items()
    return next((f"{name}: {why}" for name, why in lacking if is_below(path, name)), "")


def removed(
    shelf: Shelf,
    names: Iterable[str],
    folders: Sequence[str],
    ceased: Callable[[ProfilePath, str], Ceased | None],
) -> Iterator[tuple[str, Pair]]:
    """The profiles of a commit among some names, below some folders, and what became of each.

    `ceased` says it, and None where that is told elsewhere.
    """
    for name in sorted(filter(shelf.holds, names)):
        if not (is_yaml_name(basename(name)) and any(is_below(name, one) for one in folders)):
            continue
        side = shelf.side(name)
        with suppress(DocumentError):  # what nobody could read then was no vehicle
            if side.repository.kind(side.path) == "profile":
                became = ceased(side, name)
                if became is not None:
                    yield name, Pair(side, None, ceased=became)
