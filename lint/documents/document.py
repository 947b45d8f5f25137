"""One file read: its values, the place of each, and the errors that keep it from being used."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Literal, NamedTuple, get_args

from .error import DocumentError, DocumentErrors, WrongValue
from .files import Files, named
from .fitting import fits_schema
from .frozen import frozen
from .location import Place
from .text import LINE_END, alternatives, decode, line_of, nearest, quoted
from .yaml_tree import MOST_ERRORS, YamlNode, as_written, grow, line_and_column

DocumentKind = Literal["profile", "part", "house", "rule", "known"]
DOCUMENT_KINDS: tuple[DocumentKind, ...] = get_args(DocumentKind)
DOCUMENT_EDITION = "1"


@frozen
class Document:
    """A file that fits its schema. `path` is inside its repository, `file` the name shown."""

    file: str
    path: str
    kind: DocumentKind
    text: str
    root: YamlNode

    @property
    def value(self) -> Any:
        """The document as plain data."""
        return self.root.value

    def node(self, *keys: str | int) -> YamlNode:
        """The value under some keys, with its place."""
        node = self.root
        for key in keys:
            node = node.below[key]
        return node

    def place(self, *keys: str | int) -> Place:
        """Where a value stands."""
        return self.place_of(self.node(*keys).event)

    def key_place(self, *keys: str | int) -> Place:
        """Where a value's key stands; of an item, where the item stands."""
        above = self.node(*keys[:-1])
        last = keys[-1]
        event = above.keys.get(str(last)) if above.keys else None
        return self.place_of(event) if event is not None else self.place(*keys)

    def place_of(self, event: Any) -> Place:
        """Where something that the parser saw stands."""
        return Place(self.file, *line_and_column(event))

    def line(self, number: int) -> str:
        """One line of the text, counted from 1."""
        return line_of(self.text, number)


class Reading(NamedTuple):
    """What reading a file came to: a document, the errors in it, or both.

    A document with errors may be asked what it refers to, and nothing else.
    """

    document: Document | None
    errors: tuple[DocumentError, ...]


def read_document(files: Files, path: str, kind: DocumentKind | None = None) -> Document:
    """A file as a document that fits its schema; `kind` where only one kind will do.

    Raises DocumentErrors with every error of the file, one a place.
    """
    reading = try_document(files, path, kind)
    if reading.errors or reading.document is None:
        raise DocumentErrors(reading.errors)
    return reading.document


def try_document(files: Files, path: str, kind: DocumentKind | None = None) -> Reading:
    """A file read as far as it goes; of a tree that keeps its readings, the same text once."""
    file = named(files, path)
    try:
        text = decode(files.read(path), file)
    except DocumentError as error:
        return Reading(None, (error,))
    kept: dict[tuple[str, DocumentKind | None, str], Reading] | None
    kept = getattr(files, "readings", None)
    known = None if kept is None else kept.get((file, kind, text))
    reading = known or _reading_of(text, file, path, kind)
    if kept is not None:
        kept[file, kind, text] = reading
    return reading


def _reading_of(text: str, file: str, path: str, kind: DocumentKind | None) -> Reading:
    tree = grow(text, file)
    errors = list(tree.errors)
    stated: DocumentKind | None = None
    if tree.root is not None or not errors:
        stated, wrong = _kind_of(tree.root, kind, file)
        errors += [wrong] if wrong else []
        if tree.root is not None and stated is not None:
            errors += _misfits(tree.root, stated, file) or ([] if errors else tree.doubts)
    if errors:
        from .comment_slips import with_comments  # late: most documents have no errors
        from .indentation_slips import with_openers
        from .text_slips import with_headers

        errors = with_openers(with_comments(with_headers(errors, text), text), text)
    document = Document(file, path, stated, text, tree.root) if tree.root and stated else None
    return Reading(document, with_lines(one_a_place(errors)[:MOST_ERRORS], text))


def _misfits(root: YamlNode, kind: DocumentKind, file: str) -> list[DocumentError]:
    """Every place where the document does not fit the schema of its kind."""
    if fits_schema(kind, root.value):
        return []
    from .validation import schema_errors  # late: most documents fit, and need no words

    return schema_errors(root, kind, file)


def _kind_of(
    root: YamlNode | None, kind: DocumentKind | None, file: str
) -> tuple[DocumentKind | None, DocumentError | None]:
    """The kind that the first key names, and what is wrong with that."""
    wanted = f"`gonogo: {kind or 'profile'}/{DOCUMENT_EDITION}` as the first key"
    if root is None or not isinstance(root.value, dict):
        what = "nothing to read" if root is None or root.value is None else as_written(root)
        place = (1, 1) if root is None else line_and_column(root.event)
        return None, WrongValue(file, *place, what, wanted)
    edition = root.below.get("gonogo")
    if edition is None:
        if kind == "rule":
            return kind, None
        what = f"no key `gonogo`, but {quoted(next(iter(root.value), ''))} first"
        return None, WrongValue(file, *line_and_column(root.event), what, wanted)
    known = [f"{name}/{DOCUMENT_EDITION}" for name in (DOCUMENT_KINDS if kind is None else (kind,))]
    if edition.value in known:
        return edition.value.split("/")[0], None
    meant = nearest(str(edition.value).lower(), known)
    place = line_and_column(edition.event)
    return None, WrongValue(file, *place, as_written(edition), alternatives(known), meant)


def one_a_place(errors: Sequence[DocumentError]) -> list[DocumentError]:
    """Of several errors at one place the one that knows what was meant, else the first."""
    kept: dict[Place, DocumentError] = {}
    for error in errors:
        known = kept.get(error.place)
        if known is None or (error.nearest and not known.nearest and type(error) is type(known)):
            kept[error.place] = error
    return list(kept.values())


def with_lines(errors: Sequence[DocumentError], text: str) -> tuple[DocumentError, ...]:
    """The errors, each with the line of the text that it points at."""
    lines = LINE_END.split(text) if errors else []
    for error in errors:
        error.text = lines[error.line - 1] if error.line <= len(lines) else ""
    return tuple(errors)
