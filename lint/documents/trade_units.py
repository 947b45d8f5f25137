"""Trade units: each entry in a unit of ours has a second key in inches, feet, pounds, mph, °F or AWG.

The keys are made from one table and put into the schemas as pairs, as those of rms and peak are:
of two keys of a pair a section gives one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from .units import (
    FAHRENHEIT_K,
    FOOT_M,
    FREEZING_DEGF,
    INCH_MM,
    MILE_KM,
    POUND_KG,
    UNITS,
    unit_of_key,
)
from .wire_gauge import THICKEST, gauge_at_least

GAUGE_UNIT = "awg"
_Node = dict[str, Any]
_DIGITS = 12  # of a value turned into a unit of ours: what is more is the dust of floating point
_ENDS_DIGITS = 4  # of the ends of a range, moved outwards
GAUGE_WORDS = tuple(f"{_each}/0" for _each in range(1, 2 - THICKEST))
GAUGE_ZEROS = tuple("0" * _each for _each in range(1, 2 - THICKEST))


class TradeUnit(NamedTuple):
    """A unit of the trade for one of ours: ours = `factor` × entered + `offset`; a gauge has its table.

    `steps` is the entry step in it for a step of 1 of ours; `unit` its row where the ending does not
    say it.
    """

    ending: str
    of: str
    factor: float
    offset: float = 0.0
    steps: float = 1.0
    unit: str = ""


ROWS = (
    TradeUnit("in", "mm", INCH_MM, steps=0.1),
    TradeUnit("ft", "m", FOOT_M),
    TradeUnit("mph", "km_h", MILE_KM),
    TradeUnit("lb", "kg", POUND_KG),
    TradeUnit("degF", "degC", FAHRENHEIT_K, -FREEZING_DEGF * FAHRENHEIT_K),
    TradeUnit("degF", "K", FAHRENHEIT_K, unit="degF_apart"),
    TradeUnit(GAUGE_UNIT, "mm2", 1.0),
)
TRADE_UNITS: Mapping[str, TradeUnit] = MappingProxyType({_each.of: _each for _each in ROWS})
_ENDINGS = frozenset(_each.ending for _each in ROWS)


def trade_key(key: str) -> str | None:
    """The key beside one of ours; None where no trade has another unit for it.

    >>> trade_key("mass_kg"), trade_key("vehicle.speed_limit_km_h"), trade_key("stop_V")
    ('mass_lb', 'vehicle.speed_limit_mph', None)
    """
    unit = unit_of_key(key)
    row = TRADE_UNITS.get(unit)
    return f"{key.removesuffix(unit)}{row.ending}" if row is not None else None


def own_key(key: str) -> str | None:
    """The key of ours that a key of the trade stands beside; None for any other.

    >>> own_key("mass_lb"), own_key("mass_kg")
    ('mass_kg', None)
    """
    ending = unit_of_key(key)
    of = next((row.of for row in ROWS if row.ending == ending), None)
    return f"{key.removesuffix(ending)}{of}" if of is not None else None


def is_trade_key(key: str) -> bool:
    """Whether a key ends in a unit of the trade."""
    return unit_of_key(key) in _ENDINGS


def is_gauge(key: str, text: str) -> bool:
    """Whether a word under a key is a wire gauge that is written with several zeros.

    Elsewhere a leading zero says nothing to a person, and is refused.

    >>> is_gauge("battery_cable_awg", "00"), is_gauge("battery_cable_mm2", "00")
    (True, False)
    """
    return text in GAUGE_ZEROS and unit_of_key(key) == GAUGE_UNIT


def in_ours(entered: float, factor: float, offset: float) -> float:
    """A value in a unit of ours, without the dust of the turning: 77 °F are 25 °C."""
    return float(f"{factor * entered + offset:.{_DIGITS}g}")


def with_trade_keys(schema: _Node) -> _Node:
    """A schema with the other key beside each of its entries in a unit of the trade; changes it."""
    for section in _sections(schema):
        own = section["properties"]
        pairs = {key: other for key in own if (other := trade_key(key)) is not None}
        if not pairs:
            continue
        both: _Node = {}
        for key, node in own.items():
            both[key] = node
            if key in pairs:
                both[pairs[key]] = _beside(node, key, TRADE_UNITS[unit_of_key(key)])
        section["properties"] = both
        section["allOf"] = [*section.get("allOf", ()), *map(_one_of, pairs.items())]
    return schema


def _sections(schema: _Node) -> Iterator[_Node]:
    """Every section of a schema and of its definitions."""
    waiting = [schema, *schema.get("$defs", {}).values()]
    while waiting:
        node = waiting.pop()
        waiting += node.get("anyOf", ())
        if "properties" in node:
            yield node
            waiting += node["properties"].values()


def _one_of(pair: tuple[str, str]) -> _Node:
    names = list(pair)
    return {
        "description": f"Give {names[0]} or {names[1]}, not both.",
        "x-pair": names,
        "not": {"type": "object", "required": names},
    }


COPIED = ("x-rating", "x-ask", "x-beside-part")


def _beside(node: _Node, key: str, row: TradeUnit) -> _Node:
    """The entry in the trade's unit, with its range and its step; beside a reference another."""
    if "$ref" in node:
        return {"$ref": f"{node['$ref'].removesuffix(key)}{trade_key(key)}"}
    unit = row.unit or row.ending
    other = {
        "title": f"{node['title']} in {UNITS[unit].symbol}",
        "description": f"{node['description'].rstrip('.')} ({UNITS[unit].symbol}).",
        **{key: node[key] for key in COPIED if key in node},
        **_values(node, row),
        "x-same-as": {"key": key, "factor": row.factor, "offset": row.offset},
    }
    if row.unit:
        other["x-unit"] = row.unit
    if "x-overlays" in node:
        other["x-overlays"] = trade_key(node["x-overlays"])
    return other


def _values(node: _Node, row: TradeUnit) -> _Node:
    """What may be entered in the trade's unit; a word for what is not there stays as it is."""
    if "anyOf" in node:
        none, numbers = node["anyOf"]
        shown = {"examples": node["examples"]} if "examples" in node else {}
        turned = _range({**numbers, **shown}, row)
        shown = {"examples": turned.pop("examples")} if shown else {}
        return {"x-none": True, "anyOf": [none, turned], **shown}
    return _gauge_form(node) if row.ending == GAUGE_UNIT else _range(node, row)


def _range(node: _Node, row: TradeUnit) -> _Node:
    """The numbers of an entry turned, the ends of its range outwards."""

    def end(value: float, up: bool) -> float:
        exact = (value - row.offset) / row.factor
        if abs(exact) < 1e-9:
            return 0
        places = _ENDS_DIGITS - 1 - math.floor(math.log10(abs(exact)))
        scaled = round(exact * 10.0**places, 6)
        return _plain((math.ceil if up else math.floor)(scaled) / 10.0**places)

    turned_to: _Node = {"type": node["type"]}
    turned_to |= {
        key: end(node[key], up)
        for key, up in (("minimum", False), ("exclusiveMinimum", False), ("maximum", True))
        if key in node
    }
    if "default" in node:
        turned_to["default"] = _plain((node["default"] - row.offset) / row.factor)
    if "x-step" in node:
        turned_to["x-step"] = _plain(node["x-step"] * row.steps)
    if "examples" in node:
        step = turned_to.get("x-step", 1)
        shown = [round((one - row.offset) / row.factor / step) * step for one in node["examples"]]
        return {**turned_to, "examples": list(map(_plain, shown))}
    return turned_to


def gauge_form(thinnest: float) -> str:
    """What may stand under a key of a wire gauge, in words."""
    return f"a wire gauge: a whole number up to {thinnest:g}, or 1/0 to 4/0, also written 0 to 0000"


def is_wire_gauge(value: Any, thinnest: float) -> bool:
    """Whether a value may stand under such a key.

    >>> is_wire_gauge(4, 27), is_wire_gauge("2/0", 27), is_wire_gauge(-1, 27), is_wire_gauge(2.5, 27)
    (True, True, False, False)
    """
    if isinstance(value, str):
        return value in (*GAUGE_WORDS, *GAUGE_ZEROS)
    return type(value) in (int, float) and value == int(value) and 0 <= value <= thinnest


def _gauge_form(node: _Node) -> _Node:
    """A gauge: a whole number no thinner than the least cross-section, or one of 1/0 to 4/0."""
    thinnest = gauge_at_least(node["minimum"])
    numbers = {"type": "integer", "minimum": 0, "maximum": thinnest}
    words = {"type": "string", "enum": [*GAUGE_WORDS, *GAUGE_ZEROS]}
    examples = [gauge_at_least(one) for one in node.get("examples", ())]
    return {
        "x-form": gauge_form(thinnest),
        "anyOf": [numbers, words],
        "x-step": 1,
        "examples": examples,
    }


def _plain(number: float) -> float:
    short = float(f"{number:.9g}")
    return int(short) if short.is_integer() else short
