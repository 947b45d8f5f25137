"""Whether a document fits its schema: a walk over both may say yes at once, jsonschema decides.

Of a schema only those nodes are made ready that a document asks for, each once, so one small document
costs next to nothing. What the walk does not know, be it a keyword or a value that no JSON can hold,
it leaves to the library, and so all that does not fit and needs words.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache, reduce
from typing import Any

from .day import is_day
from .repetition import first_repeated
from .schema import schema, validator

Check = Callable[[Any], bool]
_SHARED = "urn:gonogo:profile"  # the schema that others refer into


class Unsure(Exception):
    """The walk knows no answer."""


def fits_schema(kind: str, value: Any) -> bool:
    """Whether a document's data fits the schema of its kind."""
    return _surely_fits(kind, value) or bool(validator(kind).is_valid(value))


def _surely_fits(kind: str, value: Any) -> bool:
    """The walk's yes; no where it is not sure."""
    try:
        return _walk(kind).whole(value)
    except Unsure:
        return False


@lru_cache(maxsize=8)
def _walk(kind: str) -> Walk:
    return Walk(schema(kind))


class Walk:
    """Checks made of the nodes of one schema, each when a value comes to it."""

    def __init__(self, root: Mapping[str, Any]) -> None:
        self.root: Any = root
        self.whole = self.later(root)

    def later(self, node: Any) -> Check:
        """The check of a node, which is made when it is first asked."""
        made: list[Check] = []

        def check(value: Any) -> bool:
            if not made:
                made.append(self.check(node))
            return made[0](value)

        return check

    def check(self, node: Any) -> Check:
        """The check of a node; raises Unsure where it has a keyword that is not known here."""
        if isinstance(node, bool):
            return lambda value: node
        asked = [key for key in node if key not in SAYS_NOTHING and not key.startswith("x-")]
        if not _KEYWORDS.keys() >= set(asked):
            raise Unsure
        if node.get("type") == "number" and NUMERIC >= set(asked):
            return _number_within(node)
        checks = [_KEYWORDS[key](node[key], node, self) for key in _KEYWORDS if key in asked]
        return checks[0] if len(checks) == 1 else _all(checks)

    def led(self, reference: str) -> Check:
        """The check of what a reference leads to, in this schema or in the profile's."""
        where, _, way = reference.partition("#/")
        if where not in ("", _SHARED) or not way or "~" in way or "%" in way:
            raise Unsure
        walk = _walk("profile") if where else self
        return walk.later(reduce(_below, way.split("/"), walk.root))


def _below(node: Any, key: str) -> Any:
    return node[int(key) if isinstance(node, list) else key]


def _all(checks: list[Check]) -> Check:
    def check(value: Any) -> bool:
        for one in checks:
            if not one(value):
                return False
        return True

    return check


# ── keywords ──────────────────────────────────────────────────────────────────────────────────


def _is_number(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _is_whole(value: Any) -> bool:
    return _is_number(value) and (isinstance(value, int) or value.is_integer())


_TYPES: Mapping[str, Check] = {
    "string": lambda value: isinstance(value, str),
    "number": _is_number,
    "integer": _is_whole,
    "boolean": lambda value: isinstance(value, bool),
    "array": lambda value: isinstance(value, list),
    "object": lambda value: isinstance(value, dict),
    "null": lambda value: value is None,
}


def _type(word: str | list[str], node: Mapping[str, Any], walk: Walk) -> Check:
    if isinstance(word, str):
        return _TYPES[word]
    kinds = [_TYPES[one] for one in word]
    return lambda value: any(kind(value) for kind in kinds)


def _one_of_words(words: Iterable[Any]) -> Check:
    known = frozenset(words)
    if not all(word is None or isinstance(word, str) for word in known):
        raise Unsure
    return lambda value: (value is None or isinstance(value, str)) and value in known


def _number_within(node: Mapping[str, Any]) -> Check:
    """A number and its range at once, since most entries are numbers."""
    least, most = node.get("minimum", -math.inf), node.get("maximum", math.inf)
    above = node.get("exclusiveMinimum", -math.inf)

    def check(value: Any) -> bool:
        if not _is_number(value):
            return False
        if isinstance(value, float) and not math.isfinite(value):
            raise Unsure
        return bool(least <= value <= most and value > above)

    return check


def _number(holds: Callable[[Any], bool]) -> Check:
    def check(value: Any) -> bool:
        if not _is_number(value):
            return True
        if isinstance(value, float) and not math.isfinite(value):
            raise Unsure
        return holds(value)

    return check


def _of(kind: type, holds: Callable[[Any], bool]) -> Check:
    return lambda value: not isinstance(value, kind) or holds(value)


def _pattern(text: str, node: Mapping[str, Any], walk: Walk) -> Check:
    search = re.compile(text).search
    return _of(str, lambda value: search(value) is not None)


def _format(name: str, node: Mapping[str, Any], walk: Walk) -> Check:
    if name != "date":
        raise Unsure
    return is_day


def _unique(asked: bool, node: Mapping[str, Any], walk: Walk) -> Check:
    return _of(list, lambda value: not asked or first_repeated(value) is None)


def _items(below: Any, node: Mapping[str, Any], walk: Walk) -> Check:
    check = walk.later(below)
    return _of(list, lambda value: all(map(check, value)))


def _properties(below: Mapping[str, Any], node: Mapping[str, Any], walk: Walk) -> Check:
    checks: dict[str, Check] = {}

    def check(value: Any) -> bool:
        if not isinstance(value, dict):
            return True
        for key, inner in value.items():
            one = checks.get(key)
            if one is None:
                if not isinstance(key, str):
                    raise Unsure
                if key not in below:
                    continue
                one = checks[key] = walk.check(below[key])
            if not one(inner):
                return False
        return True

    return check


def _others(below: Any, node: Mapping[str, Any], walk: Walk) -> Check:
    """`additionalProperties`, of the keys that stand in no `properties` beside it."""
    told = frozenset(node.get("properties", ()))
    if below is False:
        return _of(dict, told.issuperset)
    check = walk.later(below)
    return _of(dict, lambda value: all(check(value[key]) for key in value.keys() - told))


def _names(below: Any, node: Mapping[str, Any], walk: Walk) -> Check:
    check = walk.later(below)
    return _of(dict, lambda value: all(map(check, value)))


def _dependent(needs: Mapping[str, list[str]], node: Mapping[str, Any], walk: Walk) -> Check:
    def holds(value: dict[str, Any]) -> bool:
        return all(value.keys() >= set(needs[key]) for key in needs.keys() & value.keys())

    return _of(dict, holds)


def _required(names: list[str], node: Mapping[str, Any], walk: Walk) -> Check:
    needed = frozenset(names)
    return _of(dict, lambda value: value.keys() >= needed)


def _count_of(branches: list[Any], walk: Walk) -> Callable[[Any], int]:
    checks = [walk.later(branch) for branch in branches]
    return lambda value: sum(check(value) for check in checks)


def _one(branches: list[Any], node: Mapping[str, Any], walk: Walk) -> Check:
    count = _count_of(branches, walk)
    return lambda value: count(value) == 1


def _any(branches: list[Any], node: Mapping[str, Any], walk: Walk) -> Check:
    checks = [walk.later(branch) for branch in branches]
    return lambda value: any(check(value) for check in checks)


def _not(below: Any, node: Mapping[str, Any], walk: Walk) -> Check:
    check = walk.later(below)
    return lambda value: not check(value)


def _if(below: Any, node: Mapping[str, Any], walk: Walk) -> Check:
    test, then = walk.later(below), walk.later(node.get("then", True))
    other = walk.later(node.get("else", True))
    return lambda value: then(value) if test(value) else other(value)


# In the order in which they are asked: what bounds the work of the others stands before them.
_KEYWORDS: Mapping[str, Callable[[Any, Mapping[str, Any], Walk], Check]] = {
    "type": _type,
    "const": lambda word, node, walk: _one_of_words([word]),
    "enum": lambda words, node, walk: _one_of_words(words),
    "minimum": lambda least, node, walk: _number(lambda value: value >= least),
    "exclusiveMinimum": lambda below, node, walk: _number(lambda value: value > below),
    "maximum": lambda most, node, walk: _number(lambda value: value <= most),
    "minLength": lambda least, node, walk: _of(str, lambda value: len(value) >= least),
    "maxLength": lambda most, node, walk: _of(str, lambda value: len(value) <= most),
    "pattern": _pattern,
    "format": _format,
    "minItems": lambda least, node, walk: _of(list, lambda value: len(value) >= least),
    "maxItems": lambda most, node, walk: _of(list, lambda value: len(value) <= most),
    "minProperties": lambda least, node, walk: _of(dict, lambda value: len(value) >= least),
    "maxProperties": lambda most, node, walk: _of(dict, lambda value: len(value) <= most),
    "required": _required,
    "dependentRequired": _dependent,
    "properties": _properties,
    "additionalProperties": _others,
    "propertyNames": _names,
    "items": _items,
    "uniqueItems": _unique,
    "$ref": lambda where, node, walk: walk.led(where),
    "allOf": lambda branches, node, walk: _all([walk.later(branch) for branch in branches]),
    "anyOf": _any,
    "oneOf": _one,
    "not": _not,
    "if": _if,
}
NUMERIC = frozenset(("type", "minimum", "exclusiveMinimum", "maximum"))
SAYS_NOTHING = frozenset(
    ("$schema", "$id", "$defs", "title", "description", "examples", "default", "then", "else")
)
