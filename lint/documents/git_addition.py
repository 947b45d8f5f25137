"""Who put a word into a file, and when: the commit that last added it, by whatever name the file had."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import NamedTuple

from .error import RevisionError
from .git import git
from .git_history import from_top, has_commits
from .text import clean

RULE_NAME = re.compile(r"[a-z][a-z0-9-]*")


class Addition(NamedTuple):
    """The commit that put a word there; its author's name is anybody's text, made fit to be shown."""

    commit: str
    author: str
    day: str


def addition_of(path: Path, word: str) -> Addition | None:
    """The commit that added a rule's name to a file; None where nobody can tell, or none did yet.

    A word inside a longer one is another word.
    """
    if not RULE_NAME.fullmatch(word):
        return None
    try:
        top, inside = from_top(path)
        if not has_commits(top) or not _holds(top, inside, word):
            return None
        log = git(
            top, "log", "-1", "-z", "--no-patch", "--follow", "--no-ext-diff", "--no-textconv",
            "--no-show-signature", "--pickaxe-regex", f"-S{_alone(word)}",
            "--format=%H%x00%an%x00%as", "--end-of-options", "HEAD", "--", inside,
        )  # fmt: skip
    except RevisionError:
        return None
    parts = os.fsdecode(log).split("\0")
    return Addition(parts[0], clean(parts[1]), parts[2]) if len(parts) > 2 else None


def _alone(word: str) -> str:
    return f"(^|[^a-z0-9-]){word}([^a-z0-9-]|$)"


def _holds(top: Path, inside: str, word: str) -> bool:
    """Whether the last commit has the word in a file of that name."""
    try:
        text = git(top, "cat-file", "blob", f"HEAD:{inside}")
    except RevisionError:
        return False
    return re.search(_alone(word).encode(), text, re.MULTILINE) is not None
