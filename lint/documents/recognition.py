"""What a YAML file is: a document of ours, however it is written, or none of ours.

Whoever wants a vehicle to be overlooked writes it so that a glance passes it by. So only a first key as
it should be is taken at a glance; every other file is read to its end by the parser.
"""

from __future__ import annotations

import re
from codecs import BOM_UTF8
from collections.abc import Iterable
from functools import lru_cache
from typing import Any
from unicodedata import normalize

from ruamel.yaml.cyaml import CParser  # type: ignore[attr-defined]
from ruamel.yaml.error import YAMLError
from ruamel.yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from .document import DOCUMENT_KINDS, DocumentKind
from .error import ForbiddenYaml
from .schema import schema
from .text import decode, nearest
from .yaml_errors import syntax_error
from .yaml_tree import grow, line_and_column

FIRST_VALUES: dict[bytes, DocumentKind] = {b"%b/1" % kind.encode(): kind for kind in DOCUMENT_KINDS}
OUR_KEY = "gonogo"
_BLANKS = b" \t"
KIND = r"(profile|part|house|rule|known)/[0-9]"
FOUND_BY = ("vehicle", "settings")  # of a vehicle that lost its first line, and little else
ENOUGH_SECTIONS = 3
RULE_KEYS = frozenset(("severity", "says", "because", "remedy"))
ESCAPED_LETTER = r"\\(?:[xuU][0-9a-fA-F]|[\r\n])"  # or a word over two lines
TEMPLATE_MARK = r"\{\{[^{}\r\n]*\}\}|\{%[^%\r\n]*%\}"
INNER_COLON = r"(?<=[^\s\"'\]},\[{]):(?=[^\s,\[\]{}])"  # of `80:80` in brackets
_WORD = r"[a-z]+"
HIDDEN_FOLDER = r"(?:^|/)\.[^./][^/]*/"
MOST_OPEN = 100
# What some file systems keep beside each file, under its name with two characters before it.
RESOURCE_FORK = b"\x00\x05\x16\x07"


def kind_at_a_glance(data: bytes) -> DocumentKind | None:
    """The kind that a file's first key names, if it is written as usual; else the whole decides.

    Before it stand only comments, blank lines and a document's start.

    >>> kind_at_a_glance(b"# Alder\\ngonogo: profile/1\\n")
    'profile'
    """
    for line in data.removeprefix(BOM_UTF8).splitlines():
        words = line.strip(_BLANKS)
        if words and not words.startswith(b"#") and line.rstrip(_BLANKS) != b"---":
            key, _, value = line.partition(b":")
            is_ours = key == OUR_KEY.encode() and value.startswith((b" ", b"\t"))
            return FIRST_VALUES.get(value.split(b" #")[0].strip(_BLANKS)) if is_ours else None
    return None


def kind_of(data: bytes, file: str) -> DocumentKind | None:
    """What a whole file is; None for YAML that is none of ours.

    Ours is a mapping with our key, or with three sections of a profile, wherever they stand in it.
    Raises DocumentError where it is no text or no YAML, so that nobody can tell; in a hidden folder,
    where other programs keep theirs, and of a template for such, only if it has words of ours.
    """
    known = kind_at_a_glance(data)
    if known is not None or data.startswith(RESOURCE_FORK):
        return known
    text = decode(data, file)
    try:
        return _Sight(file).kind(CParser(text))
    except YAMLError as problem:
        if not _has_our_words(text) and (re.search(HIDDEN_FOLDER, file) or _is_of_others(text)):
            return None
        raise syntax_error(problem, text, file) from problem


def kind_by_whole(data: bytes, file: str) -> DocumentKind | None:
    """What a file is that may be a page or a picture: ours from its first line, or YAML to its end.

    A page that begins with an example of a profile is none.
    """
    known = kind_at_a_glance(data)
    if known is not None:
        return known
    kind = kind_of(data, file)
    return kind if kind and grow(decode(data, file), file).root is not None else None


def _has_our_words(text: str) -> bool:
    """Whether something in a text might be ours; letters written as escapes may be any word."""
    plain = normalize("NFKC", text).casefold()
    if OUR_KEY in plain or re.search(ESCAPED_LETTER, text):
        return True
    return _is_vehicle(set(re.findall(_WORD, plain)), True)


def _is_of_others(text: str) -> bool:
    """Whether a text without words of ours is a template of YAML, or YAML that only our parser refuses."""
    filled = "\n".join(map(_filled, text.splitlines()))
    parser = CParser(re.sub(INNER_COLON, "-", filled))
    try:
        while type(parser.get_event()) is not StreamEndEvent:
            pass
    except YAMLError:
        return False
    return True


def _filled(line: str) -> str:
    """A line of a template with a word in each gap; one that only steers the template is left out."""
    return re.sub(TEMPLATE_MARK, "x", line) if re.sub(TEMPLATE_MARK, "", line).strip() else ""


class _Open:
    """A mapping that has not ended; `key` is one that waits for its value."""

    __slots__ = ("is_key", "is_top", "key", "names")

    def __init__(self, is_top: bool, is_key: bool) -> None:
        self.is_top = is_top
        self.is_key = is_key
        self.key: str | None = None
        self.names: set[str] = set()


class _Sight:
    """Follows the parser's events as long as nothing of ours was seen."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.open: list[_Open | None] = []  # None: a list
        self.anchors: dict[str, str] = {}
        self.merged: set[str] = set()
        self.merges = False

    def kind(self, parser: Any) -> DocumentKind | None:
        """The kind of the first thing of ours in the stream."""
        while True:
            event = parser.get_event()
            kind = type(event)
            found: DocumentKind | None = None
            if kind is ScalarEvent:
                if event.anchor is not None:
                    self.anchors[event.anchor] = event.value
                found = self.scalar(event.value, event.tag)
            elif kind is AliasEvent:
                found = self.scalar(self.anchors.get(event.anchor, ""), None)
            elif kind is MappingStartEvent or kind is SequenceStartEvent:
                found = self.begin(event, kind is MappingStartEvent)
            elif kind is MappingEndEvent or kind is SequenceEndEvent:
                self.end()
            elif kind is DocumentStartEvent:
                self.anchors.clear()
            elif kind is StreamEndEvent:
                return "profile" if self.merges and _is_vehicle(self.merged, False) else None
            if found is not None:
                return found

    def scalar(self, text: str, tag: str | None) -> DocumentKind | None:
        """A word: a key, the value of one, or an item of a list."""
        above = self.open[-1] if self.open else None
        if above is None:
            return None
        if above.key is not None:
            key, above.key = above.key, None
            return self.entry(key, text, above)
        above.key = text
        # A reader could make any word of one with a tag.
        return "profile" if tag is not None and above.is_top else None

    def begin(self, event: Any, is_mapping: bool) -> DocumentKind | None:
        """A section or a list: a key itself, the value of one, or an item of a list."""
        if len(self.open) > MOST_OPEN:
            found, wanted = f"more than {MOST_OPEN} levels", "sections as the schema has them"
            raise ForbiddenYaml(self.file, *line_and_column(event), found, wanted)
        above = self.open[-1] if self.open else None
        kind: DocumentKind | None = None
        is_key = above is not None and above.key is None
        if above is not None and above.key is not None:
            key, above.key = above.key, None
            kind = self.entry(key, "", above)
        is_top = not any(self.open) and len(self.open) < 2
        self.open.append(_Open(is_top, is_key) if is_mapping else None)
        if is_key and not is_mapping and above is not None:
            above.key = ""  # a list as a key: its value is nobody's
        return kind

    def end(self) -> None:
        """The innermost section or list ends; one that was a key waits for its value."""
        ended = self.open.pop()
        above = self.open[-1] if self.open else None
        if ended is not None and ended.is_key and above is not None:
            above.key = ""

    def entry(self, key: str, value: str, above: _Open) -> DocumentKind | None:
        """A key with its value, as far as it says whose file this is."""
        name = _plain(key)
        if name == "<<":
            self.merges = True
        kind = re.match(KIND, _plain(value))
        if name == OUR_KEY and (above.is_top or kind):
            return _word(kind.group(1)) if kind and above.is_top else "profile"
        if kind and above.is_top and nearest(name, (OUR_KEY,)):
            return _word(kind.group(1))
        if name in _sections() or name in RULE_KEYS:
            above.names.add(name)
            self.merged.add(name)
            if above.is_top and above.names >= RULE_KEYS:
                return "rule"
            if _is_vehicle(above.names, above.is_top):
                return "profile"
        return None


def _is_vehicle(names: Iterable[str], is_top: bool) -> bool:
    found = _sections().intersection(names)
    return len(found) >= ENOUGH_SECTIONS or (is_top and found.issuperset(FOUND_BY))


def _plain(word: str) -> str:
    """A word without what makes it look other to a program than to a person."""
    if word.isascii() and word.islower() and word.isalpha():
        return word
    return normalize("NFKC", word).casefold().strip()


def _word(name: str) -> DocumentKind:
    return next(kind for kind in DOCUMENT_KINDS if kind == name)


@lru_cache(maxsize=1)
def _sections() -> frozenset[str]:
    """The names of a profile's sections."""
    return frozenset(schema("profile")["properties"]).difference((OUR_KEY,))
