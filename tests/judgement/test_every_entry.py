"""Whatever the schema allows can be read and judged, alone beside nothing else."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import gonogo
import pytest
from gonogo.documents.schema import schema
from ruamel.yaml import YAML

DAY = "2026-11-25"


def leaves(node: dict[str, Any], path: tuple[str, ...] = ()) -> list[tuple[str, Any]]:
    """Every entry below a schema's node, with each of its examples, choices and `none`."""
    ways = node.get("anyOf", [node])
    found: list[tuple[str, Any]] = []
    for way in ways:
        if "$ref" in way:
            way = schema("profile")["$defs"][way["$ref"].rsplit("/", 1)[-1]]
        below_it = {} if "x-by-setting" in way else way.get("properties", {})  # tried as a whole
        for key, below in below_it.items():
            found += leaves(below, (*path, key))
        values = [*way.get("examples", ()), *way.get("enum", ())]
        values += [way["const"]] if "const" in way else []
        values += [True, False] if way.get("type") == "boolean" else []
        found += [(".".join(path), value) for value in values]
    found += [(".".join(path), value) for value in node.get("examples", ()) if "anyOf" in node]
    return found


SECTIONS = ("vehicle", "pack", "wiring", "controller", "motor", "throttle", "drivetrain")
SECTIONS += ("settings", "readings")
ENTRIES = [
    entry
    for section in SECTIONS
    for entry in leaves(schema("profile")["properties"][section], (section,))
    if not entry[0].endswith(".part")  # the path of another file
]


def profile_with(path: str, value: Any) -> dict[str, Any]:
    """A profile that gives one entry only."""
    document: dict[str, Any] = {"gonogo": "profile/1", "vehicle": {"name": "Alder"}}
    if path == "readings.entered.modes":
        document["modes"] = {name: {} for name in value}  # what is read back there
    inner = document
    *sections, key = path.split(".")
    for section in sections:
        inner = inner.setdefault(section, {})
    inner[key] = value
    return document


def test_all_entries_are_tried() -> None:
    """Numbers by their examples, words by their choices, and what may be none as none."""
    assert len(ENTRIES) > 250
    assert ("drivetrain.tyre_load_index", "none") in ENTRIES


@pytest.mark.parametrize(("path", "value"), ENTRIES, ids=lambda value: str(value)[:40])
def test_an_entry_alone_is_judged(path: str, value: Any, tmp_path: Path) -> None:
    """What fits the schema is never answered with a defect, and a name alone is never a GO."""
    file = tmp_path / "alder.yaml"
    YAML(typ="safe").dump(profile_with(path, value), file)
    judgement = gonogo.check(file, as_of=DAY)
    assert judgement.verdict in ("no-go", "incomplete")
    assert judgement.stages["stand"] in ("no-go", "incomplete")
