"""Writing a file: whole or not at all, never over a link, never over somebody's later work.

What can be kept of the file that was there is kept, its owner, rights and attributes; where it cannot
be, or other names would go on leading to the old text, nothing is written.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from difflib import unified_diff
from errno import EEXIST, ENOENT, ENOTSUP
from pathlib import Path

from .error import EditError
from .fresh_file import (
    CAREFULLY,
    fresh_file,
    locked,
    reason_of,
    remember_names,
    remove_left_behind,
    signals_wait,
)
from .text import clean

MASK = 0o7777


def diff(before: bytes, after: bytes, file: str) -> str:
    """The unified diff between two states of a file; a new file has no state before."""
    old, new = (_shown(data) for data in (before, after))
    name = clean(file)
    lines = unified_diff(old, new, name if before else "/dev/null", name, lineterm="\n", n=2)
    return "".join(line if line.endswith("\n") else f"{line}\n" for line in lines)


def _shown(data: bytes) -> list[str]:
    """The lines of a file for the eye, each ended alike."""
    text = data.decode("utf-8-sig", "replace")
    return [f"{line}\n" for line in text.splitlines()]


def write(path: Path, before: bytes, after: bytes) -> None:
    """Put a document's new bytes in the place of those that were read, `before`; none: a new file.

    Raises EditError for a file that is no longer what it was, that another run is writing, or that
    cannot be replaced with everything of it kept.
    """
    if path.is_symlink():
        raise EditError(str(path), "a link", "the path of the file that it points to")
    if not before and os.path.lexists(path):
        raise _changed(path)
    try:
        _placed(path, after, before or None, is_new=not before)
    except OSError as trouble:
        if trouble.errno == EEXIST or (before and trouble.errno == ENOENT and path.parent.is_dir()):
            raise _changed(path) from trouble
        raise EditError(str(path), reason_of(trouble), "a file that may be written") from trouble


def replace_whole(path: Path, data: bytes) -> None:
    """Put the bytes in a file's place in one step: whoever reads it meanwhile sees the old ones.

    Raises EditError for a file that cannot be replaced with everything of it kept, or OSError.
    """
    _placed(path, data)


def _changed(path: Path) -> EditError:
    found = "a file that somebody changed since it was read"
    return EditError(str(path), found, "the command run again: what it had to write is not saved")


def _placed(path: Path, data: bytes, before: bytes | None = None, is_new: bool = False) -> None:
    """The bytes, complete, under the file's name; `before` is what must stand there until then."""
    with _old(path, is_locked=before is not None) as old, signals_wait():
        remove_left_behind(path.parent)
        with fresh_file(path.parent, is_private=old is not None) as fresh:
            with open(os.dup(fresh.handle), "wb") as file:
                file.write(data)
            if old is not None:
                _keep(path, old, fresh.handle)
            os.fsync(fresh.handle)
            if before is not None:
                _refuse_changed(path, old, before)
            fresh.take_place(path, is_new)
        remember_names(path.parent)


@contextmanager
def _old(path: Path, is_locked: bool) -> Iterator[int | None]:
    """The file that is to be replaced, open and for us alone; None where there is none yet."""
    if not os.path.lexists(path):
        yield None
        return
    if not os.lstat(path).st_mode & 0o222:
        raise EditError(str(path), "a read-only file", "one that may be written")
    handle = os.open(path, os.O_RDWR | CAREFULLY)
    try:
        held = os.fstat(handle)
        if not stat.S_ISREG(held.st_mode):
            raise EditError(str(path), "something other than a file", "a file")
        if held.st_nlink > 1:
            raise EditError(
                str(path),
                "a file with a second name (a hard link), which would keep the old text",
                "a file with one name",
            )
        if is_locked and not locked(handle):
            raise EditError(str(path), "a file that another run is writing", "another run")
        yield handle
    finally:
        os.close(handle)


def _refuse_changed(path: Path, old: int | None, before: bytes) -> None:
    """Raise EditError where the name leads to another file by now, or the file reads otherwise."""
    if old is None or not os.path.samestat(os.lstat(path), os.fstat(old)):
        raise _changed(path)
    with open(os.dup(old), "rb") as file:
        file.seek(0)
        if file.read(len(before) + 1) != before:
            raise _changed(path)


def _keep(path: Path, old: int, new: int) -> None:
    """Give the new file the owner, the rights and the attributes of the old one, or raise EditError."""
    was, now = os.fstat(old), os.fstat(new)
    try:
        if (was.st_uid, was.st_gid) != (now.st_uid, now.st_gid):
            os.fchown(new, was.st_uid, was.st_gid)
        theirs, ours = _attributes(old), _attributes(new)
        for name in ours.keys() - theirs.keys():
            os.removexattr(new, name)
        for name, value in theirs.items():
            if ours.get(name) != value:
                os.setxattr(new, name, value)
        os.fchmod(new, was.st_mode & MASK)
    except OSError as trouble:
        raise EditError(
            str(path),
            f"an owner, rights or attributes that cannot be kept ({reason_of(trouble)})",
            "a file of your own",
        ) from trouble


def _attributes(handle: int) -> dict[str, bytes]:
    """What a file carries besides its bytes, such as who else may read it."""
    if not hasattr(os, "listxattr"):
        return {}
    try:
        return {name: os.getxattr(handle, name) for name in os.listxattr(handle)}
    except OSError as trouble:
        if trouble.errno == ENOTSUP:
            return {}
        raise
