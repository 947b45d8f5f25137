"""The lists of known findings of two revisions: what a change put on one, wherever in the repository."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from posixpath import basename
from typing import NamedTuple

from ..comparison.known_additions import KnownAddition, known_additions
from ..documents.error import DocumentError, DocumentErrors
from ..documents.files import is_yaml_name
from ..documents.known import Known, read_known
from ..documents.repository import open_repository
from .sides import ProfilePath, Shelf


class KnownChanges(NamedTuple):
    """What was added to lists of known findings, and what keeps a list that changed from being read."""

    added: tuple[KnownAddition, ...] = ()
    errors: tuple[DocumentError, ...] = ()


NewSide = Callable[[str], ProfilePath | None]


def known_changes(shelf: Shelf, changed: Iterable[str], new_side: NewSide) -> KnownChanges:
    """What the files that changed, by their paths from git's top, record besides what they did.

    Whoever may add a danger may also put it on the list of a check, so a list is looked at even where it
    lies outside the paths that are compared.
    """
    old: list[Known] = []
    new: list[Known] = []
    errors: list[DocumentError] = []
    for name in sorted(changed):
        if not is_yaml_name(basename(name)):
            continue
        before = shelf.side(name) if shelf.holds(name) else None
        for side, lists in ((before, old), (new_side(name), new)):
            try:
                if side is not None and side.repository.kind(side.path) == "known":
                    known = read_known(side.repository, side.path)
                    lists.append(_from_top(known, name.removesuffix(side.path)))
            except DocumentErrors as broken:
                errors += broken.errors if lists is new else ()
            except DocumentError:
                pass  # no list that anybody could read; a document that is found is told elsewhere
    return KnownChanges(known_additions(old, new), tuple(errors))


def _from_top(known: Known, way: str) -> Known:
    """A list with its vehicles by their paths from git's top: those of two shops are then never one."""
    return known._replace(
        vehicles=tuple(one._replace(file=way + one.file) for one in known.vehicles)
    )


def changes_on_disk(tops: Iterable[tuple[Shelf, Iterable[str], Path]]) -> KnownChanges:
    """The same for the files of several repositories as they lie on the disk below their tops."""
    changes = KnownChanges()
    for shelf, changed, top in tops:
        one = known_changes(shelf, changed, partial(_on_disk, top))
        changes = KnownChanges((*changes.added, *one.added), (*changes.errors, *one.errors))
    return changes


def _on_disk(top: Path, name: str) -> ProfilePath | None:
    path = top / name
    return ProfilePath(*open_repository(path)) if os.path.isfile(path) else None


def new_in(later: Shelf) -> NewSide:
    """The files of a later commit."""
    return lambda name: later.side(name) if later.holds(name) else None
