"""Where git keeps a repository, and a private folder through which git reads it without settings.

A repository's own settings name programs that git starts: filters, hooks, monitors, transports. In
a folder that somebody sent they are a stranger's programs. So git is never started in such a folder
and never reads its settings: it is given a folder of ours that holds what this module lists, the
names of the commits, and is told where the objects lie. Nothing here starts a program.
"""

from __future__ import annotations

import os
import re
import shutil
import stat
import tempfile
import time
import weakref
from dataclasses import dataclass
from pathlib import Path

from .error import RevisionError
from .files import is_git_folder
from .text import quoted

LARGEST_POINTER = 4096  # bytes of a file that holds one name or path
LARGEST_SETTINGS = 1 << 20
LARGEST_LOG = 16 << 20
LEFT_BEHIND_S = 86_400  # by then whoever made a private folder has ended
PRIVATE = "gonogo-git-"
# Names of commits that git keeps beside the branches, of one working tree each.
SINGLE_NAMES = ("HEAD", "ORIG_HEAD", "FETCH_HEAD", "MERGE_HEAD")
LARGEST_INDEX = 64 << 20
RECEIVED = "received"  # objects of a push that a server's hook has still to accept
INDEX = "GIT_INDEX_FILE"  # git names the index of the commit to be in the environment of its hooks
SHARED_FOLDERS = ("refs", "logs/refs")
SHARED_FILES = ("packed-refs", "shallow")
LONG_NAMES = re.compile(rb"objectformat\s*=\s*\"?sha256", re.IGNORECASE)
CONFIG = "[core]\n\trepositoryformatversion = 0\n\tbare = true\n\tlogAllRefUpdates = false\n"
CONFIG_OF_LONG_NAMES = CONFIG.replace("= 0", "= 1") + "[extensions]\n\tobjectFormat = sha256\n"


@dataclass(frozen=True, slots=True)
class GitFolder:
    """A repository: the folder that holds `.git`, what is its own, and what worktrees share."""

    top: Path
    own: Path
    common: Path

    @property
    def is_bare(self) -> bool:
        """Whether it has commits alone, and no files on the disk."""
        return self.own == self.top

    @property
    def objects(self) -> Path:
        """Where the commits, trees and files lie."""
        return self.common / "objects"


def git_folder(folder: Path) -> GitFolder | None:
    """The repository that a folder lies in: the nearest one upwards that keeps itself in `.git`.

    Where there is none, a folder that is itself made like a repository is one, as servers keep them;
    inside another it is none: anybody can commit such a folder. Where a repository's settings say
    that its files lie is not asked either.
    """
    real = Path(os.path.realpath(folder))
    for top in (real, *real.parents):
        own = _own_folder(top / ".git")
        if own is not None:
            common = _common_folder(own)
            if os.path.isfile(own / "HEAD") and all(
                os.path.isdir(common / name) for name in ("objects", "refs")
            ):
                return GitFolder(top, own, common)
    return GitFolder(real, real, real) if is_git_folder(str(real)) else None


def is_top(folder: Path) -> bool:
    """Whether a repository has its files in just this folder, as a submodule has."""
    repository = git_folder(folder) if os.path.lexists(folder / ".git") else None
    return repository is not None and repository.top == folder


def _own_folder(entry: Path) -> Path | None:
    """The folder that `.git` is, or that it names as linked worktrees and submodules do."""
    if os.path.isdir(entry):
        return entry
    named = _pointer(entry)
    if not named.startswith("gitdir:"):
        return None
    return Path(os.path.realpath(entry.parent / named.removeprefix("gitdir:").strip()))


def _common_folder(own: Path) -> Path:
    named = _pointer(own / "commondir").strip()
    return Path(os.path.realpath(own / named)) if named else own


def _pointer(path: Path) -> str:
    """The text of a small file, "" where there is none."""
    return os.fsdecode(_beginning(path, LARGEST_POINTER)).replace("\0", "")


def _beginning(path: Path, most: int) -> bytes:
    """The first bytes of a regular file; nothing of a pipe, which would be waited for for ever."""
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
        with open(handle, "rb") as stream:
            return stream.read(most) if stat.S_ISREG(os.fstat(handle).st_mode) else b""
    except (OSError, ValueError):
        return b""


class PrivateFolder:
    """A folder that only the user can read, through which git sees a repository's commits.

    It is removed with its last user, or by `remove`.
    """

    def __init__(self, repository: GitFolder) -> None:
        _refuse(repository)
        _remove_left_behind()
        self.repository = repository
        self.path = Path(os.path.realpath(tempfile.mkdtemp(prefix=PRIVATE)))
        self.remove = weakref.finalize(self, _remove, self.path, os.getpid())
        self._fill()

    def _fill(self) -> None:
        own, common = self.repository.own, self.repository.common
        for name in SINGLE_NAMES:
            if os.path.isfile(own / name):
                (self.path / name).write_bytes(_beginning(own / name, LARGEST_POINTER))
        (self.path / "logs").mkdir()
        for name in SHARED_FOLDERS:
            if os.path.isdir(common / name):
                (self.path / name).symlink_to(common / name)
        for name in SHARED_FILES:
            if os.path.isfile(common / name):
                (self.path / name).symlink_to(common / name)
        # Where HEAD stood before: git follows no link to that.
        if os.path.isfile(own / "logs" / "HEAD"):
            past = _beginning(own / "logs" / "HEAD", LARGEST_LOG)
            (self.path / "logs" / "HEAD").write_bytes(past)
        received = os.path.realpath(os.environ.get("GIT_QUARANTINE_PATH") or os.devnull)
        if received.startswith(os.path.join(os.path.realpath(common / "objects"), "")):
            (self.path / RECEIVED).symlink_to(received)
        has_long_names = LONG_NAMES.search(_beginning(common / "config", LARGEST_SETTINGS))
        settings = CONFIG_OF_LONG_NAMES if has_long_names else CONFIG
        (self.path / "config").write_text(settings, encoding="ascii")

    def hold_index(self) -> None:
        """Copy what is staged; of a commit of some files alone git names the index in a hook."""
        own = self.repository.own
        index = Path(os.path.realpath(self.repository.top / os.environ.get(INDEX, own / "index")))
        if index.parent != Path(os.path.realpath(own)):
            raise RevisionError(
                f"{INDEX} names {quoted(str(index))}, which is no index of this repository."
            )
        shared = own.glob("sharedindex.*")
        for path, name in ((index, "index"), *((each, each.name) for each in shared)):
            data = _beginning(path, LARGEST_INDEX + 1)
            if len(data) > LARGEST_INDEX:
                raise RevisionError(f"{quoted(str(path))} is above 64 MiB: that is no workshop.")
            if data:
                (self.path / name).write_bytes(data)


def _remove(folder: Path, process: int) -> None:
    """Remove a private folder, unless this process is only a copy of the one that made it."""
    if os.getpid() == process:
        shutil.rmtree(folder, ignore_errors=True)


def _refuse(repository: GitFolder) -> None:
    """Say what cannot be read, before git waits for it."""
    if os.path.isdir(repository.common / "reftable"):
        raise RevisionError(
            f"The repository of {quoted(str(repository.top))} keeps its branches in reftables, "
            "which are not read here; expected refs as files."
        )
    common = repository.common
    for path in (common / "packed-refs", common / "shallow", common / "objects/info/alternates"):
        if os.path.exists(path) and not os.path.isfile(path):
            raise RevisionError(f"{quoted(str(path))} is no file; git could wait for it for ever.")


def _remove_left_behind() -> None:
    """Remove the private folders of runs that were killed before they could."""
    try:
        with os.scandir(tempfile.gettempdir()) as entries:
            found = [entry for entry in entries if entry.name.startswith(PRIVATE)]
    except OSError:
        return
    for entry in found:
        try:
            about = entry.stat(follow_symlinks=False)
        except OSError:
            continue
        is_ours = stat.S_ISDIR(about.st_mode) and about.st_uid == os.getuid()
        if is_ours and about.st_mtime < time.time() - LEFT_BEHIND_S:
            shutil.rmtree(entry.path, ignore_errors=True)
