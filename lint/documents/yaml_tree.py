"""A document as a tree: plain values, and beside each of them the place where it is written.

Built from the parser's events in one pass. The library's own composer is not used: it takes
repeated keys, `<<` and `12_000`, nests as deep as the text does, and costs five times as much.
"""

from __future__ import annotations

import math
import re
from typing import Any, NamedTuple

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

from .error import DocumentError, ForbiddenYaml, RepeatedKey
from .text import quoted
from .yaml_errors import syntax_error

PLAIN_WORDS: dict[str, Any] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL")),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
}
STARTS_A_NUMBER = frozenset("+-.0123456789")
WHOLE = re.compile(r"[-+]?(?:0|[1-9][0-9]*)")
DECIMAL = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")
LONGEST_NUMBER = 40

ENDLESS = re.compile(r"[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)")
UNDERSCORED = re.compile(r"[-+]?[0-9][0-9_]*(?:\.[0-9_]*)?(?:[eE][-+]?[0-9]+)?")
OTHER_BASE = re.compile(r"[-+]?0(?:[xX][0-9a-fA-F_]+|[oO]?[0-7_]+|[bB][01_]+)")
PADDED = re.compile(r"[-+]?0[0-9]+")
BASE_SIXTY = re.compile(r"[-+]?[0-9]+(?::[0-5]?[0-9])+(?:\.[0-9]*)?")


class Refusal(NamedTuple):
    """Why a plain word is no value: what was found, what was wanted, what was probably meant."""

    found: str
    wanted: str
    nearest: str | None = None


def scalar_value(text: str) -> Any:
    """The value of a plain scalar, or a Refusal.

    Only what looks like a number to a person is one; `yes`, `on` and dates stay text.

    >>> scalar_value("48.5"), scalar_value("off"), scalar_value("2026-05-18"), scalar_value("null")
    (48.5, 'off', '2026-05-18', None)
    >>> scalar_value("12_000").nearest
    '12000'
    """
    if text in PLAIN_WORDS:
        return PLAIN_WORDS[text]
    if text[0] not in STARTS_A_NUMBER:
        return text
    if len(text) > LONGEST_NUMBER:
        return _long(text)
    if WHOLE.fullmatch(text):
        return int(text)
    if DECIMAL.fullmatch(text):
        number = float(text)
        if not math.isfinite(number):
            return Refusal("a number that is too large", "a finite number")
        return _padded(text) if PADDED.match(text) else number
    return _doubtful(text)


def _long(text: str) -> Any:
    if DECIMAL.fullmatch(text) or UNDERSCORED.fullmatch(text):
        return Refusal(f"a number of {len(text)} characters", f"{LONGEST_NUMBER} at most")
    return text


def _padded(text: str) -> Refusal:
    """A leading zero once meant base eight, and to a person means nothing."""
    sign, digits = ("-", text[1:]) if text[0] == "-" else ("", text.lstrip("+"))
    return Refusal(f"`{text}`", "a number without a leading zero", sign + digits.lstrip("0"))


def _doubtful(text: str) -> Any:
    """What is no number here, though other readers of YAML would make it one."""
    if ENDLESS.fullmatch(text):
        return Refusal(f"`{text}`", "a finite number")
    if "_" in text and UNDERSCORED.fullmatch(text):
        bare = text.replace("_", "")
        return Refusal(f"`{text}`", "a number without underscores, or a text in quotes", bare)
    if OTHER_BASE.fullmatch(text):
        return Refusal(f"`{text}`", "a decimal number, or a text in quotes")
    if BASE_SIXTY.fullmatch(text):
        wanted = "a decimal number, or a text in quotes: some read this as a number of base 60"
        return Refusal(f"`{text}`", wanted)
    return text


MOST_LEVELS = 32
MOST_VALUES = 20_000
MOST_ERRORS = 100


NO_ENTRIES: dict[Any, Any] = {}


class YamlNode:
    """One value: plain data, the parser's event with its place, and the nodes below it.

    `below` holds the entries of a mapping by key and the items of a list by number, `keys` the
    events of a mapping's keys. A value reached through an alias shares what is below it with the
    place where it is written.
    """

    __slots__ = ("below", "event", "keys", "value")

    def __init__(self, value: Any, event: Any) -> None:
        self.value = value
        self.event = event
        self.below: dict[str | int, YamlNode] = NO_ENTRIES
        self.keys: dict[str, Any] = NO_ENTRIES

    @property
    def is_quoted(self) -> bool:
        """True for a text in quotation marks."""
        return getattr(self.event, "style", "") in ("'", '"')


def as_written(node: YamlNode) -> str:
    """A value as it is written."""
    value = node.value
    if isinstance(value, dict):
        return "a section" if value else "an empty section"
    if isinstance(value, list):
        return "a list" if value else "an empty list"
    text = str(getattr(node.event, "value", value))
    if node.is_quoted:
        return quoted(f'"{text}"')
    return quoted(text) if text else "nothing"


class Tree(NamedTuple):
    """A document's topmost node, None where there is none, and what its YAML should not hold."""

    root: YamlNode | None
    errors: tuple[DocumentError, ...]


def grow(text: str, file: str) -> Tree:
    """The tree of a text. Errors are collected; only one that hides the rest ends the reading."""
    builder = _Builder(file)
    try:
        _feed(builder, text)
    except YAMLError as problem:
        builder.errors.append(syntax_error(problem, text, file))
        return Tree(None, tuple(builder.errors))
    except ForbiddenYaml as fatal:
        builder.errors.append(fatal)
        return Tree(None, tuple(builder.errors))
    return Tree(builder.root, tuple(builder.errors))


def _feed(builder: _Builder, text: str) -> None:
    parser = CParser(text)
    handlers = {
        ScalarEvent: builder.scalar,
        MappingStartEvent: builder.begin_mapping,
        SequenceStartEvent: builder.begin_list,
        MappingEndEvent: builder.end,
        SequenceEndEvent: builder.end,
        AliasEvent: builder.alias,
        DocumentStartEvent: builder.begin_document,
    }
    while True:
        event = parser.get_event()
        kind = type(event)
        handler = handlers.get(kind)
        if handler is not None:
            handler(event)
        elif kind is StreamEndEvent:
            return


class _Builder:
    """Puts each event in its place; the nodes still open are a stack, so depth is only a number."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.root: YamlNode | None = None
        self.errors: list[DocumentError] = []
        self.open: list[YamlNode] = []
        self.key: Any = None  # the event of a key that waits for its value
        self.waiting: list[Any] = []
        self.anchors: dict[str, YamlNode] = {}
        self.sizes: dict[str, int] = {}
        self.count = 0
        self.documents = 0

    def begin_document(self, event: Any) -> None:
        self.documents += 1
        if self.documents > 1:
            raise self.error(event, "a second document", "one document in each file")
        if event.version not in (None, (1, 2)):
            self.refuse(event, "another version of YAML", "YAML 1.2")

    def scalar(self, event: Any) -> None:
        if self.open and self.key is None and self.open[-1].keys is not NO_ENTRIES:
            self.key = event
            if event.tag is not None:
                self.refuse_tag(event)
            return
        value = event.value
        if event.tag is not None:
            self.refuse_tag(event)
        elif not event.style:
            value = scalar_value(value)
            if type(value) is Refusal:
                self.refuse(event, *value)
                value = event.value
        self.put(YamlNode(value, event), event)

    def begin_mapping(self, event: Any) -> None:
        node = YamlNode({}, event)
        node.below, node.keys = {}, {}
        self.begin(node, event)

    def begin_list(self, event: Any) -> None:
        node = YamlNode([], event)
        node.below = {}
        self.begin(node, event)

    def begin(self, node: YamlNode, event: Any) -> None:
        if event.tag is not None:
            self.refuse_tag(event)
        self.put(node, event)
        self.open.append(node)
        self.waiting.append(self.count)
        if len(self.open) > MOST_LEVELS:
            raise self.error(
                event, f"more than {MOST_LEVELS} levels", "sections as the schema has them"
            )

    def end(self, event: Any) -> None:
        node = self.open.pop()
        size = self.count - self.waiting.pop()
        if node.event.anchor is not None:
            self.sizes[node.event.anchor] = size

    def alias(self, event: Any) -> None:
        """The node again; what is below it counts again: a few aliases cannot be millions."""
        target = self.anchors.get(event.anchor)
        if target is None:
            self.refuse(
                event, f"{quoted('*' + event.anchor)}, an alias without an anchor", "a value"
            )
            target = YamlNode(None, event)
        elif any(node is target for node in self.open):
            raise self.error(event, "an alias inside its own value", "a value written out")
        node = YamlNode(target.value, event)
        node.below, node.keys = target.below, target.keys
        self.count += self.sizes.get(event.anchor, 0)
        self.put(node, event)

    def put(self, node: YamlNode, event: Any) -> None:
        """Hang a node below the innermost open one."""
        self.count += 1
        if len(self.errors) > MOST_ERRORS:
            raise self.error(event, f"more than {MOST_ERRORS} errors before this", "a document")
        if self.count > MOST_VALUES:
            raise self.error(event, f"more than {MOST_VALUES} values, aliases counted", "fewer")
        if not self.open:
            self.root = node
        else:
            self.hang(node, self.open[-1])
        if type(event) is not AliasEvent and event.anchor is not None:
            self.anchors[event.anchor] = node

    def hang(self, node: YamlNode, above: YamlNode) -> None:
        if above.keys is NO_ENTRIES:
            above.below[len(above.value)] = node
            above.value.append(node.value)
            return
        key = self.key
        if key is None:
            raise self.error(node.event, "a section or a list as a key", "a word as a key")
        self.key = None
        name = key.value
        if name == "<<" and not key.style:
            self.refuse(key, "`<<`, which merges sections", "each key written out")
        elif name in above.value:
            first = above.keys[name].start_mark.line + 1
            found, wanted = (
                f"a second {quoted(name)}",
                f"one in each section; the first is in line {first}",
            )
            self.errors.append(RepeatedKey(self.file, *line_and_column(key), found, wanted))
        else:
            above.value[name] = node.value
            above.below[name] = node
            above.keys[name] = key

    def refuse_tag(self, event: Any) -> None:
        tag = str(event.tag).replace("tag:yaml.org,2002:", "!!")
        self.refuse(event, f"the tag {quoted(tag)}", "plain values without tags")

    def refuse(self, event: Any, found: str, wanted: str, nearest: str | None = None) -> None:
        self.errors.append(self.error(event, found, wanted, nearest))

    def error(
        self, event: Any, found: str, wanted: str, nearest: str | None = None
    ) -> ForbiddenYaml:
        return ForbiddenYaml(self.file, *line_and_column(event), found, wanted, nearest)


def line_and_column(event: Any) -> tuple[int, int]:
    """Where something that the parser saw begins, both counted from 1."""
    mark = event.start_mark
    return mark.line + 1, mark.column + 1
