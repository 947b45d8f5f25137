"""`gonogo schema`: the schemas of the documents, for an editor to complete and explain keys by."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from importlib.resources import files
from pathlib import Path
from typing import Annotated, Any, TextIO

import typer

from ..documents.error import UsageError
from ..documents.schema import schema
from ..reports.record import json_text
from .options import Output
from .output import GO, deliver
from .slips import hint

ENDING = ".schema.json"
ELSEWHERE = "urn:gonogo:"
Schema = dict[str, Any]


def schemas() -> dict[str, Schema]:
    """All schemas by name, with the keys in units of the trade."""
    folder = files(f"{__package__.split('.')[0]}.schemas")
    names = sorted(entry.name for entry in folder.iterdir() if entry.name.endswith(ENDING))
    return {
        name.removesuffix(ENDING): json.loads(json.dumps(schema(name.removesuffix(ENDING))))
        for name in names
    }


def schema_names() -> list[str]:
    """What can be printed, for a shell that completes it."""
    return list(schemas())


def self_contained(whole: Schema, others: Mapping[str, Schema]) -> Schema:
    """The schema with every definition that it takes from another one put into it.

    An editor gets one file and does not know where the others are.
    """
    taken: Schema = {}
    waiting = [whole]
    home = {id(whole): ""}
    while waiting:
        part = waiting.pop()
        for node in _references(part):
            other, _, path = node["$ref"].removeprefix(ELSEWHERE).partition("#")
            other = other or home[id(part)]
            if not other:
                continue
            name = path.rsplit("/", 1)[-1]
            node["$ref"] = f"#/$defs/{name}"
            if name not in taken:
                taken[name] = json.loads(json.dumps(others[other]["$defs"][name]))
                home[id(taken[name])] = other
                waiting.append(taken[name])
    return {**whole, "$defs": {**whole.get("$defs", {}), **taken}} if taken else whole


def _references(part: Any) -> Iterator[Schema]:
    """Every object in a schema that refers to another."""
    waiting = [part]
    while waiting:
        node = waiting.pop()
        if isinstance(node, dict):
            if isinstance(node.get("$ref"), str):
                yield node
            waiting.extend(node.values())
        elif isinstance(node, list):
            waiting.extend(node)


def run(name: str | None = None, output: Path | None = None, out: TextIO | None = None) -> int:
    """Print a schema, or list them all."""
    known = schemas()
    if name is None:
        wide = max(map(len, known)) + 2
        lines = [f" {kind.ljust(wide)}{one['title']}" for kind, one in known.items()]
        deliver("\n".join([*lines, "", " `gonogo schema NAME` prints one."]) + "\n", output, out)
        return GO
    if name not in known:
        said = hint(name, known, f"Schemas: {', '.join(known)}.")
        raise UsageError(f"No schema is called {name}. {said}")
    whole = self_contained(known[name], known)
    deliver(json_text(whole), output, out)
    return GO


def command(
    name: Annotated[
        str | None,
        typer.Argument(
            metavar="[NAME]",
            show_default=False,
            help="Schema to print, such as profile.",
            autocompletion=schema_names,
        ),
    ] = None,
    output: Output = None,
) -> int:
    """Print a schema for an editor, or list them.

    With it, an editor that has a YAML language server completes and explains keys.
    """
    return run(name, output)
