"""A document as a tree: plain values, and beside each of them the place where it is written.

Built from the parser's events in one pass. The library's own composer is not used: it takes
repeated keys, `<<` and `12_000`, nests as deep as the text does, and costs five times as much.
"""

from __future__ import annotations

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
from .text import VISIBLE, quoted, unseen_in
from .trade_units import is_gauge
from .units import UNITS, unit_of_key
from .yaml_errors import syntax_error
from .yaml_scalar import (
    LONGEST_TRUTH,
    ONCE_TRUTHS,
    Refusal,
    once_a_truth,
    refused_ratio,
    scalar_value,
    too_small,
)
from .yaml_strictness import BlockText, Spread, departure

MOST_LEVELS = 32
MOST_VALUES = 20_000
MOST_ERRORS = 100


HEADER_KEY = "gonogo"
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
    """A document's topmost node, None where there is none, and what its YAML should not hold.

    `doubts` are words that stand as text and that older readers take for something else: they count
    where nothing better is said of them.
    """

    root: YamlNode | None
    errors: tuple[DocumentError, ...]
    doubts: tuple[DocumentError, ...] = ()


def grow(text: str, file: str) -> Tree:
    """The tree of a text. Errors are collected; only one that hides the rest ends the reading."""
    builder = _Builder(file)
    try:
        _feed(builder, text)
    except YAMLError as problem:
        slip = syntax_error(problem, text, file)
        # A key that is there already, because its line is out of place, is one mistake.
        others = (
            one for one in builder.errors if (type(one), one.line) != (RepeatedKey, slip.line)
        )
        return Tree(None, (*others, slip))
    except ForbiddenYaml as fatal:
        builder.errors.append(fatal)
        return Tree(None, tuple(builder.errors))
    departs = departure(text, builder.spreads, builder.blocks, builder.names, file)
    if departs is not None:
        builder.errors.append(departs)
    if "#" in text and not builder.errors:
        from .comment_slips import hidden  # late: many documents have no remark

        brackets = [(one.start, one.end) for one in builder.spreads if not one.quoted]
        away = hidden(text, file, brackets)
        if away is not None:
            return Tree(None, (away,))
    return Tree(builder.root, tuple(builder.errors), tuple(builder.doubts))


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
        self.doubts: list[DocumentError] = []
        self.spreads: list[Spread] = []
        self.blocks: list[BlockText] = []
        self.names: list[Any] = []
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
        value, style = event.value, event.style
        if style:
            self.styled(event)
        if self.key is None and self.open and self.open[-1].keys is not NO_ENTRIES:
            self.key = event
            if event.ctag is not None or event.anchor is not None:
                self.marked_key(event)
            if not style and (len(value) <= LONGEST_TRUTH or value[0] < "A"):
                self.doubt_key(event)
            return
        if event.ctag is not None:
            self.refuse_tag(event)
        elif not style:
            value = scalar_value(value)
            kind = type(value)
            if kind is Refusal and self.key is not None and is_gauge(self.key.value, event.value):
                value = kind = event.value
            if kind is str:
                if len(value) <= LONGEST_TRUTH and value in ONCE_TRUTHS:
                    self.doubt(event, once_a_truth(value))
            elif kind is float:
                if -1.0 < value < 1.0:
                    self.weigh(event, value)
            elif kind is Refusal:
                said = self.key is not None and refused_ratio(event.value, self.key.value)
                self.refuse(event, *(said or value))
                value = event.value
        self.put(YamlNode(value, event), event)

    def marked_key(self, event: Any) -> None:
        """A key with a tag, or with an anchor, which says nothing but must have a name."""
        if event.ctag is not None:
            self.refuse_tag(event)
        if event.anchor is not None:
            self.names.append(event)

    def doubt_key(self, event: Any) -> None:
        """A key that other readers take for a number or a truth."""
        name = event.value
        refusal = once_a_truth(name) if name in ONCE_TRUTHS else scalar_value(name or "0")
        if type(refusal) is Refusal:
            self.doubt(event, refusal)

    def doubt(self, event: Any, refusal: Refusal) -> None:
        if len(self.doubts) < MOST_ERRORS:
            self.doubts.append(self.error(event, *refusal))

    def styled(self, event: Any) -> None:
        """A text in quotes, or after `|` or `>`: what escapes hide, and how it goes over lines."""
        if event.style == '"' and (unseen := unseen_in(event.value)):
            self.refuse(event, f"the character {unseen}, which is invisible", VISIBLE)
        if event.style in "|>":
            self.blocks.append(BlockText(self.indent(), event))
        elif event.end_mark.line > event.start_mark.line:
            self.spread(event, event, True)

    def spread(self, event: Any, last: Any, is_quoted: bool) -> None:
        """Note what goes on over several lines, from an event to the last one of it."""
        start, end = event.start_mark.index, last.end_mark.index
        self.spreads.append(Spread(self.indent(), start, end, is_quoted))

    def indent(self) -> int:
        """The column of the innermost section or list in lines of its own; -1 without one."""
        for node in reversed(self.open):
            event = node.event
            if event.flow_style or (event.anchor is not None and node.keys is NO_ENTRIES):
                continue
            column: int = event.start_mark.column
            if node.keys is not NO_ENTRIES:
                first = next(iter(node.keys.values()), self.key)
                return min(column, first.start_mark.column) if first is not None else column
            return column
        return -1

    def weigh(self, event: Any, value: float) -> None:
        """Refuse a number that is smaller than anything that its unit is measured in."""
        if value == 0.0:
            return
        sections = (node.keys for node in reversed(self.open) if node.keys)
        key = self.key or next((keys[next(reversed(keys))] for keys in sections), None)
        unit = UNITS[unit_of_key(key.value) if key is not None else ""]
        if abs(value) < unit.least:
            least = f"{unit.least:g} {unit.symbol}".rstrip()
            self.refuse(event, *too_small(event.value, f"0, or {least} at least"))

    def begin_mapping(self, event: Any) -> None:
        node = YamlNode({}, event)
        node.below, node.keys = {}, {}
        self.begin(node, event)

    def begin_list(self, event: Any) -> None:
        node = YamlNode([], event)
        node.below = {}
        self.begin(node, event)

    def begin(self, node: YamlNode, event: Any) -> None:
        if event.ctag is not None:
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
        start = node.event
        if (
            start.flow_style
            and event.end_mark.line > start.start_mark.line
            and not (self.open and self.open[-1].event.flow_style)
        ):
            self.spread(start, event, False)
        size = self.count - self.waiting.pop()
        if node.event.anchor is not None:
            self.sizes[node.event.anchor] = size

    def alias(self, event: Any) -> None:
        """The node again; what is below it counts again: a few aliases cannot be millions."""
        self.names.append(event)
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
        if event.anchor is not None and type(event) is not AliasEvent:
            self.anchors[event.anchor] = node
            self.names.append(event)

    def hang(self, node: YamlNode, above: YamlNode) -> None:
        if above.keys is NO_ENTRIES:
            above.below[len(above.value)] = node
            above.value.append(node.value)
            return
        key = self.key
        if key is None:
            raise self.error(
                node.event,
                "a section or a list as a key",
                "a word as a key; of `{` before it one at most",
            )
        self.key = None
        name = key.value
        if name == "<<" and not key.style:
            self.refuse(key, "`<<`, which merges sections", "each key written out")
        elif name in above.value:
            first = above.keys[name].start_mark.line + 1
            if name == HEADER_KEY and len(self.open) == 1 and node.value == above.value[name]:
                found = f"a second {quoted(name)}, of a whole document after that of line {first}"
                raise self.error(
                    key, found, "one document in each file: all from this line on removed"
                )
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
