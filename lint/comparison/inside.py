"""The raw difference inside a value that is more than one word: a list, stages, an own rule.

One number differs from another or does not; deepdiff looks into what is nested. It is asked only
then: loading it takes longer than all else that a comparison of two tunes does.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ..documents.dataclass import dataclass


@dataclass(frozen=True, slots=True)
class Inside:
    """One place inside a value, `2.driven_teeth`, counted from 1; None where a side has none."""

    at: str
    old: Any
    new: Any


def is_nested(value: Any) -> bool:
    """Whether there is something inside a value."""
    return isinstance(value, list | tuple | Mapping)


def inside(old: Any, new: Any) -> tuple[Inside, ...]:
    """What differs inside two nested values, in the order of the places.

    >>> inside([{"driving_teeth": 14, "driven_teeth": 42}], [{"driving_teeth": 14, "driven_teeth": 48}])
    (Inside(at='1.driven_teeth', old=42, new=48),)
    """
    if not (is_nested(old) and is_nested(new)):
        return ()
    from deepdiff import DeepDiff

    raw = DeepDiff(_lists(old), _lists(new), view="tree", threshold_to_diff_deeper=0)
    return tuple(sorted(_places(raw), key=lambda place: place.at))


def _lists(value: Any) -> Any:
    """Tuples as lists: which of the two it is says nothing."""
    if isinstance(value, Mapping):
        return {key: _lists(member) for key, member in value.items()}
    return [_lists(member) for member in value] if isinstance(value, list | tuple) else value


def _places(raw: Mapping[str, Any]) -> Iterator[Inside]:
    for levels in raw.values():
        for level in levels:
            way = level.path(output_format="list")
            at = ".".join(str(part + 1) if isinstance(part, int) else part for part in way)
            yield Inside(at, _value(level.t1), _value(level.t2))


def _value(value: Any) -> Any:
    """What a side has there; deepdiff has a mark of its own for nothing."""
    known = (int, float, str, bool, list, Mapping)
    return value if isinstance(value, known) else None
