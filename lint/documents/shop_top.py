"""Where the top of a shop is: the folder of the house file that holds for a document, and of no other.

The topmost house file holds for all that lies below it. One nearer to a document would take its shop's
rules away, and anybody can add one; so it holds only where the upper one names its folder in `shops`.
Else it is told, as is any file that was meant for a house file and is called otherwise. A `.git`
divides nothing below a house file.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from posixpath import join, normpath
from typing import NamedTuple

from .document import try_document
from .error import UnreadableFile
from .files import (
    HOUSE_FILE,
    HOUSE_NAMES,
    Files,
    WorkingTree,
    is_git_folder,
    plain_name,
    unreadable,
)

ONE_HOUSE = f"one house file, `{HOUSE_FILE}` at the top, or in a folder that its `shops` names"
MOST_POINTED = 4096  # bytes of a file that says where a repository lies


class Top(NamedTuple):
    """The top of a shop, and the paths from there of what was meant for a house file and holds not."""

    folder: Path
    strays: tuple[str, ...] = ()


def is_house_name(name: str) -> bool:
    """Whether a file is meant for a house file, by its name.

    >>> is_house_name("house.yml"), is_house_name("House.YAML"), is_house_name("houses.yaml")
    (True, True, False)
    """
    if name.isascii() and "house" not in name.lower():
        return False
    return plain_name(name) in HOUSE_NAMES


def shop_top(folder: Path) -> Top:
    """The top of the shop that a folder of the disk lies in; links on the way are followed.

    Without any house file it is the top of the nearest git repository, else the folder itself.
    """
    real = followed(folder)
    line = (real, *real.parents)
    houses = {str(above): names for above in reversed(line) if (names := _house_names(above))}
    top = holding(houses, lambda root: WorkingTree(Path(root)))
    if top is None:
        return Top(next(filter(_is_top_of_git, line), real))
    return Top(Path(top), strays(houses, top))


def is_in_shop(folder: Path) -> bool:
    """Whether a folder lies in a shop: below a house file, or in a git repository."""
    line = (real := followed(folder), *real.parents)
    return any(_house_names(above) or _is_top_of_git(above) for above in line)


def followed(folder: Path) -> Path:
    """A folder without links on its way."""
    try:
        return Path(os.path.realpath(folder))
    except (OSError, ValueError):  # a name that no folder can have
        return folder


def holding(houses: Mapping[str, Sequence[str]], opened: Callable[[str], Files]) -> str | None:
    """The folder whose house file holds, of those in a line of folders, the topmost first.

    `houses` has the names of house files in each, `opened` the tree of files below one.
    """
    line = list(houses)
    top = line[0] if line else None
    for inner in line[1:]:
        if top is not None and HOUSE_FILE in houses[inner] and inner in _shops(top, opened(top)):
            top = inner
    return top


def _shops(folder: str, files: Files) -> frozenset[str]:
    """The folders below that a house file leaves to house files of their own."""
    document = try_document(files, HOUSE_FILE, "house").document
    named = document.value.get("shops") if document is not None else None
    words = [word for word in named if isinstance(word, str)] if isinstance(named, list) else []
    return frozenset(normpath(join(folder, word)) for word in words)


def strays(houses: Mapping[str, Sequence[str]], top: str) -> tuple[str, ...]:
    """What was meant for a house file at the top or below it and does not hold, from the top."""
    start = join(top, "") if top else ""
    return tuple(
        join(folder, name).removeprefix(start)
        for folder, names in houses.items()
        if folder == top or folder.startswith(start)
        for name in names
        if (folder, name) != (top, HOUSE_FILE)
    )


def stray_error(files: Files, path: str) -> UnreadableFile:
    """That a file was meant for a house file, and another one holds or none."""
    holds = f"`{HOUSE_FILE}` at the top does" if files.exists(HOUSE_FILE) else "none does"
    return unreadable(files, path, f"a house file that does not hold; {holds}", ONE_HOUSE)


def _house_names(folder: Path) -> tuple[str, ...]:
    """What in a folder is meant for a house file; a folder that may not be listed is only asked."""
    try:
        return tuple(sorted(filter(is_house_name, os.listdir(folder))))
    except (OSError, ValueError):
        return tuple(name for name in HOUSE_NAMES if os.path.lexists(folder / name))


def _is_top_of_git(folder: Path) -> bool:
    """Whether a repository has its files here: an empty `.git` makes none."""
    entry = folder / ".git"
    if os.path.isdir(entry):
        return is_git_folder(str(entry))
    try:
        handle = os.open(entry, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
        with open(handle, "rb") as stream:
            return stream.read(MOST_POINTED).startswith(b"gitdir:")
    except (OSError, ValueError):
        return False
