"""The readings of a bring-up that were noted in a file, away from the screen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from ..documents.error import DocumentErrors, UsageError
from ..documents.files import LARGEST
from ..documents.fresh_file import reason_of
from ..documents.motors import MOTORS, key_under, motor_of
from ..documents.template import TemplateValue
from ..documents.text import decode
from ..documents.yaml_tree import grow
from .questions import given_also, section_entries

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
    found = dict(_sections(value)) if isinstance(value, dict) else {}
    if not found or not all(isinstance(one, dict) for one in found.values()):
        raise UsageError(f"--answers {path}: expected a section `readings`, as in a profile.")
    return {
        key_under(motor, name): value
        for motor, readings in found.items()
        for name, value in section_entries(READINGS_SECTION, readings, path).items()
    }


def _sections(root: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    """The readings of the vehicle, under "", and of each motor that has some."""
    if READINGS_SECTION in root:
        yield "", root[READINGS_SECTION]
    motors = root.get(MOTORS)
    for motor, own in motors.items() if isinstance(motors, dict) else ():
        if isinstance(own, dict) and READINGS_SECTION in own:
            yield str(motor), own[READINGS_SECTION]


def readings_given(pairs: Iterable[str]) -> dict[str, TemplateValue]:
    """Readings as KEY=VALUE, the key as it stands in a profile: `motors.left.readings.wheel_turned=forward`."""
    values: dict[str, TemplateValue] = {}
    for pair in map(str.strip, pairs):
        motor = motor_of(pair.partition("=")[0])
        inner = given_also([pair.removeprefix(key_under(motor, ""))])
        values |= {key_under(motor, name): value for name, value in inner.items()}
    return values
