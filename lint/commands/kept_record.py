"""Results as text that is kept, and back: plain data alone, of which nothing is run.

Tuples and our own records are told apart from lists by a mark. What cannot be put down so that the very
same comes back is not kept at all.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any, get_args, get_type_hints

_MARK = "\x00of"  # no key of a report has this character
_TUPLE = "tuple"


class NotPlain(Exception):
    """Something that cannot be kept as plain data."""


def records_of(*kinds: type) -> dict[str, type]:
    """These records and all that their fields name, by their names: what may come back."""
    known: dict[str, type] = {}
    waiting: list[Any] = list(kinds)
    while waiting:
        kind = waiting.pop()
        waiting += get_args(kind)
        if not _is_record(kind) or kind.__name__ in known:
            continue
        known[kind.__name__] = kind
        waiting += get_type_hints(kind).values()
    return known


def _is_record(kind: Any) -> bool:
    is_tuple = isinstance(kind, type) and issubclass(kind, tuple) and hasattr(kind, "_fields")
    return is_tuple or (isinstance(kind, type) and is_dataclass(kind))


def kept_text(value: Any, records: Mapping[str, type]) -> str:
    """A value as text; raises NotPlain where the same would not come back."""
    try:
        return json.dumps(_marked(value, records), allow_nan=False)
    except (ValueError, RecursionError) as broken:
        raise NotPlain(str(broken)) from broken


def _marked(value: Any, records: Mapping[str, type]) -> Any:
    kind = type(value)
    if value is None or kind in (bool, int, float, str):
        return value
    if kind is list:
        return [_marked(member, records) for member in value]
    if kind is tuple:
        return {_MARK: _TUPLE, "": [_marked(member, records) for member in value]}
    if kind is dict:
        if not all(type(key) is str and key != _MARK for key in value):
            raise NotPlain("a key that is no text")
        return {key: _marked(member, records) for key, member in value.items()}
    if records.get(kind.__name__) is not kind:
        raise NotPlain(kind.__name__)
    members = value if issubclass(kind, tuple) else _values(value)
    return {_MARK: kind.__name__, "": [_marked(member, records) for member in members]}


def _values(record: Any) -> list[Any]:
    return [getattr(record, field.name) for field in fields(record)]


def kept_value(text: str, records: Mapping[str, type]) -> Any:
    """The value of a text that `kept_text` made; raises ValueError for any other."""

    def back(found: dict[str, Any]) -> Any:
        name = found.get(_MARK)
        if name is None:
            return found
        if name == _TUPLE:
            return tuple(found[""])
        return records[name](*found[""])

    try:
        return json.loads(text, object_hook=back)
    except (KeyError, TypeError, RecursionError) as broken:
        raise ValueError(str(broken)) from broken
