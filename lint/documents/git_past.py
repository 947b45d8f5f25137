"""What git knows of a file's past: whether there was one of that name, and what it was."""

from __future__ import annotations

import os
from pathlib import Path

from .document import DocumentKind
from .error import DocumentError, RevisionError
from .files import is_yaml_name
from .git import git
from .git_history import PLAIN_DIFF, from_top, has_commits
from .recognition import kind_by_whole, kind_of


def was_committed(path: Path, revision: str = "HEAD") -> bool:
    """Whether a commit up to a revision touched a file of that name, on the disk or gone since."""
    try:
        top, inside = from_top(path)
        if not has_commits(top):
            return False
        found = git(
            top, "log", "-1", "--full-history", "--format=%H", *PLAIN_DIFF, "--no-show-signature",
            "--end-of-options", revision, "--", inside,
        )  # fmt: skip
    except RevisionError:
        return False
    return bool(found.strip())


def kind_in_last_commit(path: Path) -> DocumentKind | None:
    """What a file was in the last commit; None where it was not there, or nothing of ours."""
    try:
        top, inside = from_top(path)
        data = git(top, "cat-file", "blob", f"HEAD:{inside}")
        name = os.path.basename(inside)
        return kind_of(data, name) if is_yaml_name(name) else kind_by_whole(data, name)
    except (RevisionError, DocumentError):
        return None
