"""Profiles of the last commit that are none any more: who asks for a check of them is told."""

from __future__ import annotations

import os
from collections.abc import Container, Iterator, Mapping
from contextlib import suppress
from functools import cached_property
from pathlib import Path
from posixpath import basename

from ..documents.error import DocumentError, RevisionError, UnreadableFile
from ..documents.files import is_yaml_name
from ..documents.git_history import from_top, has_commits
from ..documents.git_moves import FileMoves, differs, moves, moves_to
from ..documents.git_revision import Commit
from ..documents.identity import identity_of
from ..documents.sparse import ADD_IT, LEFT_OUT_WORDS
from ..documents.submodule import not_fetched
from ..documents.text import quoted
from ..reports.check_totals import LEFT_OUT_LABEL, Unread
from ..reports.comparison_totals import CEASED_WORDS
from .ceased import Ceased, ceased_in, ceased_on_disk
from .pair import is_below, is_other_vehicle, removed
from .sides import LAST_COMMIT, ProfilePath, Shelf, on_disk, same_vehicle
from .submodule_pairing import GONE_NOW


class LastCommit:
    """The profiles of the last commit beside what is staged, or beside the disk where nothing is given."""

    def __init__(self, top: Path, judged_on: str, staged: Commit | None = None) -> None:
        self.top, self.judged_on = top, judged_on
        self.shelf = Shelf(Commit(top, LAST_COMMIT), LAST_COMMIT)
        self.later = None if staged is None else Shelf(staged, "")

    def vanished(self, inside: str, shown: str) -> Iterator[Unread]:
        """Each profile at or below a path from git's top that is none now; `shown` is the path's name.

        One that has another file now is not missed, nor one that the house file says is retired.
        """
        for path in self._lost_submodules(inside):
            error = not_fetched(_name_below(path, inside, shown), GONE_NOW)
            told = (error.file, 1, 1, error.found, error.wanted, error.message, (error.file,))
            yield Unread(*told)
        if not any(is_below(name, inside) for name in self.shelf.commit.files if _is_yaml(name)):
            return
        for name, pair in removed(self.shelf, self.moves.changed, [inside], self._became):
            if pair.old is not None and pair.ceased is not None:
                yield _unread(pair.old, pair.ceased, _name_below(name, inside, shown))

    def left_out(self, inside: str, shown: str) -> Iterator[Unread]:
        """Each profile at or below a path that a sparse clone keeps from the disk: it is not gone."""
        for name in sorted(self.moves.left_out):
            if not (is_below(name, inside) and self.shelf.holds(name)):
                continue
            side = self.shelf.side(name)
            with suppress(DocumentError):  # what nobody could read then was no vehicle
                if side.repository.kind(side.path) == "profile":
                    file = _name_below(name, inside, shown)
                    error = UnreadableFile(file, 1, 1, LEFT_OUT_WORDS, ADD_IT)
                    told = (error.file, 1, 1, error.found, error.wanted, error.message, (file,))
                    yield Unread(*told, became=LEFT_OUT_LABEL)

    def may_lack(self, inside: str, held: Container[str]) -> bool:
        """Whether the disk may have lost a profile below a path; `held` are those that it has."""
        commit = self.shelf.commit
        return any(
            is_below(name, inside)
            and _is_yaml(name)
            and os.path.realpath(self.top / name) not in held
            and differs(commit, name)
            for name in commit.files
        )

    def _lost_submodules(self, inside: str) -> Iterator[str]:
        """The submodules that the last commit has, that are gone now, and in which nobody can look."""
        commit = self.shelf.commit
        for path in commit.lacking:
            is_there = self.later is None or path in self.later.commit.gitlinks
            if is_below(path, inside) and not is_there:
                yield path

    @cached_property
    def moves(self) -> FileMoves:
        """What is otherwise now."""
        commit = self.shelf.commit
        return moves(commit) if self.later is None else moves_to(commit, self.later.commit)

    def _became(self, old: ProfilePath, name: str) -> Ceased | None:
        if self._has_a_file(old, name):
            return None
        if self.later is None:
            became = ceased_on_disk(old, name, self.top, self.moves, self.judged_on)
        else:
            became = ceased_in(old, name, self.later, self.moves, self.judged_on)
        return None if became is None or became.kind == "retired" else became

    def _has_a_file(self, old: ProfilePath, name: str) -> bool:
        """Whether a profile describes the vehicle now, in its old place or wherever it went."""
        own = identity_of(old.repository, old.path)
        for other, new in self._changed_profiles.items():
            if other == name:
                is_it = not is_other_vehicle(old, new, moved=False, changed=True)
            elif own is not None:
                its = identity_of(new.repository, new.path)
                is_it = its is not None and its.id == own.id
            else:
                is_it = self.moves.former.get(other) == name and same_vehicle(old, new)
            if is_it:
                return True
        return False

    @cached_property
    def _changed_profiles(self) -> Mapping[str, ProfilePath]:
        """The files that are new or changed, and profiles."""
        found = {}
        for name in sorted(filter(_is_yaml, self.moves.changed)):
            side = on_disk(self.top / name) if self.later is None else self.later.side(name)
            with suppress(DocumentError):  # of what cannot be read an error tells
                there = side.repository.files.exists(side.path)
                if there and side.repository.kind(side.path) == "profile":
                    found[name] = side
        return found


def last_commit_of(
    path: Path, judged_on: str, known: dict[Path, LastCommit]
) -> tuple[LastCommit, str] | None:
    """The last commit of the repository that a path on the disk lies in, and the path from its top.

    None outside git and before the first commit. `known` keeps it by the top.
    """
    try:
        top, inside = from_top(path)
        if top not in known:
            if not has_commits(top):
                return None
            known[top] = LastCommit(top, judged_on)
    except RevisionError:
        return None
    return known[top], inside


def _is_yaml(name: str) -> bool:
    return is_yaml_name(basename(name))


def _name_below(name: str, inside: str, shown: str) -> str:
    """How a report names a path, by the name that it gives to a folder above it."""
    rest = name.removeprefix(inside).lstrip("/") if inside not in ("", ".") else name
    between = "/" if rest and shown and not shown.endswith((":", "/")) else ""
    return f"{shown}{between}{rest}"


def _unread(old: ProfilePath, ceased: Ceased, shown: str) -> Unread:
    """What a report says of it: no verdict, since there is nothing that could have one."""
    own = identity_of(old.repository, old.path)
    why = f": {ceased.why}" if ceased.why else ""
    named = "" if own is None else f" with the id {quoted(own.id)}"
    found = f"no profile of the vehicle{named}, which the last commit has{why}"
    wanted = (
        "its profile; a vehicle that is retired needs a `vehicle.id` first"
        if own is None
        else "its profile, or its id under `retired` in the house file"
    )
    error = UnreadableFile(shown, 1, 1, found, wanted)
    return Unread(
        shown, 1, 1, found, wanted, error.message, (shown,), became=CEASED_WORDS[ceased.kind]
    )
