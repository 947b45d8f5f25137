"""The few questions that a new profile begins with, and their answers as entries."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TypeVar

from ..documents.edit import EnteredValue
from ..documents.error import UsageError
from ..documents.schema import Property, properties
from ..documents.text import alternatives, nearest
from ..documents.yaml_scalar import scalar_value
from ..judgement.verdict import ask_of

Ask = Callable[[str], str]
Answers = Mapping[str, str | None]
Answer = TypeVar("Answer")
PART = ".part"


@dataclass(frozen=True, slots=True)
class Question:
    """One question: the entry that it fills, the option that answers it, and whether it must be.

    `instead` names an entry that makes the question pointless once it is answered.
    """

    path: str
    option: str
    asks: str
    needed: bool = True
    instead: str = ""


QUESTIONS: tuple[Question, ...] = (
    Question("vehicle.name", "name", "Name of the vehicle?"),
    Question("vehicle.use", "use", "Used on off_road, street or private_land?"),
    Question("vehicle.wheels", "wheels", "How many wheels?", False),
    Question("vehicle.speed_limit_km_h", "speed-limit", "Speed limit in km/h, if any?", False),
    Question("pack.part", "pack", "Part file of the pack, if bought complete?", False),
    Question("pack.cell.part", "cell", "Part file of the cell?", True, "pack.part"),
    Question("pack.series", "series", "Cells in series?", True, "pack.part"),
    Question("pack.parallel", "parallel", "Cells in parallel?", True, "pack.part"),
    Question("wiring.fuse.rated_A", "fuse", "Main fuse rating in A?", False),
    Question("controller.part", "controller", "Part file of the controller?"),
    Question("motor.part", "motor", "Part file of the motor?"),
    Question("throttle.part", "throttle", "Part file of the throttle?"),
    Question("drivetrain.ratio", "ratio", "Overall reduction: motor turns per wheel turn?", False),
    Question(
        "drivetrain.circumference_mm",
        "circumference",
        "Rolling circumference of the driven wheel in mm?",
        False,
    ),
)


def entries(answers: Answers, path: Path, ask: Ask | None) -> dict[str, EnteredValue | bool]:
    """The answers as entries of the profile at `path`; what is missing is asked for.

    Raises UsageError where nobody can be asked.
    """
    values: dict[str, EnteredValue | bool] = {}
    lacking: list[str] = []
    for question in QUESTIONS:
        if question.instead in values:
            continue
        answer = answers.get(question.option)
        if answer is None and ask is not None:
            asks = question.asks if question.needed else f"{question.asks} (optional, Enter skips)"
            value = asked(asks, partial(_answered, question, path), ask)
        else:
            value = entered(question.path, answer, path) if answer else None
        if value is not None:
            values[question.path] = value
        elif question.needed:
            lacking.append(f"--{question.option}")
    if lacking:
        raise UsageError(f"a new profile needs {', '.join(lacking)}.")
    return values


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


def _answered(question: Question, path: Path, answer: str) -> EnteredValue | bool | None:
    if not answer and not question.needed:
        return None
    return entered(question.path, answer, path)


def entered(name: str, answer: str, path: Path) -> EnteredValue | bool:
    """One answer as it is entered: a part's path as seen from the profile's folder."""
    if not answer or not name.endswith(PART):
        return entry_value(name, answer)
    if not os.path.isfile(answer):
        raise UsageError(f"No file {answer}; enter the path of a part file.")
    return Path(os.path.relpath(answer, path.parent)).as_posix()


def required(
    names: Iterable[str], values: Mapping[str, EnteredValue | bool], ask: Ask | None
) -> dict[str, EnteredValue | bool]:
    """What the shop requires of every build and nobody has answered yet."""
    also: dict[str, EnteredValue | bool] = {}
    for name in names:
        entry = properties().get(name)
        if ask is None or entry is None or name.startswith(("settings.", "readings.")):
            continue
        if name in values or any(key.startswith(f"{name}.") for key in values):
            continue
        asks = f"Required by house.yaml: {name}. {entry.description}"
        also |= asked(asks, partial(_demanded, name), ask)
    return also


def for_the_stand(names: Iterable[str], ask: Ask | None) -> dict[str, EnteredValue | bool]:
    """What the stand still lacks of the build, as far as it is known."""
    told: dict[str, EnteredValue | bool] = {}
    for name in names:
        if ask is not None and not name.startswith(("settings.", "readings.")):
            asks = f"For the stand, {ask_of(name)}? (Enter if not known)"
            told |= asked(asks, partial(_if_known, name), ask)
    return told


def _if_known(name: str, answer: str) -> dict[str, EnteredValue | bool]:
    return _demanded(name, answer) if answer else {}


def _demanded(name: str, answer: str) -> dict[str, EnteredValue | bool]:
    """The answer about a required entry; a section that is there is begun with its first key."""
    below = [entry for entry in properties() if entry.startswith(f"{name}.")]
    key = below[0] if below and answer != "none" else name
    return {key: entry_value(key, answer)}


def given_also(pairs: Iterable[str]) -> dict[str, EnteredValue | bool]:
    """Further entries, each as KEY=VALUE with the key's dotted path."""
    values: dict[str, EnteredValue | bool] = {}
    for pair in pairs:
        name, _, answer = pair.partition("=")
        if not name or not answer:
            raise UsageError(f"--give {pair}: expected KEY=VALUE, such as pack.connector_A=120.")
        if name not in properties():
            meant = nearest(name, properties())
            hint = f" Did you mean {meant}?" if meant else ""
            raise UsageError(f"--give {pair}: unknown entry {name}.{hint}")
        values[name] = entry_value(name, answer)
    return values


def entry_value(name: str, answer: str) -> EnteredValue | bool:
    """An answer as the value of an entry; raises UsageError where it cannot be that."""
    if not answer:
        raise UsageError("Required.")
    entry = properties()[name]
    read = answer if entry.kind in ("text", "date") else scalar_value(answer)
    value = read if isinstance(read, bool | int | float) else answer
    if not _fits(value, entry):
        raise UsageError(f"{name}: expected {_wanted(entry)}, found {answer!r}.")
    return value


def _fits(value: EnteredValue | bool, entry: Property) -> bool:
    """Whether a plain entry can have this value; a list or a section is left to the schema."""
    if value == "none" and entry.can_be_none:
        return True
    if entry.kind == "boolean":
        return isinstance(value, bool)
    if entry.kind == "text":
        return not entry.choices or value in entry.choices
    if entry.kind not in ("number", "integer"):
        return True
    if isinstance(value, str | bool) or (entry.kind == "integer" and value != int(value)):
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
