"""The working of what a failure comes to, on request: quantities that no check and no list has."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ..documents.profile import BASE, Profile
from ..judgement.motor_books import OfMotor
from ..judgement.motor_quantities import Having
from ..quantities.book import Book
from ..rehearsal.failure_book import FAILURE_FORMULAS, FailureBook, failure_title
from ..rehearsal.failure_file import failure_specs
from .motor_working import who_of
from .section import Card, Code, Report, Section, Table
from .working import ASK, head_record, quantity_record, value_in_book

FAILURES = "failure"


def failure_havings(
    heard: Mapping[str, OfMotor], mode: str = BASE, name: str = FAILURES
) -> Iterator[Having]:
    """The quantity of each of several motors: of what their common pack does, once."""
    for motor, one in heard.items():
        books = one.books[mode]
        if _is_shared(name):
            yield Having(name, (), FailureBook(books.pack).traced, {})
            return
        yield Having(name, (motor,), FailureBook(books.own).traced, {})


def _is_shared(name: str) -> bool:
    """Whether a quantity is of failures alone that are about the common pack and bus."""
    specs = [spec for spec in failure_specs() if name in {one.of for one in spec.effect}]
    return bool(specs) and all(spec.shared for spec in specs)


def traced(book: Book) -> Having:
    """The book of a vehicle of one motor with what its failures come to."""
    return Having(FAILURES, (), FailureBook(book).traced, {})


def failure_list_page(having: list[Having], profile: Profile, mode: str = BASE) -> Report:
    """What the failures come to: a table for each motor, or for the vehicle."""
    about = f"{profile.name}, {profile.file}" + (f", mode {mode}" if mode else "")
    cards = tuple(
        Card(
            verdict="WORKING",
            tone="bold",
            name="what failures come to",
            about=((f"{about}: {who_of(one.motors, profile)}" if one.motors else about,),),
            sections=(Section("", (_table(one.book),)),),
            stamped=False,
        )
        for one in having
    )
    return Report("gonogo working", cards, closing=ASK, alone=False)


def _table(book: Book) -> Table:
    rows = tuple(
        ((Code(name),), (value_in_book(book.entry(name)),), (failure_title(name),))
        for name in _comes_about(book)
    )
    heads = ("quantity", "value", "what it is")
    return Table(heads, rows, labels=False, right=(1,), headed=True)


def _comes_about(book: Book) -> list[str]:
    """The quantities of failures that this vehicle has, in the order of their modules."""
    return [name for name in FAILURE_FORMULAS if book.entry(name).origin != "absent"]


def failure_list_record(having: list[Having], profile: Profile, mode: str | None) -> dict[str, Any]:
    """The same list as data; each quantity of several motors says of which it is."""
    return {
        **head_record(profile, mode),
        "quantities": [
            quantity_record(name, one.book)
            | {"title": failure_title(name)}
            | ({"motors": list(one.motors)} if profile.motors else {})
            for one in having
            for name in _comes_about(one.book)
        ],
    }
