"""The readings of a bring-up that were noted in a file, away from the screen."""

from __future__ import annotations

from pathlib import Path

from ..documents.error import DocumentErrors, UsageError
from ..documents.files import LARGEST
from ..documents.fresh_file import reason_of
from ..documents.template import TemplateValue
from ..documents.text import decode
from ..documents.yaml_tree import grow
from .questions import section_entries

READINGS_SECTION = "readings"


def answers_in(path: Path) -> dict[str, TemplateValue]:
    """The readings of a file, by their keys, as in a profile; raises UsageError for what is none."""
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)
    except OSError as trouble:
        raise UsageError(f"--answers {path}: {reason_of(trouble)}.") from trouble
    if len(data) > LARGEST:
        raise UsageError(f"--answers {path}: larger than any file of readings.")
    tree = grow(decode(data, str(path)), str(path))
    if tree.errors:
        raise DocumentErrors(tree.errors)
    value = tree.root.value if tree.root is not None else None
    readings = value.get(READINGS_SECTION) if isinstance(value, dict) else None
    if not isinstance(readings, dict):
        raise UsageError(f"--answers {path}: expected a section `readings`, as in a profile.")
    return section_entries(READINGS_SECTION, readings, path)
