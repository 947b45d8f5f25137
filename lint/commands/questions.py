"""The options that a new profile begins with, and answers read as entries."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar, cast

from ..documents.error import UsageError
from ..documents.schema import Property, outline, properties
from ..documents.suggestions import WITH_UNIT, is_word_of
from ..documents.template import TemplateValue
from ..documents.text import alternatives, nearest
from ..documents.trade_units import GAUGE_UNIT, gauge_form, is_wire_gauge, trade_key
from ..documents.units import unit_of_key
from ..documents.yaml_scalar import scalar_value
from ..documents.yaml_tree import grow

Ask = Callable[[str], str]
Answers = Mapping[str, str | None]
Answer = TypeVar("Answer")
PART = ".part"
_GAUGE = r"([1-4]/0|[0-9]{1,4})"
GAUGE_TOLD = re.compile(rf"(?i:(?:awg|ga|#)\.?\s*{_GAUGE}|{_GAUGE}\s*(?:awg|ga\.?|gauge))")
TRUTHS = {"yes": "true", "no": "false", "y": "true", "n": "false"}


@dataclass(frozen=True, slots=True)
class Question:
    """One question: the entry that it fills, the option that answers it, and whether it must be.

    `instead` is the section whose figures may be given in its place.
    """

    path: str
    option: str
    asks: str = ""
    needed: bool = True
    instead: str = ""


QUESTIONS: tuple[Question, ...] = (
    Question("vehicle.name", "name", "Name of the vehicle?"),
    Question("vehicle.use", "use", "Where is it ridden: off_road, street or private_land?"),
    Question("vehicle.wheels", "wheels", needed=False),
    Question("vehicle.speed_limit_km_h", "speed-limit", needed=False),
    Question("pack.part", "pack", needed=False),
    Question("pack.cell.part", "cell", instead="pack"),
    Question("pack.series", "series", instead="pack"),
    Question("pack.parallel", "parallel", instead="pack"),
    Question("wiring.fuse.rated_A", "fuse", needed=False),
    Question("controller.part", "controller", instead="controller"),
    Question("motor.part", "motor", instead="motor"),
    Question("throttle.part", "throttle", instead="throttle"),
    Question("drivetrain.ratio", "ratio", needed=False),
    Question("drivetrain.circumference_mm", "circumference", needed=False),
)


def entries(
    answers: Answers, also: Mapping[str, TemplateValue], path: Path
) -> dict[str, TemplateValue]:
    """The options as entries of the profile at `path`."""
    values: dict[str, TemplateValue] = {}
    for question in QUESTIONS:
        answer = answers.get(question.option)
        if answer:
            values[question.path] = entered(question.path, answer, path)
    return {**values, **also}


def refuse_lacking(values: Mapping[str, TemplateValue]) -> None:
    """Raise UsageError for what a profile needs and no option gave, where nobody can be asked.

    A part's figures may be given one by one instead of its file.
    """
    lacking = [
        f"--{question.option}"
        for question in QUESTIONS
        if question.needed and question.path not in values and not _begun(question, values)
    ]
    if lacking:
        raise UsageError(f"a new profile needs {', '.join(lacking)}.")


def _begun(question: Question, values: Mapping[str, TemplateValue]) -> bool:
    """Whether what a part would tell is given in another way."""
    if not question.instead:
        return False
    if question.instead == "pack":
        whole = "pack.continuous_A" if question.option == "parallel" else "pack.full_V"
        return "pack.part" in values or whole in values or _cell_given(question, values)
    below = f"{question.instead}."
    return any(name == question.instead or name.startswith(below) for name in values)


def _cell_given(question: Question, values: Mapping[str, TemplateValue]) -> bool:
    return question.option == "cell" and any(name.startswith("pack.cell.") for name in values)


def asked(asks: str, read: Callable[[str], Answer], ask: Ask) -> Answer:
    """What was answered, asked for until it can be read.

    A slip costs one question, not all the answers before it.
    """
    trouble = ""
    while True:
        try:
            return read(ask(f"{trouble}{asks}").strip())
        except UsageError as wrong:
            trouble = f"{wrong}\n"


def entered(name: str, answer: str, path: Path) -> TemplateValue:
    """One answer as it is entered: a part's path as seen from the profile's folder."""
    if not answer or not name.endswith(PART):
        return entry_value(name, answer)
    if not os.path.isfile(answer):
        raise UsageError(f"No file {answer}; enter the path of a part file.")
    return Path(os.path.relpath(answer, path.parent)).as_posix()


def given_also(pairs: Iterable[str]) -> dict[str, TemplateValue]:
    """Further entries, each as KEY=VALUE with the key's dotted path; a section as {KEY: VALUE}."""
    values: dict[str, TemplateValue] = {}
    for pair in pairs:
        name, _, answer = pair.partition("=")
        if not name or not answer:
            raise UsageError(f"--give {pair}: expected KEY=VALUE, such as pack.connector_A=120.")
        if answer.startswith("{") and name in {
            section.path for section in outline().all_sections()
        }:
            values |= _flat(name, _in_brackets(name, answer))
            continue
        _refuse_unknown(name, f"--give {pair}")
        values[name] = entry_value(name, answer)
    return values


def _refuse_unknown(name: str, where: str) -> None:
    if name not in properties():
        meant = nearest(name, properties())
        hint = f" Did you mean {meant}?" if meant else ""
        raise UsageError(f"{where}: unknown entry {name}.{hint}")


def _flat(name: str, section: Any) -> dict[str, TemplateValue]:
    """A section's entries by their dotted paths, each held to what it may be."""
    values: dict[str, TemplateValue] = {}
    for key, value in section.items():
        path = f"{name}.{key}"
        if isinstance(value, dict):
            values |= _flat(path, value)
            continue
        _refuse_unknown(path, f"--give {name}")
        _refuse_misfit(path, value, value)
        values[path] = value
    return values


def _in_brackets(name: str, answer: str) -> Any:
    """A list or a mapping as it is written in a document."""
    tree = grow(f"it: {answer}\n", name)
    value = None if tree.root is None or tree.errors else tree.root.value.get("it")
    if not isinstance(value, dict | list):
        raise UsageError(
            f"{name}: expected a list [1, 2] or a section {{key: 1}}, found {answer!r}."
        )
    return value


def entry_value(name: str, answer: str) -> TemplateValue:
    """An answer as the value of an entry; raises UsageError where it cannot be that.

    A unit behind a number is passed over, `yes` and `no` answer what is true or false, and several
    readings are a list.
    """
    if not answer:
        raise UsageError("Required.")
    entry = properties()[name]
    if entry.kind in ("list", "stages") and ("," in answer or answer.startswith("[")):
        whole = answer if answer.startswith("[") else f"[{answer}]"
        return cast(list[Any], _in_brackets(name, whole))
    plain = answer
    if entry.kind == "boolean":
        plain = TRUTHS.get(answer.lower(), answer)
    elif entry.unit and answer.lower().endswith(entry.unit.lower()):
        plain = answer[: -len(entry.unit)].rstrip()
    read = plain if entry.kind in ("text", "date") else scalar_value(plain or answer)
    value = read if isinstance(read, bool | int | float) else plain
    _refuse_misfit(name, value, answer)
    return value


def keyed_value(name: str, answer: str) -> tuple[str, TemplateValue]:
    """An answer with the key under which it is entered: `210 lb` goes under the key in pounds.

    >>> keyed_value("vehicle.mass_kg", "210 lb"), keyed_value("vehicle.mass_kg", "95 kg")
    (('vehicle.mass_lb', 210), ('vehicle.mass_kg', 95))
    """
    other = trade_key(name)
    told = GAUGE_TOLD.fullmatch(answer) or WITH_UNIT.fullmatch(answer)
    if told is None or other is None or other not in properties():
        return name, entry_value(name, answer)
    number, unit = told.groups() if told.re is WITH_UNIT else (told[1] or told[2], GAUGE_UNIT)
    if not is_word_of(unit, unit_of_key(other)):
        return name, entry_value(name, answer)
    return other, entry_value(other, number)


def _refuse_misfit(name: str, value: Any, answer: Any) -> None:
    entry = properties()[name]
    is_gauge = entry.unit == GAUGE_UNIT
    if not (is_wire_gauge(value, entry.highest or 0) if is_gauge else _fits(value, entry)):
        wanted = gauge_form(entry.highest or 0) if is_gauge else _wanted(entry)
        raise UsageError(f"{name}: expected {wanted}, found {answer!r}.")


def _fits(value: Any, entry: Property) -> bool:
    """Whether a plain entry can have this value; a list or a section is left to the schema."""
    if value == "none" and entry.can_be_none:
        return True
    if entry.kind == "boolean":
        return isinstance(value, bool)
    if entry.kind == "text":
        return not entry.choices or value in entry.choices
    if entry.kind not in ("number", "integer"):
        return True
    if not isinstance(value, int | float) or isinstance(value, bool):
        return False
    if entry.kind == "integer" and value != int(value):
        return False
    low, high = entry.lowest, entry.highest
    above = low is None or value > low or (value == low and not entry.strictly_above)
    return above and (high is None or value <= high)


def _wanted(entry: Property) -> str:
    if entry.kind == "boolean":
        return "true or false"
    if entry.kind == "text":
        return alternatives(entry.choices)
    what = "a whole number" if entry.kind == "integer" else "a number"
    if entry.lowest is None or entry.highest is None:
        return what
    link = "above {:g} and up to {:g}" if entry.strictly_above else "from {:g} to {:g}"
    return f"{what} {link.format(entry.lowest, entry.highest)}"
