"""Whether an item of a list equals one before it, found out in as many steps as there are values."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from typing import Any


def first_repeated(items: Sequence[Any]) -> int | None:
    """The number of the first item that equals one before it; None where there is none.

    Equal as JSON has it: 1 is 1.0 and not true, and the order of keys says nothing.

    >>> first_repeated([{"a": 1, "b": 2}, 1, True, {"b": 2, "a": 1.0}])
    3
    """
    seen: set[Hashable] = set()
    for number, item in enumerate(items):
        key = _identity(item)
        if key in seen:
            return number
        seen.add(key)
    return None


def _identity(value: Any) -> Hashable:
    """What two equal values have alike, and no others."""
    if isinstance(value, Mapping):
        return dict, frozenset((key, _identity(inner)) for key, inner in value.items())
    if isinstance(value, list | tuple):
        return list, tuple(map(_identity, value))
    return isinstance(value, bool), value
