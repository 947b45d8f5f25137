"""Names of files: which was meant by one that no file has, as it was typed, and which is none of a document."""

from __future__ import annotations

import os
import re
from collections.abc import Collection, Iterable
from posixpath import splitext

from .error import DocumentError, UnreadableFile
from .text import clean, nearest

PUT_BEHIND = (".txt", ".text")  # by editors, which often show a name without it
_NUMBERS = re.compile(r"\d+")


def like_name(asked: str, names: Iterable[str]) -> str | None:
    """The one of nearly that name; where a number differs it is another thing, and never offered.

    >>> like_name("wrem.yaml", ["wren.yml"]), like_name("wren2.yaml", ["wren.yaml"])
    ('wren.yml', None)
    """
    numbers = _NUMBERS.findall(asked)
    stems = {splitext(name)[0]: name for name in names if _NUMBERS.findall(name) == numbers}
    meant = nearest(splitext(asked)[0], stems)
    return stems[meant] if meant else None


def put_behind(asked: Collection[str], names: Iterable[str]) -> str | None:
    """The file of one of the names asked for, but with an ending that an editor put behind it.

    >>> put_behind(["wren.yaml"], ["wren.yaml.txt"])
    'wren.yaml.txt'
    """
    whole = {name.lower() for name in asked}
    for name in names:
        stem, ending = splitext(name)
        if ending.lower() in PUT_BEHIND and stem.lower() in whole:
            return name
    return None


def missing_as_typed(path: str | os.PathLike[str], error: DocumentError) -> DocumentError:
    """The error of a file that a call names; of one that is not there it names it as the call does."""
    typed = clean(os.fspath(path))
    is_it = os.path.basename(error.file) == os.path.basename(typed)
    if not is_it or not isinstance(error, UnreadableFile) or os.path.lexists(path):
        return error
    folder, name = os.path.split(typed)
    near = error.nearest and os.path.join(folder, os.path.basename(error.nearest))
    if not near and folder and os.path.isfile(name):
        near = name
    return UnreadableFile(typed, error.line, error.column, error.found, error.wanted, near)


def is_editor_lock(entry: os.DirEntry[str]) -> bool:
    """Whether it is an editor's mark on an open file: a link to nowhere that says who has it."""
    if not (entry.name.startswith(".#") and entry.is_symlink()) or os.path.exists(entry.path):
        return False
    target = os.readlink(entry.path)
    return "@" in target and "/" not in target
