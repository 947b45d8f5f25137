"""What a change does to the vehicles that a shop names as retired: an entry that names nobody, one that went."""

from __future__ import annotations

from collections.abc import Iterator

from ..documents.error import DocumentError, RevisionError, WrongValue
from ..documents.files import HOUSE_FILE
from ..documents.git import git
from ..documents.git_history import PLAIN_DIFF, is_shallow
from ..documents.git_revision import Commit
from ..documents.identity import retired_since
from ..documents.repository import Repository
from ..documents.text import nearest
from ..documents.twins import ids_of

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
        if name in known or _was_ever(commit, name):
            continue
        document = new.document(HOUSE_FILE, "house")
        at = document.place("retired", [*now].index(name), "id")
        found = f"the retired id `{name}`, which no vehicle ever had"
        meant = nearest(name, sorted(known | there))
        yield WrongValue(at.file, at.line, at.column, found, WHOSE, meant, document.line(at.line))


def _was_ever(commit: Commit, name: str) -> bool:
    """Whether a commit up to one had a word in any file, or nobody can tell."""
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
