"""Who put a word into a file, or wrote a line of it, and when, by whatever name the file had."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from difflib import SequenceMatcher
from pathlib import Path
from typing import NamedTuple

from .error import RevisionError
from .git import git
from .git_history import from_top, has_commits, is_shallow
from .text import clean

RULE_NAME = re.compile(r"[a-z][a-z0-9-]*")


class Addition(NamedTuple):
    """The commit that put a word there; its author's name is anybody's text, made fit to be shown.

    It `is_cut` where a shallow clone begins with that commit, which only took over what stood there.
    """

    commit: str
    author: str
    day: str
    is_cut: bool = False


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
            "--format=%H%x00%an%x00%as%x00%P", "--end-of-options", "HEAD", "--", inside,
        )  # fmt: skip
    except RevisionError:
        return None
    return _addition(top, log)


def last_change_of(path: Path, text: str, lines: Iterable[int]) -> Addition | None:
    """The last commit that wrote one of the lines of a file, which holds `text` now.

    None where nobody can tell, or one of the lines is not committed as it stands.
    """
    try:
        top, inside = from_top(path)
        if not has_commits(top):
            return None
        committed = git(top, "cat-file", "blob", f"HEAD:{inside}").decode("utf-8", "replace")
        there = _lines_in(text.splitlines(), committed.splitlines())
        places = [there.get(line) for line in sorted(set(lines))]
        known = [place for place in places if place is not None]
        return _wrote(top, inside, known) if known and len(known) == len(places) else None
    except RevisionError:
        return None


def _lines_in(now: list[str], before: list[str]) -> dict[int, int]:
    """The line that each line of a text was in another, counted from 1; a changed one is left out."""
    blocks = SequenceMatcher(None, now, before, autojunk=False).get_matching_blocks()
    return {block.a + at + 1: block.b + at + 1 for block in blocks for at in range(block.size)}


def _wrote(top: Path, inside: str, lines: Iterable[int]) -> Addition | None:
    """The last commit that wrote one of these lines of the last commit's file."""
    log = git(
        top, "log", "-1", "-z", "--no-patch", "--no-ext-diff", "--no-textconv",
        "--no-show-signature", "--format=%H%x00%an%x00%as%x00%P",
        *(f"-L{line},{line}:{inside}" for line in lines), "--end-of-options", "HEAD",
    )  # fmt: skip
    return _addition(top, log)


def _addition(top: Path, log: bytes) -> Addition | None:
    parts = os.fsdecode(log).split("\n")[0].split("\0")
    if len(parts) < 4:
        return None
    is_cut = not parts[3].strip() and is_shallow(top)
    return Addition(parts[0], clean(parts[1]), parts[2].strip(), is_cut)


def _alone(word: str) -> str:
    return f"(^|[^a-z0-9-]){word}([^a-z0-9-]|$)"


def _holds(top: Path, inside: str, word: str) -> bool:
    """Whether the last commit has the word in a file of that name."""
    try:
        text = git(top, "cat-file", "blob", f"HEAD:{inside}")
    except RevisionError:
        return False
    return re.search(_alone(word).encode(), text, re.MULTILINE) is not None
