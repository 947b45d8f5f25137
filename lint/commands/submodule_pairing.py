"""Submodules in a comparison: what changed in one that is not fetched cannot be compared, and is not passed over."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from posixpath import basename, dirname

from ..documents.error import DocumentError, MergeConflict, NotFetched, RevisionError
from ..documents.files import HOUSE_FILE
from ..documents.git_folder import is_top
from ..documents.git_revision import Commit, Staged
from ..documents.submodule import SUBMODULES, not_fetched
from .pair import is_below

GONE_NOW = "it is gone now, and what was in it is not known"


def not_compared_in_range(
    old: Commit, new: Commit, asked: Sequence[str], label: str, changed: Iterable[str]
) -> Iterator[DocumentError]:
    """Each submodule that two commits have otherwise and of which one cannot be read.

    One is also judged otherwise by a house file around it that `changed`; else it is as it was.
    """
    houses = [dirname(name) for name in changed if basename(name) == HOUSE_FILE]
    lacking = {**old.lacking, **new.lacking}
    for path, why in sorted(lacking.items()):
        is_same = old.gitlinks.get(path) == new.gitlinks.get(path)
        is_same = is_same and not any(is_below(path, folder) for folder in houses)
        if not is_same and _is_asked(path, asked):
            yield not_fetched(f"{label}{path}", why if path in new.gitlinks else GONE_NOW)


def not_compared_on_disk(
    commit: Commit, asked: Sequence[str], shown: Callable[[str], str]
) -> Iterator[DocumentError]:
    """Each submodule that cannot be read on the disk, of which the index says what should lie there.

    One that was never fetched is told though its commit is the same: nobody has looked at its vehicles.
    """
    has_any = commit.gitlinks or os.path.lexists(commit.top / SUBMODULES)
    meant = _staged(commit) if has_any else {}
    for path in sorted(commit.gitlinks.keys() | meant.keys()):
        is_there = is_top(commit.top / path)
        is_away = not os.path.isdir(commit.top / path)  # a clone leaves an empty folder
        if not _is_asked(path, asked) or (is_there and path not in commit.lacking):
            continue
        why = commit.lacking.get(path, "its folder is empty")
        yield not_fetched(shown(path), GONE_NOW if is_away or path not in meant else why)


def others_than_submodules(errors: Iterable[DocumentError]) -> list[DocumentError]:
    """The errors of a search without submodules that are not there."""
    return [error for error in errors if not isinstance(error, NotFetched)]


def with_submodules(
    found: Iterable[DocumentError], told: Iterable[DocumentError]
) -> list[DocumentError]:
    """What is `told` of submodules, and those that a search `found` besides: one inside another."""
    known = [*told]
    names = {error.file for error in known}
    others = (error for error in found if isinstance(error, NotFetched) and error.file not in names)
    return [*known, *others]


def _staged(commit: Commit) -> dict[str, str]:
    """What the index says of submodules; in the midst of a merge, of which nothing is staged, the commit."""
    try:
        return Staged(commit.top).gitlinks
    except (MergeConflict, RevisionError):
        return commit.gitlinks


def _is_asked(path: str, asked: Sequence[str]) -> bool:
    return any(is_below(path, one) or is_below(one, path) for one in asked)
