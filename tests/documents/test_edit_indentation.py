"""What is added to a document stands as its writer indents, and every other byte stays."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path
from shutil import copytree
from typing import Any

import gonogo
import pytest
from gonogo.commands import fill, mend
from gonogo.documents.blank_profile import example_of
from gonogo.documents.edit import Edit, edited
from gonogo.documents.schema import canonical
from gonogo.documents.yaml_tree import YamlNode, grow
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

ROOT = Path(__file__).parents[2]
DAY = "2026-11-25"
VEHICLES = sorted((ROOT / "examples/workshop/vehicles").glob("*.yaml"))
DATA = {path.stem: YAML(typ="safe").load(path) for path in VEHICLES}
SETTINGS = [
    name
    for name, entry in canonical().items()
    if name.startswith("settings.") and entry.kind != "section"
]
indents = st.sampled_from((2, 3, 4, 8))
line_ends = st.sampled_from((b"\n", b"\r\n"))


def written(data: Any, indent: int, offset: int, line_end: bytes = b"\n") -> bytes:
    """A document in lines throughout, sections and the dashes of lists moved in by so much."""
    yaml, out = YAML(), io.BytesIO()
    yaml.default_flow_style = False
    yaml.indent(mapping=indent, sequence=offset + 2, offset=offset)
    yaml.dump(data, out)
    return out.getvalue().replace(b"\n", line_end)


def without(data: Any, names: set[str]) -> Any:
    """The data without some settings; a section that is empty then goes as well."""
    return {
        key: below if not isinstance(below, dict) else without(below, inner)
        for key, below in data.items()
        if key not in names
        for inner in [{name.partition(".")[2] for name in names if name.startswith(f"{key}.")}]
        if not isinstance(below, dict) or without(below, inner)
    }


def steps(node: YamlNode) -> Iterator[int]:
    """By how much each section in lines moves in from its own."""
    for inner in node.below.values():
        yield from steps(inner)
        if node.keys and inner.keys and not inner.event.flow_style:
            first, own = next(iter(inner.keys.values())), next(iter(node.keys.values()))
            yield first.start_mark.column - own.start_mark.column


def in_order(before: bytes, after: bytes) -> bool:
    """Whether every line of one is there in the other, its end included, none out of its order."""
    lines = iter(after.splitlines(keepends=True))
    return all(line in lines for line in before.splitlines(keepends=True))


@settings(max_examples=120, deadline=None)
@given(
    st.sampled_from(sorted(DATA)),
    indents,
    st.booleans(),
    line_ends,
    st.sets(st.sampled_from(SETTINGS), min_size=1),
)
def test_added_settings_are_indented_like_the_rest(
    vehicle: str, indent: int, moves_lists_in: bool, line_end: bytes, names: set[str]
) -> None:
    """Two spaces or eight, the dashes of lists moved in or not."""
    data = without(DATA[vehicle], names)
    data.pop("modes", None)
    before = written(data, indent, indent if moves_lists_in else 0, line_end)
    absent = {".".join(keys) for keys in _none(data)}
    changes = [
        Edit(tuple(name.split(".")), example_of(name))
        for name in sorted(names)
        if not any(name.startswith(f"{section}.") for section in absent)
    ]
    after = edited(before, changes, "wren.yaml")
    root = grow(after.decode(), "wren.yaml").root
    assert root is not None
    assert set(steps(root)) <= {indent}
    assert in_order(before, after)
    assert after.count(b"\n") == after.count(line_end)


def _none(data: Any, path: tuple[str, ...] = ()) -> Iterator[tuple[str, ...]]:
    for key, below in data.items():
        if isinstance(below, dict):
            yield from _none(below, (*path, key))
        elif below == "none":
            yield (*path, key)


def copied(folder: Path) -> Path:
    """A vehicle in a copy of its shop."""
    return Path(copytree(ROOT / "examples/workshop", folder / "shop")) / "vehicles/burdock.yaml"


@pytest.mark.parametrize(("indent", "offset"), [(2, 0), (2, 2), (4, 0), (4, 4), (3, 1)])
def test_filling_keeps_the_indentation(tmp_path: Path, indent: int, offset: int) -> None:
    """As the editor of that builder does it; all lines that were there are there."""
    data = without(DATA["burdock"], {"settings"})
    path = copied(tmp_path)
    path.write_bytes(before := written(data, indent, offset))
    assert fill.run(path, True, DAY, io.StringIO()) == 0
    after = path.read_bytes()
    root = grow(after.decode(), "burdock.yaml").root
    assert root is not None and root.value["settings"]["low_voltage"]["cutoff_V"]
    assert set(steps(root)) == {indent}
    assert in_order(before, after)


@pytest.mark.parametrize(("indent", "offset"), [(2, 0), (4, 4), (3, 1)])
def test_mending_keeps_the_indentation(tmp_path: Path, indent: int, offset: int) -> None:
    """Only digits change, and no line moves."""
    data = {**DATA["burdock"]}
    data["settings"] = {**data["settings"], "battery_current_A": 90}
    path = copied(tmp_path)
    path.write_bytes(before := written(data, indent, offset))
    assert mend.run(path, True, DAY, io.StringIO()) == 0
    after = path.read_bytes()
    assert before != after
    assert before.translate(None, b"0123456789.") == after.translate(None, b"0123456789.")
    assert gonogo.check(path, as_of=DAY).stages["stand"] != "no-go"
