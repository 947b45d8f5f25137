"""What the validator's library does without bounds, done in a number of steps that its input sets.

Its `uniqueItems` holds each item against all before it: of thousands, millions of times. And of a
list that is a thousand times too long it describes each item, though nobody reads past the first.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice
from typing import Any

from jsonschema import Draft202012Validator, ValidationError, validators

from .repetition import first_repeated

MOST_LOOKED_AT = 1000  # items of a list and keys of a section: more than any schema of ours lets in


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
