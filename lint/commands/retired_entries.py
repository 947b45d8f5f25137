"""The vehicles that a shop names as retired: an entry that names nobody, one before its day, one that went."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from posixpath import basename
from typing import TYPE_CHECKING

from ..documents.error import DocumentError, RevisionError, WrongValue
from ..documents.files import HOUSE_FILE, WorkingTree
from ..documents.identity import retired_since
from ..documents.repository import Repository
from ..documents.search import Listed
from ..documents.shop_top import is_house_name
from ..documents.text import nearest
from ..documents.twins import ids_of

if TYPE_CHECKING:
    from ..documents.git_revision import Commit

NO_VEHICLE_EVER = "which no vehicle ever had"
UNTIL_THEN = "the day on which the shop parted with it, or its profile until then"
ID_WORD = re.compile(r"[a-z0-9][a-z0-9-]*")
WHOSE = "the id of a vehicle that the shop had"
STILL_GONE = "its profile, or its entry under `retired`: else nobody misses the vehicle"


def wrong_with_retired(old: Repository, new: Repository, commit: Commit) -> Iterator[DocumentError]:
    """Each entry that came and names no vehicle that there ever was, and each that went before its vehicle is back.

    `commit` is that of the old side; of a shallow clone nobody can tell what there was before.
    """
    was, now = retired_since(old), retired_since(new)
    if was.keys() == now.keys():
        return
    there = ids_of(new)
    for name in (name for name in was if name not in now and name not in there):
        found = f"no entry of `{name}` under `retired` any more, and no profile of that vehicle"
        yield WrongValue(new.named(HOUSE_FILE), 1, 1, found, STILL_GONE)
    came = [name for name in now if name not in was and name not in there]
    known = ids_of(old) if came else frozenset()
    for name in came:
        if name not in known and not _was_ever(commit, name):
            meant = nearest(name, sorted(known | there))
            yield _wrong(
                new, name, "id", f"the retired id `{name}`, {NO_VEHICLE_EVER}", WHOSE, meant
            )


def wrong_entries(shops: Iterable[Listed], judged_on: str) -> Iterator[DocumentError]:
    """Each entry of some house files that names no vehicle there ever was, or one gone before its day.

    Where git keeps no commits of the shop, or not all of them, nobody can tell what there was.
    """
    for shop in (one.repository for one in shops if one.path == HOUSE_FILE):
        told = retired_since(shop)
        there = ids_of(shop, told) if told else frozenset()
        away = [name for name in told if name not in there]
        ever = _ids_ever(shop, away) if away else frozenset()
        for name in away:
            if ever is not None and name not in ever:
                meant = nearest(name, sorted(ids_of(shop)))
                yield _wrong(
                    shop, name, "id", f"the retired id `{name}`, {NO_VEHICLE_EVER}", WHOSE, meant
                )
            elif told[name] > judged_on:
                found = (
                    f"{told[name]} as the day since which `{name}` is retired, and no profile of it"
                )
                yield _wrong(shop, name, "since", found, UNTIL_THEN)


def _wrong(
    shop: Repository, name: str, key: str, found: str, wanted: str, meant: str | None = None
) -> DocumentError:
    """An error about the entry of a vehicle."""
    document = shop.document(HOUSE_FILE, "house")
    at = document.place("retired", [*retired_since(shop)].index(name), key)
    return WrongValue(at.file, at.line, at.column, found, wanted, meant, document.line(at.line))


def _ids_ever(shop: Repository, names: Sequence[str]) -> frozenset[str] | None:
    """Those of some ids that a file other than a house file had in any commit; None if nobody can tell."""
    from ..documents.git import git  # late: most shops have parted with no vehicle
    from ..documents.git_history import PLAIN_DIFF, has_commits, is_shallow

    commit: Commit | None = getattr(shop.files, "commit", None)
    if commit is not None:
        top, revision = commit.top, commit.name or "HEAD"
    else:
        assert isinstance(shop.files, WorkingTree)
        top, revision = Path(shop.files.root), "HEAD"
    try:
        if not has_commits(top) or is_shallow(top):
            return None
        log = git(
            top, "log", "--format=", "--patch", "--unified=0", *PLAIN_DIFF, "--no-show-signature",
            "--pickaxe-regex", f"-S({'|'.join(names)})", "--end-of-options", revision, "--",
        )  # fmt: skip
    except RevisionError:
        return None
    met: set[str] = set()
    file = ""
    for line in os.fsdecode(log).split("\n"):
        if line.startswith(("--- ", "+++ ")):
            file = line
        elif line.startswith(("+", "-")) and not is_house_name(basename(file.strip('"'))):
            met.update(ID_WORD.findall(line))
    return frozenset(met.intersection(names))


def _was_ever(commit: Commit, name: str) -> bool:
    """Whether a commit up to one had a word in any file, or nobody can tell."""
    from ..documents.git import git  # late, as below
    from ..documents.git_history import PLAIN_DIFF, is_shallow

    if not commit.name or is_shallow(commit.top):
        return bool(commit.name)
    try:
        log = git(
            commit.top, "log", "-1", "--format=%H", "--no-patch", *PLAIN_DIFF,
            "--no-show-signature", f"-S{name}", "--end-of-options", commit.name, "--",
        )  # fmt: skip
    except RevisionError:
        return True
    return bool(log.strip())
