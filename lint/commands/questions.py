"""The options that a new profile begins with, and answers read as entries."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

from ..documents.blank_profile import example_of
from ..documents.error import UsageError
from ..documents.schema import Property, SchemaSection, outline, properties
from ..documents.template import TemplateValue, scalar_text
from .answer import entry_value, in_brackets, refuse_misfit
from .slips import hint

Ask = Callable[[str], str]
Answers = Mapping[str, str | None]
Answer = TypeVar("Answer")
PART = ".part"
HELP = "?"
YES, NO = ("yes", "y"), ("no", "n")
FAILED = ("failed", "fail", "stop")
UNPLACED = Path("profile.yaml")


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


def yes_or_no(asks: str, ask: Ask, enter: bool, explains: str) -> bool:
    """An answer that is one of the two; `enter` is what an empty one means, `explains` answers `?`."""

    def read(answer: str) -> bool:
        if not answer:
            return enter
        if answer == HELP:
            raise UsageError(explains)
        if answer.lower() in YES:
            return True
        if answer.lower() in NO:
            return False
        raise UsageError("Expected yes or no; ? explains it.")

    return asked(f"{asks} yes or no? (Enter: {'yes' if enter else 'no'})", read, ask)


def done_or_failed(asks: str, ask: Ask, explains: str) -> bool | None:
    """Whether work was done: true, false where it failed, None where it is left for later."""

    def read(answer: str) -> bool | None:
        if answer == HELP:
            raise UsageError(explains)
        if not answer or answer.lower() in NO:
            return None
        if answer.lower() in YES or answer.lower() in FAILED:
            return answer.lower() in YES
        raise UsageError("Expected yes, failed or Enter; ? explains it.")

    return asked(f"{asks} yes or failed? (Enter: later)", read, ask)


def entered(name: str, answer: str, path: Path) -> TemplateValue:
    """One answer as it is entered: a part's path as seen from the profile's folder."""
    if not answer or not name.endswith(PART):
        return entry_value(name, answer)
    if not os.path.isfile(answer):
        raise UsageError(f"No file {answer}; enter the path of a part file.")
    return Path(os.path.relpath(answer, path.parent)).as_posix()


def given_also(pairs: Iterable[str], path: Path = UNPLACED) -> dict[str, TemplateValue]:
    """Further entries for the profile at `path`, each as KEY=VALUE with the key's dotted path.

    A section is given as {KEY: VALUE}, a list as 1, 2 or [1, 2], a part's file as SECTION.part=FILE.
    """
    sections = {section.path: section for section in outline().all_sections()}
    values: dict[str, TemplateValue] = {}
    for pair in pairs:
        name, _, answer = (piece.strip() for piece in pair.partition("="))
        if not name or not answer:
            raise UsageError(f"--give {pair}: expected KEY=VALUE, such as pack.connector_A=120.")
        if name in sections and answer != "none":
            if not answer.startswith("{"):
                raise UsageError(f"--give {pair}: {_section_wanted(sections[name])}.")
            values |= section_entries(name, in_brackets(name, answer), path)
        elif name.removesuffix(PART) in sections and name.endswith(PART):
            values |= _part_of(name, answer, path)
        else:
            _refuse_unknown(name, f"--give {pair}")
            values[name] = entry_value(name, answer)
    return values


def _section_wanted(section: SchemaSection) -> str:
    """How a section is given, by the first number or word that it may hold."""
    first = next((one for one in section.entries.values() if isinstance(one, Property)), None)
    key = first.path.rsplit(".", 1)[-1] if first is not None else "KEY"
    example = scalar_text(example_of(first.path)) if first is not None else "VALUE"
    none = " or none" if section.itself is not None else ""
    return f"expected a section such as {section.path}={{{key}: {example}}}{none}"


def _part_of(name: str, answer: Any, path: Path) -> dict[str, TemplateValue]:
    """A part's file, where the section can be filled by one."""
    section = name.removesuffix(PART)
    if not any(one.path == section and one.takes for one in outline().all_sections()):
        raise UsageError(f"--give {name}: no part file fills {section}.")
    return {name: entered(name, str(answer), path)}


def _refuse_unknown(name: str, where: str) -> None:
    if name not in properties():
        said = hint(name, properties(), "`gonogo help keys` lists all.")
        raise UsageError(f"{where}: unknown entry {name}. {said}")


def section_entries(name: str, section: Any, path: Path) -> dict[str, TemplateValue]:
    """A section's entries by their dotted paths, each held to what it may be."""
    values: dict[str, TemplateValue] = {}
    for key, value in section.items():
        inner = f"{name}.{key}"
        of_loads = inner in properties() and properties()[inner].kind == "loads"
        if isinstance(value, dict) and not of_loads:
            values |= section_entries(inner, value, path)
        elif inner.endswith(PART):
            values |= _part_of(inner, value, path)
        else:
            _refuse_unknown(inner, f"--give {name}")
            refuse_misfit(inner, value, value)
            values[inner] = value
    return values
