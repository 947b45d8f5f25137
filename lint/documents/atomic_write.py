"""Writing a document: whole or not at all, never over a link, never over somebody's later work."""

from __future__ import annotations

import os
from difflib import unified_diff
from pathlib import Path

from .error import EditError
from .text import clean


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
    """Replace a file's bytes in one step, its rights kept; `before` is what was read of it.

    Raises EditError for a link, for a file that is no longer what it was, or that cannot be written.
    """
    if path.is_symlink():
        raise EditError(str(path), "a link", "the path of the file that it points to")
    try:
        now = path.read_bytes() if path.exists() else b""
        if now != before:
            raise EditError(str(path), "a file changed since it was read", "another run")
        replace_whole(path, after)
    except OSError as trouble:
        reason = (trouble.strerror or str(trouble)).lower()
        raise EditError(str(path), reason, "a file that may be written") from trouble


def replace_whole(path: Path, data: bytes) -> None:
    """Put the bytes in a file's place in one step: whoever reads it meanwhile sees the old ones."""
    import tempfile  # late: most commands write nothing

    handle, fresh = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with open(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(fresh, _rights(path))
        os.replace(fresh, path)
    except OSError:
        Path(fresh).unlink(missing_ok=True)
        raise


def _rights(path: Path) -> int:
    """The rights of the file that is replaced, or those of a new one."""
    if path.exists():
        return path.stat().st_mode & 0o7777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
