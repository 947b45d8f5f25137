"""How a file came to be as it is: the commits that touched it, the names it had, what changed."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from pathlib import Path
from posixpath import basename

from .error import RevisionError, UnreadableFile
from .files import ENDINGS, WorkingTree
from .git import Commit, GitRevision, git, top_level
from .text import quoted

# The main line only: what a merge brought in is one step, so that no two steps stand on two lines.
LINE = (
    "-c",
    "log.showRoot=true",
    "log",
    "--first-parent",
    "-m",
    "-z",
    "--no-ext-diff",
    "--no-textconv",
    "--no-show-signature",
)
TOLD = "--format=%H%x00%as%x00%s"
ALIKE = 0.5  # of its lines must a file share with one that is gone to be taken for it


@dataclass(frozen=True, slots=True)
class Step:
    """One commit as far as one file is concerned; `path` is its name there, from git's top."""

    commit: str
    day: str
    subject: str
    path: str


@dataclass(frozen=True, slots=True)
class FileMoves:
    """What lies otherwise on the disk than in a commit, by paths from git's top.

    `changed` holds every path that differs, new and gone ones too; `former` the old names of files
    that were renamed, by their new ones; `gone` what is no longer there under any name.
    """

    changed: frozenset[str]
    former: Mapping[str, str]
    gone: frozenset[str]


def from_top(path: Path) -> tuple[Path, str]:
    """The top of the git repository that a file or folder lies in, and its path from there.

    The path of the top itself is `.`; a file that is a link is itself, not what it leads to.
    """
    whole = Path(os.path.abspath(path))
    folder = Path(os.path.realpath(whole if os.path.isdir(whole) else whole.parent))
    top = Path(os.path.realpath(top_level(_standing(folder))))
    inside = folder if os.path.isdir(whole) else folder / whole.name
    if not os.path.join(inside, "").startswith(os.path.join(top, "")):
        raise RevisionError(f"{quoted(str(path))} lies outside its git repository.")
    return top, os.path.relpath(inside, top).replace(os.sep, "/")


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
    except RevisionError:
        return False


def steps(top: Path, path: str, revision: str = "HEAD") -> tuple[Step, ...]:
    """The commits that touched a file, the first of all first, under the name that it had in each.

    A file that began as a copy of another begins there: its model has a story of its own.
    """
    touching: list[Step] = []
    while True:
        log = git(
            top, "--literal-pathspecs", *LINE, "--follow", "--name-status", TOLD,
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
        top, "diff", "-z", "-M", "--name-status", "--diff-filter=R", "--no-ext-diff",
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


def touching(top: Path, paths: Iterable[str], revision: str = "HEAD") -> tuple[Step, ...]:
    """The commits that touched any of some files, the first of all first; they have no path."""
    log = git(
        top, "--literal-pathspecs", *LINE, "--no-patch", TOLD,
        "--end-of-options", revision, "--", *paths,
    )  # fmt: skip
    words = log.decode("utf-8", "replace").split("\0")
    triples = zip(words[::3], words[1::3], words[2::3], strict=False)
    return tuple(reversed([Step(commit, day, subject, "") for commit, day, subject in triples]))


def moves(commit: Commit) -> FileMoves:
    """What changed on the disk since a commit, whether it has been added to git or not."""
    top = commit.top
    difference = git(
        top, "-c", "core.fsmonitor=false", "diff", "-z", "-M", "--name-status", "--no-ext-diff",
        "--no-textconv", "--ignore-submodules", "--end-of-options", commit.name, "--",
    )  # fmt: skip
    changed: set[str] = set()
    former: dict[str, str] = {}
    gone: set[str] = set()
    words = iter(os.fsdecode(difference).split("\0"))
    for status in words:
        if not status:
            continue
        name = next(words)
        changed.add(name)
        if status[0] in "RC":
            new = next(words)
            changed.add(new)
            if status[0] == "R":
                former[new] = name
        elif status[0] == "D":
            gone.add(name)
    fresh = _not_added(top)
    gone -= set(fresh)  # taken out of git, yet still there
    former.update(_recognised(commit, sorted(gone), fresh))
    return FileMoves(
        frozenset(changed | set(fresh)), former, frozenset(gone - set(former.values()))
    )


def _not_added(top: Path) -> list[str]:
    listing = git(
        top, "-c", "core.fsmonitor=false", "ls-files", "-z", "--others", "--exclude-standard"
    )
    return sorted(name for name in os.fsdecode(listing).split("\0") if name.endswith(ENDINGS))


def _recognised(commit: Commit, gone: Sequence[str], fresh: Sequence[str]) -> dict[str, str]:
    """Which of the files that nobody has added yet is one that is gone, under a new name."""
    revision = GitRevision(commit)
    lost = {name: _lines(revision.read(name)) for name in gone if name in commit.files}
    renamed: dict[str, str] = {}
    for new in fresh if lost else ():
        try:
            lines = _lines(WorkingTree(commit.top).read(new))
        except UnreadableFile:
            continue
        best = max(lost, key=lambda old: (_likeness(lost[old], lines), basename(old)), default=None)
        if best is not None and _likeness(lost[best], lines) >= ALIKE:
            renamed[new] = best
            del lost[best]
    return renamed


def _lines(data: bytes) -> list[bytes]:
    return data.splitlines()


def _likeness(lines: list[bytes], other: list[bytes]) -> float:
    """The share of lines that two files have in common, 1 where they are the same."""
    matcher = SequenceMatcher(None, lines, other, autojunk=False)
    if matcher.real_quick_ratio() < ALIKE or matcher.quick_ratio() < ALIKE:
        return 0.0
    return matcher.ratio()
