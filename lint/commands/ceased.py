"""A profile of a revision that is none any more: gone, moved out of sight, or a file of another kind."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path
from posixpath import basename, dirname, join
from typing import NamedTuple

from ..documents.error import DocumentError
from ..documents.files import Files, WorkingTree, is_yaml_name
from ..documents.git_moves import FileMoves
from ..documents.git_revision import GitRevision
from ..documents.identity import identity_of, retired, retired_since
from ..documents.recognition import kind_by_whole
from ..documents.repository import Repository, open_repository
from ..documents.text import quoted
from ..reports.comparison_totals import CeasedAs
from .sides import ProfilePath, Shelf, on_disk, same_vehicle

FOLDER_NOW = "a folder has its name now"


class Ceased(NamedTuple):
    """Why a vehicle that a revision had is checked no more; `why` may be empty."""

    kind: CeasedAs
    why: str = ""


def ceased_on_disk(
    old: ProfilePath, name: str, top: Path, moves: FileMoves, judged_on: str
) -> Ceased | None:
    """What became of a profile of a commit, by its path from git's top.

    None where its file cannot be read: that is an error of its own.
    """
    place = top / name
    shop, inside = open_repository(place)
    if _is_retired(old, shop, judged_on):
        return _retired(old)
    if not os.path.lexists(place):
        new = _moved_to(name, moves)
        is_moved = new is not None and same_vehicle(old, on_disk(top / new))
        tree = WorkingTree(top)
        why = _gone_to(name, new if is_moved else None, _names_beside(place), tree)
        return Ceased("gone", _joined(why, _still_to_be_retired(old, shop)))
    if os.path.isdir(place):
        return Ceased("gone", FOLDER_NOW)
    return _still_there(ProfilePath(shop, inside))


def ceased_in(
    old: ProfilePath, name: str, later: Shelf, moves: FileMoves, judged_on: str
) -> Ceased | None:
    """The same of a profile of an earlier commit, in a later one."""
    side = later.side(name)
    if _is_retired(old, side.repository, judged_on):
        return _retired(old)
    if later.holds(name):
        return _still_there(side)
    every = (*later.commit.files, *later.commit.links)
    if any(one.startswith(f"{name}/") for one in every):
        return Ceased("gone", FOLDER_NOW)
    new = _moved_to(name, moves)
    is_moved = new is not None and same_vehicle(old, later.side(new))
    beside = (basename(one) for one in every if dirname(one) == dirname(name))
    files = GitRevision(later.commit)
    why = _gone_to(name, new if is_moved else None, beside, files)
    return Ceased("gone", _joined(why, _still_to_be_retired(old, side.repository)))


def _is_retired(old: ProfilePath, shop: Repository, judged_on: str) -> bool:
    own = identity_of(old.repository, old.path)
    return own is not None and own.id in retired(shop, judged_on)


def _still_to_be_retired(old: ProfilePath, shop: Repository) -> str:
    """That the house file names a vehicle as retired from a later day on; "" where it does not."""
    own = identity_of(old.repository, old.path)
    since = None if own is None else retired_since(shop).get(own.id)
    return "" if since is None else f"`retired` in the house file names it from {since} on only"


def _joined(*words: str) -> str:
    return "; ".join(filter(None, words))


def _retired(old: ProfilePath) -> Ceased:
    own = identity_of(old.repository, old.path)
    named = quoted(own.id) if own else ""
    return Ceased("retired", f"{named} stands under `retired` in the house file")


def _still_there(side: ProfilePath) -> Ceased | None:
    """A file of that name that is no profile any more, or that of another vehicle."""
    repository, inside = side.repository, side.path
    try:
        kind = repository.kind(inside)
    except DocumentError:
        return None
    if kind != "profile":
        is_empty = not repository.files.read(inside).strip()
        return Ceased("no_profile", _other_words(kind, is_empty))
    return Ceased("gone", "its file describes another vehicle now")


def _other_words(kind: str | None, is_empty: bool) -> str:
    if kind is not None:
        return f"the file is a {kind} now"
    return (
        "the file is empty now" if is_empty else "the file does not begin with `gonogo: profile/1`"
    )


def _moved_to(name: str, moves: FileMoves) -> str | None:
    """The name under which git would take a file for one that is gone."""
    return next((new for new, former in moves.former.items() if former == name), None)


def _names_beside(place: Path) -> Iterable[str]:
    try:
        return os.listdir(place.parent)
    except OSError:
        return ()


def _gone_to(name: str, moved_to: str | None, beside: Iterable[str], files: Files) -> str:
    """Where a file that is gone went, if that can be told: `beside` are names in its folder."""
    if moved_to is not None:
        return f"moved to {quoted(moved_to)}, outside the paths compared"
    begin = f"{basename(name)}."
    stem = f"{basename(name).rpartition('.')[0]}."
    others = sorted(each for each in beside if not is_yaml_name(each))
    other = next((each for each in others if each.startswith(begin)), None) or next(
        (
            each
            for each in others
            if each.startswith(stem) and _holds_profile(files, join(dirname(name), each))
        ),
        None,
    )
    return f"{quoted(other)} is not a YAML file by its name" if other else ""


def _holds_profile(files: Files, path: str) -> bool:
    """Whether the text of a file is a profile, whatever its name."""
    try:
        return kind_by_whole(files.read(path), path) == "profile"
    except DocumentError:
        return False
