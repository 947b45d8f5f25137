"""What the validator's library does without bounds, done in a number of steps that its input sets.

Its `uniqueItems` holds each item against all before it: of thousands, millions of times. And of a
list that is a thousand times too long it describes each item, though nobody reads past the first.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from itertools import islice
from typing import Any

from jsonschema import Draft202012Validator, ValidationError, validators

MOST_LOOKED_AT = 1000  # items of a list and keys of a section: more than any schema of ours lets in


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


def unique_items(validator: Any, unique: bool, instance: Any, schema: Any) -> Iterator[Any]:
    """`uniqueItems` of a schema."""
    if unique and validator.is_type(instance, "array") and first_repeated(instance) is not None:
        yield ValidationError("an item stands there twice")


def of_the_first(keyword: str) -> Any:
    """A keyword of a schema, asked of the first items or keys alone."""
    ask = Draft202012Validator.VALIDATORS[keyword]

    def asked(validator: Any, value: Any, instance: Any, schema: Any) -> Iterator[Any]:
        if isinstance(instance, list | dict) and len(instance) > MOST_LOOKED_AT:
            some = islice(
                instance.items() if isinstance(instance, dict) else instance, MOST_LOOKED_AT
            )
            instance = type(instance)(some)
        yield from ask(validator, value, instance, schema) or ()

    return asked


KEYWORDS = ("items", "additionalProperties", "propertyNames")
BoundedValidator: Any = validators.extend(
    Draft202012Validator,
    {"uniqueItems": unique_items, **{keyword: of_the_first(keyword) for keyword in KEYWORDS}},
)
