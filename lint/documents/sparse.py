"""What git keeps from the disk of a sparse clone: files that are committed, and meant not to lie there."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from .error import RevisionError
from .files import Files, WorkingTree
from .git import marked_entries
from .git_folder import git_folder

LEFT_OUT = "S"  # the mark of git's list for an entry that the working tree skips
LEFT_OUT_WORDS = "a file that this sparse clone leaves out"
ADD_IT = "`git sparse-checkout add` with its folder, or the paths named that are asked about"


def left_out(top: Path) -> Mapping[str, str]:
    """The files that a sparse clone leaves out and that do not lie on the disk, with their objects.

    By their paths from git's top. Who marks a file so by hand has a clone as sparse.
    """
    try:
        listing = marked_entries(top)
    except RevisionError:
        return {}
    found = {}
    for entry in listing.split(b"\0"):
        about, _, path = entry.partition(b"\t")
        words = about.decode("ascii", "replace").split()
        if words[:1] == [LEFT_OUT] and len(words) == 4:
            name = os.fsdecode(path)
            if not os.path.lexists(top / name):
                found[name] = words[2]
    return found


def is_left_out(files: Files, path: str) -> bool:
    """Whether a file that is missing from the disk is one that a sparse clone leaves out."""
    if not isinstance(files, WorkingTree):
        return False
    repository = git_folder(Path(files.root))
    if repository is None or repository.is_bare:
        return False
    place = os.path.realpath(os.path.join(files.root, path))
    name = os.path.relpath(place, os.path.realpath(repository.top)).replace(os.sep, "/")
    return name in left_out(repository.top)
