"""A rule tried on its own examples, as any other gauge is before it is used."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..documents.dataclass import dataclass
from ..documents.position import Place
from ..documents.profile import Given
from ..documents.schema import allowances, canonical
from ..quantities.book import Book
from .rule import Example, Outcome, Rule
from .ruling import ruling
from .vocabulary import vocabulary

NOWHERE = Place("", 1, 1)
DAY = "2026-01-01"  # an example that hangs on a day gives that day's difference


@dataclass(frozen=True, slots=True)
class Misfit:
    """An example that its rule does not meet; `unknown` names a quantity that is none."""

    number: int
    wanted: Outcome
    came_to: Outcome | None
    unknown: str | None = None


def misfits(rule: Rule) -> Iterator[Misfit]:
    """The examples of a rule that come to something else than they say."""
    names = vocabulary(rule.subject)
    for number, example in enumerate(rule.examples):
        unknown = next((name for name in example.given if name not in names), None)
        if unknown is not None:
            yield Misfit(number, example.outcome, None, unknown)
            continue
        came_to = ruling(rule, book_of_example(example)).outcome
        if came_to != example.outcome:
            yield Misfit(number, example.outcome, came_to)


def book_of_example(example: Example) -> Book:
    """The book of an example: house defaults hold, typicals only where a chemistry is given.

    A section that is `none` takes all below it away; a number that is `none` is not there.
    """
    given: dict[str, Given] = {}
    absent: list[str] = []
    for name, said in example.given.items():
        value = _value(name, said)
        given[name] = Given(name, value, name, said, 1.0, NOWHERE)
        if said == "none" and _kind(name) == "section":
            absent.append(name)
    house = {name: allowance.default for name, allowance in allowances().items()}
    return Book(given, house, DAY, absent)


def _kind(name: str) -> str:
    entry = canonical().get(name)
    return entry.kind if entry is not None else ""


def _value(name: str, said: Any) -> Any:
    if isinstance(said, list):
        return tuple(said)
    return None if said == "none" and _kind(name) in ("number", "integer") else said
