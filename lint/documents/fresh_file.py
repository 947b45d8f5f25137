"""A file that is being written: it has no name until it is complete, and takes another's place then.

Where the system has no such files it has a name of ours from the start, and signals wait until that
is gone. What a killed run leaves behind, if anything, the next one that writes there removes.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from errno import EACCES, EEXIST, EINVAL, EISDIR, ENOENT, ENOTSUP, EPERM, EROFS, EWOULDBLOCK
from pathlib import Path
from typing import NamedTuple

# A name of our own, short whatever the file is called: a name may have 255 bytes.
OWN_PREFIX, OWN_ENDING, OWN_LETTERS = ".gonogo-", ".part", 16
UNNAMED = getattr(os, "O_TMPFILE", 0)
NO_UNNAMED = (EISDIR, EINVAL, ENOENT, ENOTSUP)  # what file systems without such files answer
NO_SECOND_NAME = (EPERM, ENOTSUP)
CAREFULLY = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)


def locked(handle: int, unless_known: bool = True) -> bool:
    """Whether an open file is ours until it is closed; `unless_known` where there are no locks."""
    try:
        import fcntl  # late: most commands write nothing

        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except ImportError:
        return unless_known
    except OSError as trouble:
        return unless_known and trouble.errno not in (EWOULDBLOCK, EACCES)
    return True


@contextmanager
def signals_wait() -> Iterator[None]:
    """Whoever interrupts or ends the run meanwhile is heard right afterwards."""
    import signal

    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    waiting = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)
    known = signal.pthread_sigmask(signal.SIG_BLOCK, waiting)
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, known)


class FreshFile(NamedTuple):
    """The file that is being written; `name` is its own, none where the system lets it have none."""

    handle: int
    name: Path
    is_named: bool

    def take_place(self, path: Path, is_new: bool) -> None:
        """Stand under another name, at once; raises FileExistsError where that is to be new."""
        if is_new:
            if self._linked(path):
                return
            if os.path.lexists(path):
                raise FileExistsError(EEXIST, os.strerror(EEXIST))
        if not self.is_named:
            _link(self.handle, self.name)
        try:
            os.replace(self.name, path)
        except OSError:
            self.name.unlink(missing_ok=True)
            raise

    def _linked(self, path: Path) -> bool:
        """Whether it has the other name too; a file system may know no second names."""
        try:
            if self.is_named:
                os.link(self.name, path)
            else:
                _link(self.handle, path)
        except OSError as trouble:
            if trouble.errno in NO_SECOND_NAME:
                return False
            raise
        return True


@contextmanager
def fresh_file(folder: Path, is_private: bool) -> Iterator[FreshFile]:
    """A new file in a folder, gone in the end if it has not taken another's place."""
    name = folder / f"{OWN_PREFIX}{os.urandom(OWN_LETTERS // 2).hex()}{OWN_ENDING}"
    rights = 0o600 if is_private else 0o666
    handle = _unnamed(folder, rights)
    is_named = handle is None
    if handle is None:
        handle = _made(name, os.O_CREAT | os.O_EXCL | os.O_RDWR | CAREFULLY, rights)
    try:
        locked(handle)  # what nobody holds any more was left behind
        yield FreshFile(handle, name, is_named)
    finally:
        if is_named:
            name.unlink(missing_ok=True)
        os.close(handle)


def _unnamed(folder: Path, rights: int) -> int | None:
    """A file that has no name yet; None where there is no such thing."""
    if not UNNAMED or not os.path.isdir("/proc/self/fd"):
        return None
    try:
        return _made(folder, UNNAMED | os.O_RDWR, rights)
    except OSError as trouble:
        if trouble.errno in NO_UNNAMED and folder.is_dir():
            return None
        raise


def reason_of(trouble: OSError) -> str:
    """The system's own word for what went wrong."""
    return (trouble.strerror or str(trouble)).lower()


def _made(path: Path, flags: int, rights: int) -> int:
    try:
        return os.open(path, flags, rights)
    except OSError as trouble:
        if trouble.errno not in (EACCES, EPERM, EROFS):
            raise
        found = f"a folder that may not be written ({reason_of(trouble)})"
        raise OSError(trouble.errno, found) from trouble


def _link(handle: int, name: Path) -> None:
    """Give an open file a name that nothing has yet."""
    folder = os.open(name.parent, getattr(os, "O_PATH", os.O_RDONLY))
    try:
        # Only with a folder does Python let the system follow /proc to the open file.
        os.link(f"/proc/self/fd/{handle}", name.name, src_dir_fd=folder, dst_dir_fd=folder)
    finally:
        os.close(folder)


def remove_left_behind(folder: Path) -> None:
    """Remove what a run that was killed left in a folder: a file of our name that nobody holds."""
    with suppress(OSError):
        for name in os.listdir(folder):
            middle = name.removeprefix(OWN_PREFIX).removesuffix(OWN_ENDING)
            if name == f"{OWN_PREFIX}{middle}{OWN_ENDING}" and len(middle) == OWN_LETTERS:
                _remove_unheld(folder / name)


def _remove_unheld(path: Path) -> None:
    with suppress(OSError):
        handle = os.open(path, os.O_RDWR | CAREFULLY)
        try:
            if stat.S_ISREG(os.fstat(handle).st_mode) and locked(handle, False):
                path.unlink()
        finally:
            os.close(handle)


def remember_names(folder: Path) -> None:
    """Have the disk know the folder's names as well."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
