"""Edits: values of a document changed or added, and every byte beside them left as it is.

A value is replaced at the place where the parser saw it. A round trip through the YAML library
would put quotes, spaces and line ends in its own order; this does not touch them. The result is
read again, and is refused if it says anything more than was meant.
"""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, pairwise
from typing import Any

from .blank_lines import filled_in
from .error import EditError
from .schema import SchemaSection, mode_outline, outline, schema
from .text import LINE_END, decode, line_begun
from .written import SECTION_INDENT, EnteredValue, as_noted, entered_text, number_text
from .yaml_tree import YamlNode, grow

ANCHOR = re.compile(r"&\S+(?:\s+(?:#[^\r\n]*)?)*")
CLOSING_BRACKETS = {"{": "}", "[": "]"}


@dataclass(frozen=True, slots=True)
class Edit:
    """A value to stand under some keys, be it there already or not."""

    keys: tuple[str, ...]
    value: EnteredValue


def edited(data: bytes, changes: Iterable[Edit], file: str) -> bytes:
    """The bytes of a document with the changes made; raises EditError where that touches more."""
    mark = codecs.BOM_UTF8 if data.startswith(codecs.BOM_UTF8) else b""
    text = decode(data, file)
    root, changes = _root(text, file), list(changes)
    wanted = _apart(root.value)
    text, left = _all_replaced(text, root, changes)
    for change in left:
        text = _changed(text, change, file)
    for change in changes:
        _put(wanted, change)
    if _root(text, file).value != wanted:
        raise EditError(
            file,
            "a value used in several places by alias",
            "each value written out in its own place",
        )
    return mark + text.encode("utf-8")


def _root(text: str, file: str) -> YamlNode:
    tree = grow(text, file)
    if tree.root is None or tree.errors or not isinstance(tree.root.value, dict):
        raise EditError(
            file,
            "errors in the document",
            "none; `gonogo check` shows them, and the file is unchanged",
        )
    return tree.root


def _apart(value: Any) -> Any:
    """The value with nothing shared, as if no alias had been used."""
    if isinstance(value, dict):
        return {key: _apart(below) for key, below in value.items()}
    return [_apart(below) for below in value] if isinstance(value, list) else value


def _put(value: dict[str, Any], change: Edit) -> None:
    for key in change.keys[:-1]:
        value = value.setdefault(key, {})
    value[change.keys[-1]] = as_noted(change.value)


def _changed(text: str, change: Edit, file: str) -> str:
    """The text with one value replaced, or added in the deepest section that is there."""
    path = [_root(text, file)]
    for depth, key in enumerate(change.keys):
        node = path[-1]
        if not isinstance(node.value, dict):
            raise EditError(file, f"no section `{'.'.join(change.keys[:depth])}`", "a section")
        below = node.below.get(key)
        if below is None:
            waiting = _filled_in(text, path, change)
            return _inserted(text, path, change) if waiting is None else waiting
        path.append(below)
    node = path[-1]
    if isinstance(node.value, list) and getattr(node.event, "flow_style", False):
        return (
            text[: node.event.start_mark.index]
            + entered_text(change.value)
            + text[_end(text, node) :]
        )
    if isinstance(node.value, dict | list):
        raise EditError(file, f"a section `{'.'.join(change.keys)}`", "a value to replace")
    return _replaced(text, node, change.value)


def _all_replaced(text: str, root: YamlNode, changes: Iterable[Edit]) -> tuple[str, list[Edit]]:
    """The text with every value replaced that stands there, and the changes that are left.

    It is read once for all of them, and changed from its end, so that each place stays where it is.
    """
    there: dict[int, tuple[YamlNode, Edit]] = {}
    left: list[Edit] = []
    for change in changes:
        node: YamlNode | None = root
        for key in change.keys:
            node = None if node is None else node.below.get(key)
        start = -1 if node is None else int(node.event.start_mark.index)
        if node is None or isinstance(node.value, dict | list) or start in there:
            left.append(change)
        else:
            there[start] = (node, change)
    for _, (node, change) in sorted(there.items(), reverse=True, key=lambda one: one[0]):
        text = _replaced(text, node, change.value)
    return text, left


def _replaced(text: str, node: YamlNode, value: EnteredValue) -> str:
    """The text with a scalar's own characters replaced, its quotation marks and name kept."""
    start, end = node.event.start_mark.index, node.event.end_mark.index
    named = ANCHOR.match(text, start, end)
    start = named.end() if named else start
    old = text[start:end]
    if isinstance(value, str) and node.is_quoted:
        new = f"{old[0]}{value}{old[0]}"
    elif isinstance(value, str | bool | list):
        new = entered_text(value)
    else:
        new = number_text(value, old)
    return text[:start] + new + text[end:]


def _filled_in(text: str, path: Sequence[YamlNode], change: Edit) -> str | None:
    """The text with the value in the line of a blank profile that waits for it, if there is one."""
    section, depth = path[-1], len(path) - 1
    if not _is_in_lines(section):
        return None
    header = int(path[-2].keys[change.keys[depth - 1]].start_mark.line) if depth else -1
    return filled_in(text, change.keys, depth, _column(section), header, entered_text(change.value))


def _inserted(text: str, path: Sequence[YamlNode], change: Edit) -> str:
    """The text with a new entry in a section, the last of a path, where the schema's order puts it."""
    section, depth = path[-1], len(path) - 1
    rest = change.keys[depth:]
    before = _sibling(section, change.keys, depth)
    first = next(iter(section.keys.values()), None)
    if getattr(section.event, "flow_style", False):
        entry = _in_line(rest, change.value)
        if before is not None:
            at = _end(text, before)
            gap = line_begun(text, at, len(entry), first.start_mark.column) if first else " "
            return f"{text[:at]},{gap}{entry}{text[at:]}"
        at = int(section.event.start_mark.index + 1 if first is None else first.start_mark.index)
        return text[:at] + entry + (", " if first is not None else "") + text[at:]
    assert first is not None  # a section in lines has an entry
    line_end = LINE_END.search(text)
    end = line_end.group() if line_end else "\n"
    lines = _lines(rest, change.value, first.start_mark.column, _indent(path))
    if before is None:
        at = _above_remarks(text, first.start_mark.index)
        return text[:at] + "".join(line + end for line in lines) + text[at:]
    at = _line_end(text, _end(text, before))
    return text[:at] + "".join(end + line for line in lines) + text[at:]


def _sibling(section: YamlNode, keys: Sequence[str], depth: int) -> YamlNode | None:
    """The entry to stand behind: the last that the schema puts before the new one."""
    order = _order(keys[:depth])
    if keys[depth] not in order:
        return next(reversed(section.below.values()), None)
    earlier = [key for key in order[: order.index(keys[depth])] if key in section.below]
    if not earlier and "part" in section.below:
        return section.below["part"]
    return section.below[earlier[-1]] if earlier else None


def _order(keys: Sequence[str]) -> list[str]:
    """The keys of a section in the order of the schema."""
    if not keys:
        return list(schema("profile")["properties"])
    section: SchemaSection = outline()
    rest = keys
    if keys[0] == "modes":
        section, rest = mode_outline(), keys[2:]
        if len(keys) < 2:
            return []
    for key in rest:
        entry = section.entries.get(key)
        if not isinstance(entry, SchemaSection):
            return []
        section = entry
    return list(section.entries)


def _in_line(keys: Sequence[str], value: EnteredValue) -> str:
    told = entered_text(value)
    for key in reversed(keys[1:]):
        told = f"{{{key}: {told}}}"
    return f"{keys[0]}: {told}"


def _lines(keys: Sequence[str], value: EnteredValue, column: int, indent: int) -> list[str]:
    """The entry in lines, each inner section further in."""
    heads = [f"{' ' * (column + indent * depth)}{key}:" for depth, key in enumerate(keys)]
    told = entered_text(value)
    return [*heads[:-1], f"{heads[-1]} {told}"]


def _indent(path: Sequence[YamlNode]) -> int:
    """By how much an inner section moves in: like those beside it, above it, else in the file."""
    section, root = path[-1], path[0]
    above = (step for node, below in pairwise(path) for step in _steps(node, (below,)))
    beside = _steps(section, section.below.values())
    everywhere = (step for node in _all_below(root) for step in _steps(node, node.below.values()))
    return next(chain(beside, reversed(list(above)), everywhere), SECTION_INDENT)


def _steps(section: YamlNode, below: Iterable[YamlNode]) -> Iterator[int]:
    """By how many columns sections in lines move in from the one that they stand in."""
    for inner in below:
        if _is_in_lines(section) and _is_in_lines(inner):
            step = _column(inner) - _column(section)
            if step > 0:  # an alias stands for what is written elsewhere
                yield step


def _is_in_lines(node: YamlNode) -> bool:
    return bool(node.keys) and not getattr(node.event, "flow_style", False)


def _column(section: YamlNode) -> int:
    return int(next(iter(section.keys.values())).start_mark.column)


def _all_below(node: YamlNode) -> Iterator[YamlNode]:
    """A node and all below it in their order, what several share once."""
    waiting, seen = [node], set[int]()
    while waiting:
        node = waiting.pop()
        if node.below and id(node.below) not in seen:
            seen.add(id(node.below))
            yield node
            waiting += reversed(node.below.values())


def _end(text: str, node: YamlNode) -> int:
    """Where a value ends, its closing bracket included."""
    event = node.event
    last = next(reversed(node.below.values()), None)
    if not isinstance(node.value, dict | list) or not hasattr(event, "flow_style"):
        return int(event.end_mark.index)
    if not event.flow_style:
        return int(event.start_mark.index) if last is None else _end(text, last)
    at = int(event.start_mark.index)
    bracket = text.index("{" if isinstance(node.value, dict) else "[", at)
    at = bracket + 1 if last is None else _end(text, last)
    while text[at] != CLOSING_BRACKETS[text[bracket]]:
        at = _line_end(text, at) if text[at] == "#" else at + 1
    return at + 1


def _above_remarks(text: str, at: int) -> int:
    """The beginning of an entry's line, or of the comments that stand right above it."""
    lines = text[:at].splitlines(keepends=True)
    start = at - len(lines[-1]) if lines and not lines[-1].strip() else at
    for line in reversed(lines[:-1] if start < at else lines):
        if line.strip() and not line.lstrip().startswith("#"):
            break
        start -= len(line)
    return start


def _line_end(text: str, at: int) -> int:
    """The end of the line on which a value ends; a text in lines ends on the line before."""
    while at and text[at - 1] in "\r\n":
        at -= 1
    line_end = LINE_END.search(text, at)
    return line_end.start() if line_end else len(text)
