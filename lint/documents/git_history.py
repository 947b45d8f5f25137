"""How a file came to be as it is: the commits that touched it, and the names it had."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from .error import RevisionError
from .git import GitRefusal, git, no_repository
from .git_folder import git_folder
from .text import quoted

# The main line only: what a merge brought in is one step, so that no two steps stand on two lines.
PLAIN_DIFF = ("--no-ext-diff", "--no-textconv")
LINE = ("log", "--first-parent", "-m", "-z", *PLAIN_DIFF, "--no-show-signature")
TOLD = "--format=%H%x00%as%x00%s"


@dataclass(frozen=True, slots=True)
class Step:
    """One commit as far as one file is concerned; `path` is its name there, from git's top."""

    commit: str
    day: str
    subject: str
    path: str
    author: str = ""


def from_top(path: Path) -> tuple[Path, str]:
    """The top of the git repository that a file or folder lies in, and its path from there.

    The path of the top itself is `.`; in a bare repository a path is that of a commit's file. A file that is a link is itself, not what it leads to.
    """
    whole = Path(os.path.abspath(path))
    folder = Path(os.path.realpath(whole if os.path.isdir(whole) else whole.parent))
    repository = git_folder(folder) or git_folder(_standing(folder))
    if repository is None:
        raise no_repository(_standing(folder))
    inside = folder if os.path.isdir(whole) else folder / whole.name
    return repository.top, os.path.relpath(inside, repository.top).replace(os.sep, "/")


def inside_top(top: Path, path: Path) -> str:
    """A path from git's top, of a file that need not lie on the disk; "" is the top itself."""
    folder = (
        os.path.realpath(path.parent) if path.name not in ("", "..") else os.path.realpath(path)
    )
    whole = os.path.join(folder, path.name) if path.name not in ("", "..") else folder
    inside = os.path.relpath(whole, top).replace(os.sep, "/")
    if inside.split("/")[0] == "..":
        raise RevisionError(f"{quoted(str(path))} lies outside the repository {quoted(str(top))}.")
    return "" if inside == "." else inside


def _standing(folder: Path) -> Path:
    """The nearest folder upwards that exists: the rest may have gone since."""
    return next(above for above in (folder, *folder.parents) if os.path.isdir(above))


def is_shallow(top: Path) -> bool:
    """Whether the clone holds only the last commits."""
    return git(top, "rev-parse", "--is-shallow-repository").strip() == b"true"


def has_commits(top: Path) -> bool:
    """Whether anything was committed yet, on the branch that is checked out."""
    try:
        return bool(git(top, "rev-parse", "--verify", "--quiet", "HEAD^{commit}"))
    except GitRefusal:
        return False


def last_commits(folder: Path, most: int) -> bytes:
    """The names, parents and days of the last commits of the main line; empty where there are none."""
    try:
        top, _ = from_top(folder)
        if not has_commits(top):
            return b""
        return git(
            top, "log", f"-{most}", "--first-parent", "--format=%H %P %as", *PLAIN_DIFF,
            "--no-show-signature", "HEAD", "--",
        )  # fmt: skip
    except RevisionError:
        return b""


def steps(top: Path, path: str, revision: str = "HEAD") -> tuple[Step, ...]:
    """The commits that touched a file, the first of all first, under the name that it had in each.

    A file that began as a copy of another begins there: its model has a story of its own.
    """
    touching: list[Step] = []
    while True:
        log = git(
            top, *LINE, "--follow", "--name-status", TOLD,
            "--end-of-options", revision, "--", path,
        )  # fmt: skip
        for commit, day, subject, status, names in _entries(log):
            touching.append(Step(commit, day, subject, names[-1] if names else path))
            if status.startswith("C"):
                break
            path = names[0] if names else path
        else:
            return tuple(reversed(touching))
        former = _renamed(top, commit, path)
        if former is None:
            return tuple(reversed(touching))
        path, revision = former, f"{commit}^"


def _renamed(top: Path, commit: str, path: str) -> str | None:
    """The name that a file lost in a commit, where git calls it a copy of a sister much like it."""
    log = git(
        top, "diff-tree", "-r", "-z", "-M", "--name-status", "--diff-filter=R", "--no-ext-diff",
        "--no-textconv", "--end-of-options", f"{commit}^", commit, "--",
    )  # fmt: skip
    words = os.fsdecode(log).split("\0")
    return next(
        (old for old, new in zip(words[1::3], words[2::3], strict=False) if new == path), None
    )


def _entries(log: bytes) -> Iterator[tuple[str, str, str, str, list[str]]]:
    """Commit, day, subject, status and names, as `git log -z --name-status` strings them up."""
    words = [os.fsdecode(word) for word in log.split(b"\0")]
    place = 0
    while place + 2 < len(words):
        commit, day, subject = words[place : place + 3]
        place += 3
        status, names = "", []
        if place < len(words) and words[place].startswith("\n"):
            status = words[place][1:]
            count = 2 if status[:1] in "RC" else 1
            names = words[place + 1 : place + 1 + count]
            place += 1 + count
        yield commit, day, subject, status, names
