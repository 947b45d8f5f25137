"""The commits that lead to HEAD: their parents, what each changed, and a file's name in each."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from .git import git
from .git_history import PLAIN_DIFF
from .text import clean

LINK_MODES = ("120000", "160000")  # a link, and another repository's place
LOGGED = "--format=%H%x00%P%x00%as%x00%an%x00%s"
LOGGED_FIELDS = 5


class Changed(NamedTuple):
    """A path that differs from the parent: added, deleted or modified; `before` names what it held."""

    path: str
    way: str
    is_link: bool
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class LoggedCommit:
    """One commit with its parents, the main one first, and what differs from that one."""

    commit: str
    parents: tuple[str, ...]
    day: str
    author: str
    subject: str
    changed: tuple[Changed, ...]


def logged_commits(top: Path) -> tuple[LoggedCommit, ...]:
    """Every commit that led to HEAD, parents before their children and else by their days.

    In a shallow clone the oldest has no parents.
    """
    log = git(
        top, "log", "--author-date-order", "--reverse", "--diff-merges=first-parent", "--raw",
        "--no-abbrev", "--no-renames", "-z", *PLAIN_DIFF, "--no-show-signature", LOGGED, "HEAD", "--",
    )  # fmt: skip
    return tuple(_commits([os.fsdecode(word) for word in log.split(b"\0")]))


def _commits(words: Sequence[str]) -> Iterator[LoggedCommit]:
    place = 0
    while place + LOGGED_FIELDS <= len(words) and words[place]:
        commit, parents, day, author, subject = words[place : place + LOGGED_FIELDS]
        place += LOGGED_FIELDS
        end = place
        while end + 1 < len(words) and words[end].lstrip("\n").startswith(":"):
            end += 2
        changed = tuple(_changes(words[place:end]))
        place = end
        yield LoggedCommit(commit, tuple(parents.split()), day, clean(author), subject, changed)


def _changes(words: Sequence[str]) -> Iterator[Changed]:
    for about, path in zip(words[::2], words[1::2], strict=True):
        old, new, before, after, way = about.lstrip("\n:").split(" ")
        yield Changed(path, way[0], old in LINK_MODES or new in LINK_MODES, before, after)


@lru_cache(maxsize=1024)
def tree_changes(top: Path, parent: str, commit: str) -> tuple[Changed, ...]:
    """What differs between a commit and any of its parents."""
    words = git(
        top, "diff-tree", "-r", "-z", "--raw", "--no-renames", *PLAIN_DIFF,
        "--end-of-options", parent, commit, "--",
    )  # fmt: skip
    return tuple(_changes([os.fsdecode(word) for word in words.split(b"\0")[:-1]]))


def main_line(commits: Sequence[LoggedCommit]) -> frozenset[str]:
    """The commits from HEAD back along first parents: what was merged stands beside them."""
    known = {one.commit: one for one in commits}
    line, name = set(), commits[-1].commit if commits else ""
    while name in known:
        line.add(name)
        name = known[name].parents[0] if known[name].parents else ""
    return frozenset(line)


SameFile = Callable[[str, str, str, str], bool]
NameBefore = Callable[[LoggedCommit, str, str], str | None]
NO_NAME = ""  # the name of what a commit does not have


def names_of(
    top: Path,
    commits: Sequence[LoggedCommit],
    path: str,
    same: SameFile,
    known_before: NameBefore,
) -> Mapping[str, str]:
    """The name in each commit of what is called `path` at HEAD, through moves and restorations.

    `same` says of a moved file whose text changed as well whether it still is the same thing:
    a commit and a name there, a parent and the name there. `known_before` gives the name that a thing
    had in a parent by what tells it from any other, NO_NAME where it was not there, and None where
    nothing does.
    """
    lost = _lost(commits)
    names = {commits[-1].commit: path} if commits else {}
    for number in range(len(commits) - 1, -1, -1):
        one = commits[number]
        name = names.get(one.commit, path)
        for place, parent in enumerate(one.parents):
            if parent not in names:
                known = known_before(one, parent, name)
                names[parent] = (
                    known
                    if known is not None
                    else _former(top, one, place, name, same)
                    or _restored(one, place, name, lost, number)
                )
    return names


def _former(top: Path, one: LoggedCommit, place: int, name: str, same: SameFile) -> str | None:
    """The name that a file had in a parent, where the commit moved it."""
    if place == 0 and not _added(one, name):
        return None
    parent = one.parents[place]
    old = renames(top, parent, one.commit).get(name)
    return old if old and same(one.commit, name, parent, old) else None


@lru_cache(maxsize=4096)
def renames(top: Path, parent: str, commit: str) -> Mapping[str, str]:
    """The old names of the files that a commit moved, by their new ones."""
    log = git(
        top, "diff-tree", "-r", "-z", "-M", "--name-status", "--diff-filter=R", *PLAIN_DIFF,
        "--end-of-options", parent, commit, "--",
    )  # fmt: skip
    words = os.fsdecode(log).split("\0")
    return dict(zip(words[2::3], words[1::3], strict=False))


def _added(one: LoggedCommit, name: str) -> Changed | None:
    return next((each for each in one.changed if each.path == name and each.way == "A"), None)


def _lost(commits: Sequence[LoggedCommit]) -> Mapping[str, list[tuple[int, str]]]:
    """Where each content was deleted, the first time first: the commit's number and the name."""
    lost: dict[str, list[tuple[int, str]]] = {}
    for number, one in enumerate(commits):
        for each in one.changed:
            if each.way == "D":
                lost.setdefault(each.before, []).append((number, each.path))
    return lost


def _restored(
    one: LoggedCommit,
    place: int,
    name: str,
    lost: Mapping[str, list[tuple[int, str]]],
    number: int,
) -> str:
    """The name under which the same content was deleted before it came back, else the same name."""
    added = _added(one, name) if place == 0 else None
    earlier = lost.get(added.after, []) if added else []
    return next((path for when, path in reversed(earlier) if when < number), name)
