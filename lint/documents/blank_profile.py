"""A blank profile as text: every entry a comment with an example, to be uncommented line by line."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from textwrap import wrap
from typing import Any

from .motors import MOTOR, MOTORS, OF_ONE_MOTOR
from .schema import Property, SchemaSection, outline, properties, resolved, schema
from .template import WIDEST, TemplateValue, scalar_text
from .text import alternatives
from .units import unit_symbol
from .written import SECTION_INDENT

REMARK = "##"  # stays a comment when an editor uncomments the lines of a section
ENTRY = "# "  # goes where a line is answered
_CONTROLLER, _READINGS = "controller", "readings"
ONE_BOX = (
    "A controller that drives all motors stands once, at the left margin, and under no motor. "
    "Settings of one motor go under it as settings, those of all at the left margin."
)
_UNITS_FROM = 34  # the column of the units, where the line leaves room


def blank_text(
    names: Collection[str],
    values: Mapping[str, TemplateValue],
    heading: str,
    motors: Sequence[str] = (),
) -> str:
    """A profile that holds `values`, and each other entry of `names` as a comment.

    A section's line is a comment too while nothing in it is given. Each of several `motors` has a
    controller and readings of its own; the values of a motor and a controller are those of each.
    """
    lines = ["gonogo: profile/1"]
    for paragraph in heading.splitlines():
        lines += _remarks(paragraph, 0) if paragraph else [REMARK]
    shared = [name for name in names if not (motors and is_of_one_motor(name))]
    for key, entry in outline().entries.items():
        if not isinstance(entry, SchemaSection) or (motors and key == _CONTROLLER):
            continue
        if motors and key == MOTOR:
            section = list(_several(motors, names, values))
        else:
            section = list(_section(key, entry, shared, values, 0))
        lines += ["", *section] if section else []
    return "\n".join(lines) + "\n"


def is_of_one_motor(name: str) -> bool:
    """Whether a reading is taken on one motor and says nothing about another.

    >>> is_of_one_motor("readings.no_load.rpm"), is_of_one_motor("readings.throttle.rest_V")
    (True, False)
    """
    section, *keys = name.split(".")
    return section == _READINGS and any(tuple(keys[: len(own)]) == own for own in OF_ONE_MOTOR)


def _several(
    motors: Sequence[str], names: Collection[str], values: Mapping[str, TemplateValue]
) -> Iterator[str]:
    """The section of several motors: under each its label, its controller and its readings."""
    own = [name for name in names if is_of_one_motor(name)]
    given = any(name.startswith((f"{MOTOR}.", f"{_CONTROLLER}.")) for name in values)
    entries = outline().entries
    yield from _remarks(node_of(MOTORS)["description"], 0)
    yield from _remarks(ONE_BOX, 0)
    yield f"{'' if given else ENTRY}{MOTORS}:"
    for name in motors:
        for key, wanted in ((MOTOR, names), (_CONTROLLER, names), (_READINGS, own)):
            section = entries[key]
            assert isinstance(section, SchemaSection)
            first = key == MOTOR
            told = {} if key == _READINGS else values
            lines = _section(key, section, wanted, told, 1 if first else 2)
            yield from _renamed(lines, name, given) if first else lines


def _renamed(lines: Iterator[str], name: str, given: bool) -> Iterator[str]:
    """The section of a motor under its own name; its line counts where anything below is `given`."""
    heads = (f"{_margin(1)}{MOTOR}:", f"{ENTRY}{_margin(1)}{MOTOR}:")
    for line in lines:
        head = line.rstrip() in heads
        yield f"{'' if given else ENTRY}{_margin(1)}{scalar_text(name)}:" if head else line


def _section(
    path: str,
    section: SchemaSection,
    names: Collection[str],
    values: Mapping[str, TemplateValue],
    depth: int,
) -> Iterator[str]:
    below = f"{path}."
    given = any(name.startswith(below) for name in values)
    if not given and path not in values and not any(name.startswith(below) for name in names):
        return
    key, margin = path.rsplit(".", 1)[-1], _margin(depth)
    if path in values:
        yield f"{margin}{key}: {scalar_text(values[path])}"
        return
    or_none = section.itself is not None
    yield from _remarks(" ".join(_about(path, section)), depth)
    yield _noted(f"{'' if given else ENTRY}{margin}{key}:", f"or {key}: none" if or_none else "")
    if f"{path}.part" in values:
        yield f"{_margin(depth + 1)}part: {scalar_text(values[f'{path}.part'])}"
    for name, entry in section.entries.items():
        inner = f"{path}.{name}"
        if isinstance(entry, SchemaSection):
            yield from _section(inner, entry, names, values, depth + 1)
        elif inner in values:
            yield f"{_margin(depth + 1)}{name}: {scalar_text(values[inner])}"
        elif inner in names and not _other_given(entry, values):
            yield from _entry(entry, depth + 1)


def _about(path: str, section: SchemaSection) -> Iterator[str]:
    yield node_of(path).get("description", "")
    if section.takes:
        yield "Or part: FILE, with the figures of a part file."


def _entry(entry: Property, depth: int) -> Iterator[str]:
    """What an entry is for, then its line with an example and its unit."""
    choices = entry.choices if entry.kind == "text" else ()
    can_be = f" It can be {alternatives(choices)}." if choices else ""
    yield from _remarks(f"{entry.description}{can_be}", depth)
    key = entry.path.rsplit(".", 1)[-1]
    example = scalar_text(example_of(entry.path))
    notes = (
        unit_symbol(entry.unit) if entry.unit else "",
        "true or false" if entry.kind == "boolean" else "",
        "or none" if entry.can_be_none and not choices else "",
        *(f"or {other}" for other in _others(entry)),
    )
    line = f"{ENTRY}{_margin(depth)}{key}: {example}"
    yield _noted(line, ", ".join(note for note in notes if note))


def _others(entry: Property) -> list[str]:
    """The keys beside this one that say the same in another way."""
    return [
        other.path.rsplit(".", 1)[-1]
        for other in properties().values()
        if other.quantity == entry.quantity and other.path != entry.path
    ]


def _other_given(entry: Property, values: Mapping[str, TemplateValue]) -> bool:
    """Whether a value is given under another key of the pair, beside which this one is refused."""
    section = entry.path.rpartition(".")[0]
    return any(f"{section}.{other}" in values for other in _others(entry))


def example_of(name: str) -> Any:
    """The first example of an entry in the schema, else its first choice; true where it is one of two."""
    node = node_of(name)
    entry = properties()[name]
    if node.get("examples"):
        return node["examples"][0]
    return True if entry.kind == "boolean" else next(iter(entry.choices), "")


def node_of(name: str) -> Mapping[str, Any]:
    """The schema's node of an entry or section by its dotted path, with what it refers to."""
    node: Mapping[str, Any] = schema("profile")
    for key in name.split("."):
        form = resolved(node["anyOf"][1]) if "x-none" in node else node
        below = form["properties"][key]
        node = {**resolved(below), **below}
    return {**(resolved(node["anyOf"][1]) if "x-none" in node else {}), **node}


def _remarks(text: str, depth: int) -> Iterator[str]:
    mark = f"{REMARK} {_margin(depth)}"
    return (f"{mark}{line}" for line in wrap(text, WIDEST - len(mark), break_on_hyphens=False))


def _noted(line: str, note: str) -> str:
    return f"{line.ljust(_UNITS_FROM)}  # {note}" if note else line


def _margin(depth: int) -> str:
    return " " * (SECTION_INDENT * depth)
