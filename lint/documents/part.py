"""Parts: from the path beside `part:` to the part's document, or why it cannot be had."""

from __future__ import annotations

import re
from posixpath import basename, dirname, join, normpath

from .document import Document
from .error import DocumentErrors, PartError, UnreadableFile
from .quotation import quoted
from .repository import Repository
from .tree import Node

MOST_NESTED = 8
DRIVE = re.compile(r"[A-Za-z]:")
INSIDE = (
    "a path from this file, with `/` between its parts, that stays inside the nearest folder "
    "upwards with a `house.yaml` or `.git`"
)


def part_of(
    reference: Node, kind: str, document: Document, repository: Repository, above: tuple[str, ...]
) -> Document:
    """The document of the part that a section asks for.

    `kind` is the section that it must fill, `above` the paths of the documents that led here.
    Raises DocumentErrors: with a PartError at the reference, or with the part's own errors.
    """
    written = str(reference.value)
    path = _inside(written, document.path)
    if path is None:
        raise _refused(reference, document, quoted(written), INSIDE)
    if path in above:
        found = f"{quoted(written)}, which leads back to itself"
        raise _refused(reference, document, found, "a part that does not ask for itself")
    if len(above) > MOST_NESTED:
        found = f"more than {MOST_NESTED} parts inside each other"
        raise _refused(reference, document, found, "a part with the figures")
    try:
        told = repository.kind(path) or "file of another sort"
        if told != "part":
            found = f"{quoted(written)}, which is a {told}"
            raise _refused(reference, document, found, f"the part file of a {kind}")
        part = repository.document(path)
    except UnreadableFile as broken:
        found = f"{broken.found} at {quoted(written)}"
        wanted = f"the part file of a {kind}"
        nearest = broken.nearest and join(dirname(written), basename(broken.nearest))
        raise _refused(reference, document, found, wanted, nearest) from broken
    held = next(key for key in part.value if key not in ("gonogo", "part"))
    if held != kind:
        found = f"{quoted(written)}, which describes a {held}"
        raise _refused(reference, document, found, f"the part file of a {kind}")
    return part


def _inside(written: str, from_path: str) -> str | None:
    """A reference as a path inside the repository; None where it leads out or is no such path."""
    if written.startswith("/") or "\\" in written or DRIVE.match(written):
        return None
    path = normpath(join(dirname(from_path), written))
    return None if path.split("/")[0] == ".." else path


def _refused(
    reference: Node, document: Document, found: str, wanted: str, nearest: str | None = None
) -> DocumentErrors:
    at = document.place_of(reference.event)
    text = document.line(at.line)
    return DocumentErrors([PartError(at.file, at.line, at.column, found, wanted, nearest, text)])
