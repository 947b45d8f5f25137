"""The schemas, and what they say about each quantity: unit, step, range, rating, choices."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from functools import lru_cache, reduce
from types import MappingProxyType
from typing import Any, Literal, NamedTuple

from .contents import file_of
from .day import is_day
from .entry_terms import BesidePart, Twice, beside_part_of, twice_of
from .setting_fields import BY_SETTING, with_setting_keys
from .trade_units import GAUGE_UNIT, is_trade_key, with_trade_keys
from .units import unit_of_key

_Held = Literal["list", "section", "stages", "loads", "settings"]
EntryKind = Literal["number", "integer", "text", "boolean", "date"] | _Held
Rating = Literal["upper", "lower"]
Careful = Literal["lower", "upper", ""]
# sections without quantities of their own
APART = ("gonogo", "motors", "modes", "tolerances", "waivers")


class Property(NamedTuple):
    """One key of a profile.

    `ask` says what to do to know it. Canonical (`quantity`) = `factor` × entered + `offset`, a wire gauge's
    by its own formula. Of a `rating` a higher "upper" one, a lower "lower" one promises more. To the
    `careful` side a setting may be rounded without letting more happen. What is `seldom_told` stands on
    hardly any label or datasheet.
    """

    path: str
    quantity: str
    factor: float
    offset: float
    unit: str
    kind: EntryKind
    step: float | None
    lowest: float | None
    highest: float | None
    strictly_above: bool
    rating: Rating | None
    title: str
    ask: str
    description: str
    choices: tuple[str, ...]
    can_be_none: bool
    twice: Twice | None
    beside_part: BesidePart | None
    careful: Careful = ""
    seldom_told: bool = False


class Allowance(NamedTuple):
    """One number of common practice that rules read and a house file may set."""

    name: str
    default: float
    lowest: float
    highest: float
    unit: str
    title: str
    description: str


class SchemaSection(NamedTuple):
    """A section of a profile: its keys, and what it is itself where it can be `none`.

    `takes` is the kind of part that fills the section, if one can.
    """

    path: str
    entries: Mapping[str, Property | SchemaSection]
    itself: Property | None
    takes: str | None

    def all_sections(self) -> Iterator[SchemaSection]:
        """This section and all below it."""
        yield self
        for entry in self.entries.values():
            if isinstance(entry, SchemaSection):
                yield from entry.all_sections()


@lru_cache(maxsize=16)
def schema_text(name: str) -> str:
    """A schema as it stands in its file; `name` is profile, house, report and so on."""
    return file_of("gonogo.schemas", f"{name}.schema.json").decode()


@lru_cache(maxsize=16)
def schema(name: str) -> Mapping[str, Any]:
    """A schema as data, with the keys in units of the trade beside ours."""
    loaded: dict[str, Any] = json.loads(schema_text(name))
    if name == "profile":
        return with_setting_keys(with_trade_keys(loaded))
    return with_trade_keys(loaded) if name == "house" else loaded


@lru_cache(maxsize=8)
def validator(kind: str) -> Any:
    """The validator of one kind of document, built once; it needs no network."""
    from jsonschema import FormatChecker
    from referencing import Registry, Resource

    from .bounded_validation import BoundedValidator

    formats = FormatChecker(formats=())
    formats.checks("date")(is_day)
    shared = Resource.from_contents(schema("profile"))
    registry: Any = Registry().with_resource("urn:gonogo:profile", shared)
    return BoundedValidator(schema(kind), registry=registry, format_checker=formats)


def resolved(node: Mapping[str, Any]) -> Mapping[str, Any]:
    """What a schema node refers to; all references lead into the profile's schema."""
    steps = node.get("$ref", "").partition("#/")[2].split("/")
    found = reduce(lambda inner, key: inner[key], steps, schema("profile")) if steps[0] else node
    return resolved(found) if "$ref" in found else found


@lru_cache(maxsize=1)
def outline() -> SchemaSection:
    """The profile's sections as a tree."""
    entries = {
        key: _entry(key, key, node)
        for key, node in schema("profile")["properties"].items()
        if key not in APART
    }
    return SchemaSection("", entries, None, None)


@lru_cache(maxsize=1)
def mode_outline() -> SchemaSection:
    """What a mode may hold: its keys lead to the properties that they overlay."""
    return _overlay("", schema("profile")["$defs"]["mode"])


def _overlay(path: str, node: Mapping[str, Any]) -> SchemaSection:
    entries: dict[str, Property | SchemaSection] = {}
    for key, below in node["properties"].items():
        inner = f"{path}.{key}" if path else key
        target = below.get("x-overlays")
        form = below["anyOf"][1] if "x-none" in below else below
        entries[key] = properties()[target] if target else _overlay(inner, form)
    return SchemaSection(path, entries, properties().get(f"settings.{path}"), None)


def _entry(path: str, key: str, node: Mapping[str, Any]) -> Property | SchemaSection:
    form = resolved(node)
    inner = resolved(form["anyOf"][1]) if "x-none" in form else form
    if "properties" not in inner or BY_SETTING in inner:
        return property_of(path, key, node)
    entries = {
        name: _entry(f"{path}.{name}", name, below)
        for name, below in inner["properties"].items()
        if name != "part"
    }
    itself = property_of(path, key, node) if "x-none" in form else None
    return SchemaSection(path, entries, itself, key if "part" in inner["properties"] else None)


def property_of(path: str, key: str, node: Mapping[str, Any]) -> Property:
    """What a node of a schema says of its key."""
    form = resolved(node["anyOf"][1 if "x-none" in node else 0]) if "anyOf" in node else node
    same = node.get("x-same-as", {"quantity": path, "factor": 1.0})
    kind = "number" if unit_of_key(key) == GAUGE_UNIT else _kind(node, form)
    choices = form.get("items", form).get("enum", ())
    return Property(
        path=path,
        quantity=same.get("quantity") or f"{path.removesuffix(key)}{same['key']}",
        factor=float(same["factor"]),
        offset=float(same.get("offset", 0.0)),
        unit=node.get("x-unit", unit_of_key(key)) if kind in ("number", "integer", "list") else "",
        kind=kind,
        step=form.get("x-step", node.get("x-step")),
        lowest=form.get("minimum", form.get("exclusiveMinimum")),
        highest=form.get("maximum"),
        strictly_above="exclusiveMinimum" in form,
        rating=node.get("x-rating", form.get("x-rating")),
        title=node.get("title", ""),
        ask=node.get("x-ask", ""),
        description=node.get("description", ""),
        choices=tuple(choices) if kind != "section" else ("none", "fitted"),
        can_be_none="x-none" in node or (kind == "text" and "none" in choices),
        twice=twice_of(node.get("x-twice")),
        beside_part=beside_part_of(node.get("x-beside-part")),
        careful=node.get("x-careful", ""),
        seldom_told=node.get("x-seldom-told", False),
    )


def _kind(node: Mapping[str, Any], form: Mapping[str, Any]) -> EntryKind:
    kind = form.get("type")
    if BY_SETTING in form:
        return "settings"
    if kind == "object":
        return "section" if "properties" in form else "loads"
    if "x-list" in node or kind == "array":
        return "stages" if form.get("items", {}).get("type") == "object" else "list"
    if kind == "string":
        return "date" if form.get("format") == "date" else "text"
    return "boolean" if kind == "boolean" else "integer" if kind == "integer" else "number"


def _walk(section: SchemaSection) -> Iterator[Property]:
    if section.itself is not None:
        yield section.itself
    for entry in section.entries.values():
        if isinstance(entry, SchemaSection):
            yield from _walk(entry)
        else:
            yield entry


@lru_cache(maxsize=1)
def properties() -> Mapping[str, Property]:
    """Every key of a profile by its dotted path, modes and waivers left out."""
    return MappingProxyType({entry.path: entry for entry in _walk(outline())})


@lru_cache(maxsize=1)
def canonical() -> Mapping[str, Property]:
    """One property a quantity, by its canonical name: the key that says it without a factor."""
    by_name: dict[str, Property] = {}
    for entry in properties().values():
        if entry.path == entry.quantity or entry.quantity not in by_name:
            by_name[entry.quantity] = entry
    return MappingProxyType(by_name)


def entered_under(name: str) -> str:
    """The key under which a builder enters a quantity; one that is never entered is its own.

    >>> entered_under("pack.cells_peak_A"), entered_under("settings.max_rpm")
    ('pack.peak_A', 'settings.max_rpm')
    """
    entry = canonical().get(name)
    return entry.path if entry is not None else name


@lru_cache(maxsize=1)
def allowances() -> Mapping[str, Allowance]:
    """What a house file may set, by name: `house.drop_percent`."""
    return MappingProxyType(
        {
            f"house.{key}": Allowance(
                name=f"house.{key}",
                default=float(node["default"]),
                lowest=float(node["minimum"]),
                highest=float(node["maximum"]),
                unit=unit_of_key(key),
                title=node.get("title", ""),
                description=node["description"],
            )
            for key, node in schema("house")["properties"]["allowances"]["properties"].items()
            if not is_trade_key(key)
        }
    )
