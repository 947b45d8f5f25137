"""Whether a document fits its schema: a compiled validator may say yes at once, jsonschema decides."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from .day import is_day
from .schema import schema, validator


def fits_schema(kind: str, value: Any) -> bool:
    """Whether a document's data fits the schema of its kind."""
    return _surely_fits(kind, value) or bool(validator(kind).is_valid(value))


def _surely_fits(kind: str, value: Any) -> bool:
    """The compiled validator's yes; no without it, and for data that no JSON can hold."""
    compiled = _compiled(kind)
    if compiled is None:
        return False
    try:
        return bool(compiled.is_valid(value))
    except ValueError:  # a number that is not finite, or a key that is no text
        return False


@lru_cache(maxsize=8)
def _compiled(kind: str) -> Any:
    try:
        from jsonschema_rs import Draft202012Validator, Registry
    except ImportError:  # there is no wheel of it for every machine
        return None
    shared = dict(schema("profile"))
    registry = Registry([("urn:gonogo:profile", shared)])
    return Draft202012Validator(
        dict(schema(kind)), formats={"date": is_day}, validate_formats=True, registry=registry
    )
