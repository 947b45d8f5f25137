"""Which part files a document names: in its own sections, and through the parts that it names."""

from __future__ import annotations

from collections.abc import Iterator
from posixpath import dirname, join, normpath
from typing import NamedTuple

from .document import Document, try_document
from .error import DocumentError, DocumentErrors
from .location import Place
from .repository import Repository
from .yaml_tree import YamlNode

PART_KEY = "part"
_MOST_NESTED = 8  # parts in parts, as a profile may have them


class PartReference(NamedTuple):
    """One section that takes a part file.

    `section` is the section of the document asked about, such as `pack.cell`; `path` that of the part
    in the repository; `written` the reference as it stands at `place`; `through` the parts by which it is
    reached, the outermost first.
    """

    section: str
    path: str
    written: str
    place: Place
    through: tuple[str, ...]


def part_references(repository: Repository, path: str) -> list[PartReference]:
    """Every part file that a profile or part takes up, those of its parts too; be it there or not.

    A document that cannot be read whole is asked for what it names all the same.
    """
    return list(_named_in(repository, path, "", ()))


def _named_in(
    repository: Repository, path: str, section: str, through: tuple[str, ...]
) -> Iterator[PartReference]:
    document = _document(repository, path)
    if document is None or path in through or len(through) > _MOST_NESTED:
        return
    above = (*through, path)
    for inside, reference in _references(document.root):
        way = _within(section, inside, document)
        written = str(reference.value)
        target = _target(written, path)
        if target is None:
            continue
        place = document.place_of(reference.event)
        yield PartReference(way, target, written, place, above[1:])
        yield from _named_in(repository, target, way, above)


def _document(repository: Repository, path: str) -> Document | None:
    """The document at a path as far as it can be read; parts are kept by their repository."""
    try:
        if repository.kind(path) == "part":
            return repository.document(path, "part")
    except DocumentErrors:
        pass
    except DocumentError:
        return None
    return try_document(repository.files, path).document


def _references(root: YamlNode) -> Iterator[tuple[str, YamlNode]]:
    """Each section with a text under `part`, with the way to it."""
    waiting: list[tuple[str, YamlNode]] = [("", root)]
    seen: set[tuple[str, int]] = set()
    while waiting:
        way, node = waiting.pop()
        if not isinstance(node.value, dict) or (way, id(node.below)) in seen:
            continue
        seen.add((way, id(node.below)))
        reference = node.below.get(PART_KEY)
        if reference is not None and isinstance(reference.value, str):
            yield way, reference
        below = list(node.below.items())
        waiting += [(f"{way}.{key}" if way else str(key), inner) for key, inner in reversed(below)]


def _within(section: str, inside: str, document: Document) -> str:
    """A section inside a part as one of the document that takes the part."""
    if document.kind != "part" or not section:
        return inside
    rest = inside.partition(".")[2]
    return f"{section}.{rest}" if rest else section


def _target(written: str, from_path: str) -> str | None:
    """The path in the repository that a reference leads to; None where it leads out."""
    if written.startswith("/") or "\\" in written:
        return None
    path = normpath(join(dirname(from_path), written))
    return None if path.split("/")[0] == ".." else path
