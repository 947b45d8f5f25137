"""Whether a path lies in a submodule whose files were never fetched: then not one file is missing, but all."""

from __future__ import annotations

import re

from .error import DocumentError
from .files import Files, lies_in

SUBMODULES = ".gitmodules"
_PATH = re.compile(r"(?m)^\s*path\s*=\s*(\S.*?)\s*$")


def unfetched_submodule(files: Files, path: str) -> str:
    """The folder of the submodule that a path lies in and that holds no document; "" where there is none.

    Only the list at the top of the shop is read.
    """
    try:
        text = files.read(SUBMODULES).decode("utf-8", "replace")
    except DocumentError:
        return ""
    for folder in _PATH.findall(text):
        if lies_in(path, (folder,)) and not files.paths(folder).paths:
            return str(folder)
    return ""
