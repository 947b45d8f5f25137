"""How a section or a list is written where a single word or number stands: with its braces and brackets.

What is in them is left open. Which figure of a section a bare number was to be nobody can tell.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from .schema import resolved
from .text import quoted

LEFT_OPEN = "…"  # a value that the writer has to know
A_NAME = re.compile(r"[A-Za-z][A-Za-z _-]{0,19}")
ALONE_OF = ("x-pair", "x-either", "x-one-of")  # keys of which a section gives one
_MOST_KEYS = 2  # keys of a section


def notation_of(form: Mapping[str, Any], text: str = "") -> str:
    """The form of a section or list as it is written, marked as a quotation; empty for any other.

    >>> two = {"properties": {"part": {}, "rated_A": {}, "rated_V": {}, "breaking_A": {}}}
    >>> notation_of(two), notation_of({"items": two})
    ('`{rated_A: …, rated_V: …}`', '`[{rated_A: …, rated_V: …}]`')
    >>> notation_of({"additionalProperties": two}, "lights"), notation_of({"type": "number"})
    ('`{lights: {rated_A: …, rated_V: …}}`', '')
    """
    written = _written(resolved(form), text)
    return quoted(written) if written else ""


def _written(form: Mapping[str, Any], text: str) -> str:
    if "properties" in form:
        keys = [name for name in form["properties"] if name != "part"]
        named = form.get("required") or _together(keys, form)
        return f"{{{', '.join(f'{name}: {LEFT_OPEN}' for name in named)}}}"
    others = form.get("additionalProperties")
    if isinstance(others, Mapping):
        name = text if A_NAME.fullmatch(text) else "name"
        inner = _written(resolved(others), "")
        return f"{{{name}: {inner}}}" if inner else ""
    if "items" in form:
        inner = _written(resolved(form["items"]), "")
        return f"[{inner}]" if inner else ""
    return ""


def _together(keys: Sequence[str], form: Mapping[str, Any]) -> list[str]:
    """The first keys of a section, without those of which it holds one alone."""
    groups = [way.get(name, ()) for way in (form, *form.get("allOf", ())) for name in ALONE_OF]
    taken: list[str] = []
    for key in keys:
        others = {one for group in groups if key in group for one in group}
        if len(taken) < _MOST_KEYS and others.isdisjoint(taken):
            taken.append(key)
    return taken


def choices_of(form: Mapping[str, Any]) -> list[Any]:
    """The words of which one may stand under a key, in whichever of its forms."""
    ways = resolved(form).get("anyOf", (form,))
    return [choice for way in ways for choice in resolved(way).get("enum", ())]


def single_entries(items: Sequence[Any], keys: Mapping[str, Any]) -> dict[str, Any]:
    """The entries of one section that stand in a list without its braces, each as an item of its own.

    Empty where an item holds another number of entries, or a key stands twice: then they are several.

    >>> teeth = {"driving_teeth": {}, "driven_teeth": {}}
    >>> single_entries([{"driving_teeth": 14}, {"driven_teeth": 52}], teeth)
    {'driving_teeth': 14, 'driven_teeth': 52}
    >>> single_entries([{"driving_teeth": 14}, {"driving_teeth": 52}], teeth)
    {}
    """
    joined: dict[str, Any] = {}
    for item in items:
        if not isinstance(item, dict) or len(item) != 1 or not joined.keys().isdisjoint(item):
            return {}
        joined |= item
    return joined if len(items) > 1 and keys.keys() >= joined.keys() else {}
