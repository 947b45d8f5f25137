"""What a document holds and what its schema wants, in the words of whoever enters it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from .quotation import quoted
from .schema import UNITS, resolved, unit_of
from .tree import Node

TYPES = {
    "boolean": "true or false",
    "null": "null",
}


def found(node: Node) -> str:
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


def slip_of(text: str, limit: str) -> tuple[str, str] | None:
    """What is wrong with a text that its schema refuses, and what it needs if that is not plain.

    >>> slip_of("Al\\x1bder", "pattern")
    ('the character U+001B, which nobody sees', 'text that shows all it says')
    """
    if limit == "maxLength":
        return f"a text of {len(text)} characters", ""
    unseen = next((letter for letter in text if not letter.isprintable()), None)
    if unseen == "\n":
        return "a text of several lines", "one line"
    if unseen is not None:
        return (
            f"the character U+{ord(unseen):04X}, which nobody sees",
            "text that shows all it says",
        )
    return None


def wanted(node: Mapping[str, Any], key: str) -> str:
    """What may stand under a key.

    >>> wanted({"type": "number", "minimum": 1, "maximum": 250}, "stop_V")
    'a number of volts from 1 to 250'
    >>> wanted({"type": "string", "enum": ["forward", "reversed"]}, "direction")
    'forward or reversed'
    """
    node = resolved(node)
    if "anyOf" in node:
        return alternatives([wanted(way, key) for way in node["anyOf"]])
    if "const" in node:
        return str(node["const"])
    if "enum" in node:
        return alternatives(["null" if choice is None else str(choice) for choice in node["enum"]])
    types = node.get("type", ())
    types = [types] if isinstance(types, str) else types
    return alternatives([_of_type(kind, node, key) for kind in types]) or "something else"


def alternatives(words: Sequence[str]) -> str:
    """Several possibilities as one phrase.

    >>> alternatives(["pack", "cell", "motor"])
    'pack, cell or motor'
    """
    words = list(dict.fromkeys(words))
    return " or ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def _of_type(kind: str, node: Mapping[str, Any], key: str) -> str:
    if kind in ("number", "integer"):
        return _number(kind, node, key)
    if kind == "string":
        return _text(node)
    if kind == "array":
        return f"a list of {_length(node, 'Items')}".removesuffix(" of ") + _each(node, key)
    if kind == "object":
        keys = [quoted(name) for name in node.get("properties", ()) if name != "part"]
        return f"a section with keys such as {alternatives(keys[:2])}" if keys else "a section"
    return TYPES[kind]


def _number(kind: str, node: Mapping[str, Any], key: str) -> str:
    what = "a number" if kind == "number" else "a whole number"
    unit = UNITS.get(node.get("x-unit", unit_of(key)))
    low, above = node.get("minimum"), node.get("exclusiveMinimum")
    high = node.get("maximum")
    span = ""
    if low is not None and high is not None:
        span = f" from {_plain(low)} to {_plain(high)}"
    elif above is not None and high is not None:
        span = f" above {_plain(above)} and up to {_plain(high)}"
    return f"{what} of {unit}{span}" if unit else f"{what}{span}"


def _text(node: Mapping[str, Any]) -> str:
    if node.get("format") == "date":
        return "a date such as 2026-05-18"
    examples = node.get("examples", ())
    shown = f" such as {quoted(str(examples[0]))}" if examples else ""
    if "x-form" in node:
        return f"{node['x-form']}{shown}"
    length = _length(node, "Length")
    return f"a text of {length} characters{shown}" if length else f"a text{shown}"


def _length(node: Mapping[str, Any], of: str) -> str:
    low, high = node.get(f"min{of}"), node.get(f"max{of}")
    if low and high:
        return f"{low} to {high}" if low != high else f"{low}"
    return f"at most {high}" if high else f"at least {low}" if low else ""


def _each(node: Mapping[str, Any], key: str) -> str:
    items = resolved(node.get("items", {}))
    if items.get("type") == "object":
        return " sections"
    return f" items, each {wanted(items, key)}" if items else ""


def _plain(number: float) -> str:
    """A number without an exponent and without a fraction that says nothing."""
    return str(int(number)) if number == int(number) else str(number)
