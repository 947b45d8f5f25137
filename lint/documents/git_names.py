"""The commits that names of revisions mean."""

from __future__ import annotations

import re
from pathlib import Path

from .error import RevisionError
from .git import GitRefusal, git
from .text import quoted

SHORT_COMMIT = 12  # letters of a commit's name
_WHOLE_NAME = re.compile(r"[0-9a-f]{40}|[0-9a-f]{64}")


def shown_revision(name: str) -> str:
    """A revision as reports name it: a commit's whole name cut to what still means it.

    >>> shown_revision("main"), shown_revision("0123456789abcdef0123456789abcdef01234567")
    ('main', '0123456789ab')
    """
    return name[:SHORT_COMMIT] if _WHOLE_NAME.fullmatch(name) else name


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
