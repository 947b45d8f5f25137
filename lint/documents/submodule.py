"""Submodules whose files were never fetched: then not one file is missing, but all."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from pathlib import Path
from posixpath import normpath, relpath
from typing import TYPE_CHECKING

from .error import DocumentError, NotFetched
from .files import Files, WorkingTree, lies_in
from .git_folder import git_folder

if TYPE_CHECKING:
    from .git_revision import Commit

SUBMODULES = ".gitmodules"
FETCH_IT = "`git submodule update --init`, or the paths named that are asked about"
_PATH = re.compile(r"(?m)^\s*path\s*=\s*(\S.*?)\s*$")


def unfetched_submodule(files: Files, path: str) -> str:
    """The folder of the submodule that a path lies in and that holds no document; "" where there is none.

    The list at the top of the shop is read, and that at git's top where the shop lies below it.
    """
    for way, text in _lists(files):
        for folder in _PATH.findall(text):
            inside = relpath(normpath(folder), way) if way else normpath(folder)
            if lies_in(path, (inside,)) and not files.paths(inside).paths:
                return str(inside)
    return ""


def not_fetched(file: str, why: str = "its folder is empty") -> NotFetched:
    """The error about a submodule that is not there, by the name that is shown."""
    return NotFetched(file, 1, 1, f"a submodule that is not fetched: {why}", FETCH_IT)


def unfetched_below(folder: Path) -> Iterator[Path]:
    """The empty folders of submodules below a folder, or around it; in those that are there too."""
    repository = git_folder(folder)
    waiting = [] if repository is None or repository.is_bare else [repository.top]
    while waiting:
        top = waiting.pop()
        try:
            text = WorkingTree(top).read(SUBMODULES).decode("utf-8", "replace")
        except DocumentError:
            continue
        for inside in _PATH.findall(text):
            place = Path(os.path.normpath(top / inside))
            is_asked = place.is_relative_to(folder) or folder.is_relative_to(place)
            if not (is_asked and place.is_relative_to(top) and os.path.isdir(place)):
                continue
            if os.listdir(place):
                waiting.append(place)
            else:
                yield place


def _lists(files: Files) -> Iterator[tuple[str, str]]:
    """Each list of submodules, with the way from its folder to the top of the shop."""
    try:
        yield "", files.read(SUBMODULES).decode("utf-8", "replace")
    except DocumentError:
        pass
    above = _above(files)
    if above is not None:
        yield above[0], above[1].decode("utf-8", "replace")


def _above(files: Files) -> tuple[str, bytes] | None:
    """The list at git's top, where that lies above the shop."""
    commit: Commit | None = getattr(files, "commit", None)
    if commit is not None:
        way, name = str(getattr(files, "root", "")), commit.files.get(SUBMODULES)
        data = commit.objects.read(name) if way and name is not None else None
        return None if data is None else (way, data)
    tree = getattr(files, "files", files)
    if not isinstance(tree, WorkingTree):
        return None
    repository, root = git_folder(tree.root), Path(tree.root).resolve()
    if repository is None or repository.is_bare or repository.top == root:
        return None
    try:
        data = WorkingTree(repository.top).read(SUBMODULES)
    except DocumentError:
        return None
    return root.relative_to(repository.top).as_posix(), data
