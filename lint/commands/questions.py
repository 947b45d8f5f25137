"""The few questions that a new profile begins with, and their answers as entries."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from ..documents.edit import Value
from ..documents.error import UsageError
from ..documents.scalar import value_of
from ..documents.schema import properties

Ask = Callable[[str], str]
Kind = Literal["text", "number", "part"]
Answers = Mapping[str, str | None]


@dataclass(frozen=True, slots=True)
class Question:
    """One question: the entry that it fills, the option that answers it, and whether it must be.

    `instead` names an entry that makes the question pointless once it is answered.
    """

    path: str
    option: str
    asks: str
    kind: Kind
    needed: bool = True
    instead: str = ""


QUESTIONS: tuple[Question, ...] = (
    Question("vehicle.name", "name", "What is the vehicle called?", "text"),
    Question("vehicle.use", "use", "Where is it ridden: off_road, street or private_land?", "text"),
    Question("vehicle.wheels", "wheels", "How many wheels has it?", "number", False),
    Question(
        "vehicle.speed_limit_km_h", "speed-limit", "Speed limit in km/h, if any?", "number", False
    ),
    Question("pack.part", "pack", "Part file of the pack, if it was bought whole?", "part", False),
    Question("pack.cell.part", "cell", "Part file of the cell?", "part", True, "pack.part"),
    Question("pack.series", "series", "Cells in series?", "number", True, "pack.part"),
    Question("pack.parallel", "parallel", "Cells in parallel?", "number", True, "pack.part"),
    Question("wiring.fuse.rated_A", "fuse", "Amperes on the main fuse?", "number", False),
    Question("controller.part", "controller", "Part file of the controller?", "part"),
    Question("motor.part", "motor", "Part file of the motor?", "part"),
    Question("throttle.part", "throttle", "Part file of the throttle?", "part"),
    Question(
        "drivetrain.ratio", "ratio", "Turns of the rotor for one of the wheel?", "number", False
    ),
    Question("drivetrain.circumference_mm", "circumference", "Wheel round in mm?", "number", False),
)


def entries(answers: Answers, path: Path, ask: Ask | None) -> dict[str, Value | bool]:
    """The answers as entries of the profile at `path`; what is missing is asked for.

    Raises UsageError where nobody can be asked.
    """
    found: dict[str, Value | bool] = {}
    lacking: list[str] = []
    for question in QUESTIONS:
        if question.instead in found:
            continue
        answer = answers.get(question.option)
        if answer is None and ask is not None:
            answer = _asked(question, ask)
        if answer:
            found[question.path] = entered(question.path, question.kind, answer, path)
        elif question.needed:
            lacking.append(f"--{question.option}")
    if lacking:
        raise UsageError(f"a new profile needs {', '.join(lacking)}.")
    return found


def _asked(question: Question, ask: Ask) -> str:
    """The answer, asked for until there is one; an empty line passes over what need not be."""
    while True:
        answer = ask(question.asks if question.needed else f"{question.asks} (may stay empty)")
        if answer.strip() or not question.needed:
            return answer.strip()


def entered(name: str, kind: Kind, answer: str, path: Path) -> Value | bool:
    """One answer as it is entered: a part's path as seen from the profile's folder."""
    if kind == "text":
        return answer
    if kind == "part":
        if not Path(answer).is_file():
            raise UsageError(f"{answer}: there is no such part file.")
        return Path(os.path.relpath(answer, path.parent)).as_posix()
    value = value_of(answer)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise UsageError(f"{name} is a number, not {answer!r}.")
    return value


def required(
    names: Iterable[str], found: Mapping[str, Value | bool], ask: Ask | None
) -> dict[str, Value | bool]:
    """What the shop requires of every build and nobody has answered yet."""
    also: dict[str, Value | bool] = {}
    for name in names:
        entry = properties().get(name)
        if ask is None or entry is None or name.startswith(("settings.", "readings.")):
            continue
        if name in found or any(key.startswith(f"{name}.") for key in found):
            continue
        below = [one for one in properties() if one.startswith(f"{name}.")]
        answer = ask(f"The shop requires {name}. {entry.description}").strip()
        key = below[0] if entry.kind == "section" and answer != "none" and below else name
        also |= given_also([f"{key}={answer}"])
    return also


def given_also(pairs: Iterable[str]) -> dict[str, Value | bool]:
    """Further entries, each as KEY=VALUE with the key's dotted path."""
    found: dict[str, Value | bool] = {}
    for pair in pairs:
        name, equals, answer = pair.partition("=")
        if not equals or name not in properties():
            raise UsageError(f"--give {pair}: it takes KEY=VALUE, such as pack.connector_A=120.")
        value = value_of(answer)
        found[name] = value if isinstance(value, bool | int | float) else answer
    return found
