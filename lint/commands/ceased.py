"""A profile of a revision that is none any more: gone, moved out of sight, or a file of another kind."""

from __future__ import annotations

import os
from pathlib import Path
from posixpath import basename, dirname
from typing import NamedTuple

from ..documents.error import DocumentError
from ..documents.git_moves import FileMoves
from ..documents.identity import identity_of, retired
from ..documents.repository import open_repository
from ..documents.text import quoted
from ..reports.comparison_totals import CeasedAs
from .sides import ProfilePath, on_disk, same_vehicle


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
    own = identity_of(old.repository, old.path)
    shop = open_repository(place)[0]
    if own is not None and own.id in retired(shop, judged_on):
        return Ceased("retired", f"{quoted(own.id)} stands under `retired` in the house file")
    if not os.path.lexists(place):
        return Ceased("gone", _gone_to(old, name, top, moves))
    if os.path.isdir(place):
        return Ceased("gone", "a folder has its name now")
    try:
        repository, inside = open_repository(place)
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


def _gone_to(old: ProfilePath, name: str, top: Path, moves: FileMoves) -> str:
    """Where a file that is gone went, if that can be told."""
    for new, former in moves.former.items():
        if former == name and same_vehicle(old, on_disk(top / new)):
            return f"moved to {quoted(new)}, outside the paths compared"
    try:
        beside = os.listdir(top / dirname(name))
    except OSError:
        return ""
    begin = f"{basename(name)}."
    other = next((each for each in sorted(beside) if each.startswith(begin)), None)
    return f"{quoted(other)} is not a YAML file by its name" if other else ""
