"""The schemas as an editor reads them, and a walk over every entry that they describe."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from referencing import Registry, Resource
from ruamel.yaml import YAML

NAMES = ("profile", "part", "house", "rule", "known")
PROFILE_ID = "urn:gonogo:profile"
HERE = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that a document may hold: where it is described, its key, and the description."""

    path: str
    key: str
    node: dict[str, Any]

    @property
    def value(self) -> dict[str, Any]:
        """What may stand there besides `none` or a list of it."""
        if "x-none" in self.node:
            return {**self.node, **self.node["anyOf"][1]}
        return {**self.node, **self.node["anyOf"][0]} if "x-list" in self.node else self.node

    @property
    def is_number(self) -> bool:
        """True where a number may be entered."""
        kinds = self.value.get("type", ())
        kinds = [kinds] if isinstance(kinds, str) else kinds
        return "number" in kinds or "integer" in kinds


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    keys = [key for key, _ in pairs]
    assert len(keys) == len(set(keys)), f"a key is told twice among {keys}"
    return dict(pairs)


def walk(node: Any, path: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """Every mapping of a schema that is itself a schema, with its path."""
    if isinstance(node, dict):
        yield path, node
        for key, below in node.items():
            if key not in ("examples", "const", "enum", "x-same-as"):
                yield from walk(below, f"{path}/{key}")
    elif isinstance(node, list):
        for index, below in enumerate(node):
            yield from walk(below, f"{path}/{index}")


@pytest.fixture(scope="session")
def schemas() -> dict[str, dict[str, Any]]:
    """The five schemas by name, refused if one of them tells a key twice."""
    folder = files("gonogo.schemas")
    return {
        name: json.loads(
            folder.joinpath(f"{name}.schema.json").read_text("utf-8"), object_pairs_hook=_once
        )
        for name in NAMES
    }


@pytest.fixture(scope="session")
def nodes(schemas: dict[str, dict[str, Any]]) -> list[tuple[str, dict[str, Any]]]:
    """Every mapping of every schema that describes something, with its path."""
    return [found for name, schema in schemas.items() for found in walk(schema, name)]


@pytest.fixture(scope="session")
def entries(nodes: list[tuple[str, dict[str, Any]]]) -> list[Entry]:
    """Every entry of every schema: keys, items of lists, names and values of open mappings."""
    return [
        Entry(path, path.rsplit("/", 1)[-1], node)
        for path, node in nodes
        if (
            path.endswith(("/items", "/additionalProperties", "/propertyNames"))
            or path.rpartition("/")[0].endswith(("/properties", "/$defs"))
        )
        and "/allOf/" not in path
    ]


@pytest.fixture(scope="session")
def validators(schemas: dict[str, dict[str, Any]]) -> dict[str, Draft202012Validator]:
    """One validator a schema, which needs no network to find the profile's parts."""
    profile = Resource.from_contents(schemas["profile"])
    registry: Registry[Any] = Registry().with_resource(PROFILE_ID, profile)
    return {
        name: Draft202012Validator(
            schema, registry=registry, format_checker=Draft202012Validator.FORMAT_CHECKER
        )
        for name, schema in schemas.items()
    }


@pytest.fixture
def full_profile(schemas: dict[str, dict[str, Any]]) -> Any:
    """A profile made by hand; a key that came later has the first example of its schema."""
    profile = YAML(typ="safe").load(HERE / "full-profile.yaml")
    return filled(profile, schemas["profile"], schemas["profile"])


def referred(node: dict[str, Any], root: dict[str, Any]) -> dict[str, Any]:
    """What a node refers to in its own schema; any other is itself."""
    while "$ref" in node:
        found: Any = root
        for key in node["$ref"].removeprefix("#/").split("/"):
            found = found[int(key) if isinstance(found, list) else key]
        node = found
    return node


def filled(value: Any, node: dict[str, Any], root: dict[str, Any]) -> Any:
    """A value with an example for every key that its part of the schema describes besides."""
    node = referred(node, root)
    form = next((one for one in node.get("anyOf", ()) if "properties" in one), node)
    if isinstance(value, list):
        return [filled(one, form.get("items", {}), root) for one in value]
    if not isinstance(value, dict):
        return value
    limits = form.get("allOf", ())
    pairs = [
        one.get("x-pair") or one["x-either"]
        for one in limits
        if {"x-pair", "x-either"} & one.keys()
    ]
    spared = {key for pair in pairs for key in (pair if value.keys() & set(pair) else pair[1:])}
    keys = form.get("properties", dict.fromkeys(value, form.get("additionalProperties", {})))
    return value | {
        key: filled(value.get(key, example(below)), below, root)
        for key, below in keys.items()
        if key in value or key not in spared
    }


def example(node: dict[str, Any]) -> Any:
    """A value for a key that the profile does not hold; a section begins empty."""
    if node.get("type") == "boolean":
        return True
    return next(iter(node.get("examples", node.get("enum", ()))), {})
