"""The commits that names of revisions mean."""

from __future__ import annotations

from pathlib import Path

from .error import RevisionError
from .git import GitRefusal, git
from .text import quoted


def commit_of(folder: Path, revision: str) -> str:
    """The commit that a revision names, in full."""
    if not revision or revision.startswith("-"):
        raise RevisionError(f"{quoted(revision)} is no revision.")
    try:
        named = git(
            folder, "rev-parse", "--verify", "--quiet", "--end-of-options", revision + "^{commit}"
        )
    except GitRefusal as broken:
        raise RevisionError(
            f"{quoted(revision)} is no revision of this repository; expected a branch, a tag or a "
            "commit. A shallow clone holds only its last commits."
        ) from broken
    return named.decode("ascii").strip()


def merge_base(folder: Path, revision: str, branch: str = "HEAD") -> str:
    """The last commit that a branch and a revision have in common: where the branch began."""
    other = commit_of(folder, revision)
    tip = branch if branch == "HEAD" else commit_of(folder, branch)
    try:
        common = git(folder, "merge-base", "--end-of-options", other, tip)
    except GitRefusal as broken:
        raise RevisionError(
            f"{quoted(revision)} and {quoted(branch)} have no commit in common. A shallow clone holds only its "
            "last commits: fetch more of them."
        ) from broken
    return common.decode("ascii").strip()
