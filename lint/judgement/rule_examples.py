"""A rule tried on its own examples: whether each is one at all, and comes to what it says."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from ..documents.day import day_of
from ..documents.given import is_nothing
from ..documents.location import NOWHERE
from ..documents.profile import Given
from ..documents.schema import allowances, canonical
from ..documents.text import alternatives
from ..expressions.names import rule_names
from ..expressions.types import Type
from ..quantities.book import IN_BASE, Book
from ..quantities.number import is_number
from .evaluation import ruling
from .rule import Example, Rule

EXAMPLE_DAY = "2026-01-01"  # an example that depends on a day gives that day's difference


class Misfit(NamedTuple):
    """An example that its rule does not meet.

    `unknown` names a quantity that is none, `unlike` one whose value is of another sort than it has.
    """

    number: int
    wanted: str
    came_to: str | None
    unknown: str | None = None
    key: str = "outcome"
    unlike: str | None = None


def misfits(rule: Rule) -> Iterator[Misfit]:
    """The examples of a rule that come to something else than they say."""
    names = rule_names(rule.subject)
    for number, example in enumerate(rule.examples):
        unknown = next((name for name in example.given if name not in names), None)
        if unknown is not None:
            yield Misfit(number, example.outcome, None, unknown)
            continue
        unlike = next(
            (
                (name, wanted)
                for name, value in example.given.items()
                if (wanted := _wanted(name, value, names[name]))
            ),
            None,
        )
        if unlike is not None:
            yield Misfit(number, unlike[1], None, unlike=unlike[0])
            continue
        decided = ruling(rule, book_of_example(example))
        if decided.outcome != example.outcome:
            yield Misfit(number, example.outcome, decided.outcome)
        elif example.severity not in (None, decided.severity):
            yield Misfit(number, f"{example.severity}", decided.severity, None, "severity")


STAGE = {"driving_teeth", "driven_teeth"}
_READ_BACK = "readings.entered."  # what fields showed, each as a text


def _wanted(name: str, value: Any, type_: Type) -> str | None:
    """What an example should give for a quantity, where it gives something else."""
    entry = canonical().get(name.removeprefix(IN_BASE))
    if value == "none" and entry is not None and entry.can_be_none:
        return None
    if type_.sort == "numbers":
        items = value if isinstance(value, list) else [value]
        return None if all(map(is_number, items)) else "a number, or a list of numbers"
    if type_.sort == "texts":
        one = Type("text", choices=type_.choices)
        fits = isinstance(value, list) and all(_is(one, item) for item in value)
        return None if fits else f"a list of {alternatives(type_.choices) or 'texts'}"
    if type_.sort == "structure":
        if name.startswith(_READ_BACK):
            fits = isinstance(value, list) and all(isinstance(line, str) for line in value)
            return None if fits else "a list of texts such as 'max_rpm: 4200'"
        return None if _are_stages(value) else "a list of stages, each with its teeth"
    if entry is not None and entry.kind == "date":
        return None if _is_day(value) else "a date such as 2026-05-18"
    if _is(type_, value):
        return None
    if type_.sort == "number":
        unit = type_.unit.spoken if type_.unit is not None else ""
        return f"a number of {unit}" if unit else "a number"
    return alternatives(type_.choices) or ("true or false" if type_.sort == "boolean" else "a text")


def _is(type_: Type, value: Any) -> bool:
    if type_.sort == "number":
        return is_number(value)
    if type_.sort == "boolean":
        return isinstance(value, bool)
    return isinstance(value, str) and (not type_.choices or value in type_.choices)


def _are_stages(value: Any) -> bool:
    return isinstance(value, list) and all(
        isinstance(stage, dict) and stage.keys() == STAGE and all(map(is_number, stage.values()))
        for stage in value
    )


def _is_day(value: Any) -> bool:
    try:
        return isinstance(value, str) and bool(day_of(value))
    except ValueError:
        return False


def book_of_example(example: Example) -> Book:
    """The book of an example: house defaults hold, typicals only where a chemistry is given.

    A section that is `none` takes all below it away; a number that is `none` is not there. Names
    that begin with `base.` make it the book of a mode over such base settings.
    """
    given: dict[str, Given] = {}
    absent: list[str] = []
    for name, entered in example.given.items():
        value = _value(name, entered)
        given[name] = Given(name, value, name, entered, 1.0, NOWHERE)
        if entered == "none" and _kind(name) == "section":
            absent.append(name)
    house = {name: allowance.default for name, allowance in allowances().items()}
    of_base = {name for name in given if name.startswith(IN_BASE)}
    own = {name: told for name, told in given.items() if name not in of_base}
    if not of_base:
        return Book(own, house, EXAMPLE_DAY, absent)
    base = {name.removeprefix(IN_BASE): given[name] for name in of_base}
    return Book({**own, **base}, house, EXAMPLE_DAY, absent).overlaid(dict(own))


def _kind(name: str) -> str:
    entry = canonical().get(name.removeprefix(IN_BASE))
    return entry.kind if entry is not None else ""


def _value(name: str, entered: Any) -> Any:
    if isinstance(entered, list):
        return tuple(entered)
    if _kind(name) == "list" and is_number(entered):
        return (entered,)
    entry = canonical().get(name.removeprefix(IN_BASE))
    return None if entry is not None and is_nothing(entry, entered) else entered
