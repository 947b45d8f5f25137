"""One value tried in a document's text: put where an edit would put it, be it there already or not.

Unlike `edit.py`, which writes files, this may set what a section stood for, or one item of a list, since
nothing is written. The result is read again, and is refused if it says anything more than was meant.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from typing import Any, NamedTuple

from .edit import ANCHOR, Edit, edited, root_of, value_end
from .error import EditError
from .text import decode
from .yaml_tree import YamlNode

# What means the same in a line of its own and between brackets.
PLAIN_ANYWHERE = re.compile(r"[^\s,\[\]{}#&*!|>'\"%@`?][^,\[\]{}#\r\n]*")
PLACE_HELD = 0  # stands where a key is added, until its value takes the place


class TrialValue(NamedTuple):
    """A value to try, and how it was typed."""

    typed: str
    value: Any


def with_value(data: bytes, keys: Sequence[str], tried: TrialValue, file: str) -> bytes:
    """The bytes of a document with a value under some keys; a list's items go by their number from 0.

    Raises EditError where the document has errors, or where more than that value would change.
    """
    text = decode(data, file)
    root = root_of(text, file)
    path = _path(root, keys)
    depth = len(path) - 1
    wanted = _put(root.value, keys, tried.value, file)
    if depth < len(keys) and isinstance(path[-1].value, dict) and _is_of_keys(path):
        text = decode(edited(data, [Edit(tuple(keys), PLACE_HELD)], file), file)
        path = _path(root_of(text, file), keys)
        depth = len(keys)
    if depth < len(keys):  # what stands there becomes a section, or one with a key more
        within = _put(path[-1].value, keys[depth:], tried.value, file)
        told = [_in_brackets(within)]
    else:
        told = [tried.typed] if _is_plain(tried) else []
        told.append(_in_brackets(tried.value))
    for words in told:
        new = _over(text, path, keys[: len(path) - 1], words)
        if _says(new, wanted, file):
            return new.encode("utf-8")
    raise EditError(
        file, "a value used in several places by alias", "each value written out in its own place"
    )


def node_under(root: YamlNode, keys: Sequence[str]) -> YamlNode | None:
    """The node under some keys, None where there is none."""
    path = _path(root, keys)
    return path[-1] if len(path) == len(keys) + 1 else None


def _path(root: YamlNode, keys: Sequence[str]) -> list[YamlNode]:
    """The nodes along some keys, as far as they are there."""
    path = [root]
    for key in keys:
        below = path[-1].below
        is_list = isinstance(path[-1].value, list)
        node = below.get(int(key)) if is_list and key.isdecimal() else below.get(key)
        if node is None:
            break
        path.append(node)
    return path


def _is_of_keys(path: Sequence[YamlNode]) -> bool:
    """Whether no list lies on the way."""
    return not any(isinstance(node.value, list) for node in path)


def _put(value: Any, keys: Sequence[str], new: Any, file: str) -> Any:
    """A copy of the plain data with one value under some keys."""
    if not keys:
        return new
    key, *rest = keys
    if isinstance(value, list):
        if not (key.isdecimal() and int(key) < len(value)):
            wanted = f"the number of an item, 0 to {len(value) - 1}" if value else "a whole list"
            raise EditError(file, f"`{key}` for an item of a list of {len(value)}", wanted)
        items = list(value)
        items[int(key)] = _put(items[int(key)], rest, new, file)
        return items
    above = value if isinstance(value, dict) else {}
    return {**above, key: _put(above.get(key), rest, new, file)}


def _is_plain(tried: TrialValue) -> bool:
    """Whether the text as it was typed may stand anywhere: so a reader takes it as in a file."""
    typed = tried.typed
    if typed[:1] in ("'", '"'):
        return isinstance(tried.value, str)
    is_one = PLAIN_ANYWHERE.fullmatch(typed) is not None and not isinstance(tried.value, dict)
    return is_one and ": " not in typed and not typed.endswith(":")


def _in_brackets(value: Any) -> str:
    """A value as it may stand anywhere in a document."""
    if isinstance(value, dict):
        return (
            f"{{{', '.join(f'{json.dumps(str(k))}: {_in_brackets(v)}' for k, v in value.items())}}}"
        )
    if isinstance(value, list):
        return f"[{', '.join(map(_in_brackets, value))}]"
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if value == "none":
        return "none"
    return json.dumps(value, ensure_ascii=False) if isinstance(value, str) else repr(value)


def _over(text: str, path: Sequence[YamlNode], keys: Sequence[str], new: str) -> str:
    """The text with the last value of a path replaced, whatever it stood for."""
    node = path[-1]
    is_section = isinstance(node.value, dict | list)
    start = int(node.event.start_mark.index)
    named = ANCHOR.match(text, start)
    if is_section and not getattr(node.event, "flow_style", True):
        key = path[-2].keys.get(keys[-1]) if path[-2].keys else None
        if key is None:  # an item of a list
            return text[:start] + new + text[value_end(text, node) :]
        colon = text.index(":", int(key.end_mark.index))
        return f"{text[: colon + 1]} {new}{text[value_end(text, node) :]}"
    end = value_end(text, node)
    start = named.end() if named and named.end() <= end else start
    gap = " " if start == end and text[start - 1 : start] == ":" else ""
    tail = "\n" if text[start:end].endswith("\n") else ""  # of a text in lines
    return text[:start] + gap + new + tail + text[end:]


def _says(text: str, wanted: Any, file: str) -> bool:
    try:
        return bool(root_of(text, file).value == wanted)
    except EditError:
        return False
