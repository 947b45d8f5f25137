"""What a call asks of git: a commit, what is staged, or all between two revisions."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from ..documents.error import RevisionError, UsageError
from ..documents.git import no_repository
from ..documents.git_folder import git_folder
from ..documents.git_history import has_commits, inside_top
from ..documents.git_names import commit_of, shown_revision
from ..documents.git_revision import Commit, Staged
from ..documents.revision_search import find_in
from ..documents.search import Search
from ..documents.text import quoted
from ..reports.check_totals import Named
from .commit_ground import CommitGround
from .named_paths import wanted_under
from .output import PATH_ALONE
from .sides import LAST_COMMIT


class RevisionRange(NamedTuple):
    """Two revisions; where a branch began is meant by the first if there are three dots."""

    old: str
    new: str
    dots: str

    def __str__(self) -> str:
        return f"{shown_revision(self.old)}{self.dots}{shown_revision(self.new)}"


def found_in(
    at: str | None, paths: Sequence[Path], here: Path, form: str, judged_on: str
) -> tuple[Search, Named]:
    """The documents of a commit under the paths, or of what is staged where no commit is named.

    A name is shown as `REV:path`, ready to be asked for, but to machines as the path alone.
    """
    commit = Staged(here) if at is None else Commit(here, at)
    last = None
    if at is None and has_commits(commit.top):
        from .vanished import LastCommit  # late: only what is staged takes profiles out

        last = LastCommit(commit.top, judged_on, commit)
    prefix = "" if form in PATH_ALONE else f"{shown_revision(at or '')}:"
    inside = paths_in(commit.top, paths, here)
    names = [f"{prefix}{path}" for path in inside]
    wanted, named = wanted_under(inside, CommitGround(commit, last), names)
    return find_in(commit, wanted, prefix), named


def paths_in(top: Path, paths: Sequence[Path], here: Path) -> list[str]:
    """Paths of a call from git's top, whether anything lies there on the disk or not."""
    return [inside_top(top, here / path) for path in paths]


def git_top(here: Path) -> Path:
    """The top of the repository that a folder lies in, or the bare repository that it is."""
    repository = git_folder(here)
    if repository is None:
        raise no_repository(here)
    return repository.top


def revision_range(word: str, here: Path) -> RevisionRange | None:
    """The two revisions of `REV..REV` or `REV...REV`; None where a word is a path.

    A side that is left out is the last commit, as git has it.

    A file of that name is no answer: anybody can add one to hide a comparison.
    """
    dots = "..." if "..." in word else ".."
    old, found, new = word.partition(dots)
    is_path = not found or ":" in word or old.endswith("/") or new.startswith(("/", "."))
    if is_path or not (old or new):
        return None
    if not (old and new):
        if os.path.lexists(here / word) or not _is_commit(old or new, here):
            return None
        old, new = old or LAST_COMMIT, new or LAST_COMMIT
    if not os.path.lexists(here / word):
        return RevisionRange(old, new, dots)
    if not (_is_commit(old, here) and _is_commit(new, here)):
        return None
    raise UsageError(
        f"{quoted(word)} is a file on the disk and two revisions as well; expected "
        f"{quoted('./' + word)} for the file on the disk, or the commits of the revisions."
    )


def _is_commit(name: str, here: Path) -> bool:
    try:
        return bool(commit_of(here, name))
    except RevisionError:
        return False
