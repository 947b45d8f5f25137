"""A new profile as text: its entries in the order of the schema, each with the reason beside it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from textwrap import wrap
from typing import Any

from .schema import SchemaSection, outline
from .written import SECTION_INDENT, EnteredValue, number_text

# Words that YAML readers agree on without quotation marks.
PLAIN_TEXT = re.compile(r"[A-Za-z./][A-Za-z0-9 ./_-]*")
WIDEST = 80
MEANT = frozenset(("true", "false", "null", "yes", "no", "on", "off", "none", "y", "n"))
# What an entry of a new document may hold: a scalar, a list of them, or of small mappings.
TemplateValue = EnteredValue | bool | list[Any] | dict[str, Any]


def profile_text(
    values: Mapping[str, TemplateValue],
    reasons: Mapping[str, str],
    heading: str,
    closing: str,
) -> str:
    """A profile that holds the values by their dotted paths, parts as `motor.part`.

    `reasons` stand as comments above their entries; a section's reason above the section.
    """
    lines = ["gonogo: profile/1", *(f"# {line}" for line in heading.splitlines())]
    for key, entry in outline().entries.items():
        if isinstance(entry, SchemaSection):
            section = list(_section(key, entry, values, reasons, 0))
            lines += ["", *section] if section else []
    lines += ["", *(f"# {line}".rstrip() for line in closing.splitlines())]
    return "\n".join(lines) + "\n"


def part_text(kind: str, values: Mapping[str, TemplateValue], name: str, source: str) -> str:
    """A part file that holds a part's own keys, such as `pole_pairs`, and where they come from."""
    section = next(one for one in outline().all_sections() if one.takes == kind)
    whole = {f"{section.path}.{key}": value for key, value in values.items()}
    lines = _section(section.path, section, whole, {}, 0)
    about = [f"  name: {scalar_text(name)}", f"  source: {{title: {scalar_text(source)}}}"]
    return "\n".join(["gonogo: part/1", "part:", *about, *lines]) + "\n"


def _section(
    path: str,
    section: SchemaSection,
    values: Mapping[str, TemplateValue],
    reasons: Mapping[str, str],
    depth: int,
) -> Iterator[str]:
    margin = " " * (SECTION_INDENT * depth)
    key = path.rsplit(".", 1)[-1]
    if path in values:
        yield from _entry(path, values[path], reasons, margin)
        return
    if not any(name.startswith(f"{path}.") for name in values):
        return
    yield from _reason(reasons.get(path, ""), margin)
    yield f"{margin}{key}:"
    inner = margin + " " * SECTION_INDENT
    if f"{path}.part" in values:
        yield from _entry(f"{path}.part", values[f"{path}.part"], reasons, inner)
    for name, entry in section.entries.items():
        below = f"{path}.{name}"
        if isinstance(entry, SchemaSection):
            yield from _section(below, entry, values, reasons, depth + 1)
        elif below in values:
            yield from _entry(below, values[below], reasons, inner)


def _entry(
    path: str, value: TemplateValue, reasons: Mapping[str, str], margin: str
) -> Iterator[str]:
    yield from _reason(reasons.get(path, ""), margin)
    yield f"{margin}{path.rsplit('.', 1)[-1]}: {scalar_text(value)}"


def _reason(reason: str, margin: str) -> list[str]:
    """A reason as a comment, in lines that are not too wide to read."""
    mark = f"{margin}# "
    return [f"{mark}{line}" for line in wrap(reason, WIDEST - len(mark), break_on_hyphens=False)]


def scalar_text(value: TemplateValue) -> str:
    """A value as YAML, in quotation marks where a reader could take it for something else.

    >>> scalar_text("hub 7"), scalar_text("no"), scalar_text(48.0), scalar_text("a: b")
    ('hub 7', '"no"', '48', '"a: b"')
    >>> scalar_text([0.84, 0.9]), scalar_text([{"driving_teeth": 14, "driven_teeth": 52}])
    ('[0.84, 0.9]', '[{driving_teeth: 14, driven_teeth: 52}]')
    """
    if isinstance(value, list):
        return f"[{', '.join(map(scalar_text, value))}]"
    if isinstance(value, dict):
        pairs = (f"{scalar_text(str(key))}: {scalar_text(one)}" for key, one in value.items())
        return f"{{{', '.join(pairs)}}}"
    if isinstance(value, bool):
        return "true" if value else "false"
    if not isinstance(value, str):
        return number_text(value)
    plain = PLAIN_TEXT.fullmatch(value) and not value.endswith(" ")
    if value == "none" or (plain and value.lower() not in MEANT):
        return value
    return json.dumps(value, ensure_ascii=False)
