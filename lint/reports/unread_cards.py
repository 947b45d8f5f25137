"""The cards of the files that could not be read, with every place to put right."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from posixpath import dirname, join, normpath
from typing import NamedTuple

from ..documents.text import so_many
from .check_totals import Unread
from .section import Card, Excerpt, Row, Section, nonempty, row
from .shared_causes import few_names

MOST_NAMES = 4
NO_SUCH_FILE = re.compile(r"no such file at `([^`]*)`")
NOT_FETCHED = re.compile(r"`([^`]*)` is (a submodule that is not fetched): (`[^`]*`)$")


def unread_cards(errors: Iterable[Unread]) -> list[Card]:
    """A card for each file that could not be read, with every place in it to put right.

    A file that several name and that is missing is told once, with those that name it.
    """
    by_file: dict[str, list[Unread]] = {}
    by_missing: dict[_Lacking, list[Unread]] = {}
    every = [(error, _lacking(error)) for error in errors]
    for error, lacking in every:
        if lacking is not None:
            by_missing.setdefault(lacking, []).append(error)
    shared = {key: some for key, some in by_missing.items() if len({one.file for one in some}) > 1}
    for error, lacking in every:
        if lacking not in shared:
            by_file.setdefault(error.file, []).append(error)
    return [
        *(_missing_card(lacking, places) for lacking, places in shared.items()),
        *(_unread_card(file, places) for file, places in by_file.items()),
    ]


class _Lacking(NamedTuple):
    """What is not there and several files may name: a part, or the submodule that holds it."""

    name: str
    found: str
    wanted: str


def _lacking(error: Unread) -> _Lacking | None:
    """What an error is about that lies in another file; None of any other error."""
    file = _missing(error)
    if not file:
        return None
    fetched = NOT_FETCHED.search(error.wanted)
    if fetched is None:
        return _Lacking(file, "no such file", error.wanted)
    folder, found, remedy = fetched.groups()
    way, inside, _ = f"/{file}".rpartition(f"/{folder}/")
    name = f"{way}{inside}".strip("/") or folder
    return _Lacking(name, found, remedy)


def _missing(error: Unread) -> str:
    """The file that is not there, as it lies beside the one that names it; "" of any other error."""
    named = NO_SUCH_FILE.fullmatch(error.found)
    return normpath(join(dirname(error.file), named[1])) if named else ""


def _missing_card(lacking: _Lacking, errors: Sequence[Unread]) -> Card:
    waiting = sorted({name for error in errors for name in (error.file, *error.affects)})
    first = errors[0]
    places = [f"{error.file} line {error.line}" for error in errors]
    return Card(
        verdict=first.label,
        tone="no-go",
        name=lacking.name,
        about=((f"needed by {few_names(waiting, MOST_NAMES)}",),),
        sections=(
            Section(
                "",
                nonempty(
                    [
                        row("found", lacking.found),
                        row("named in", few_names(places, 1)),
                        row("expected", lacking.wanted),
                        row("meant?", first.nearest or ""),
                    ]
                ),
            ),
        ),
        brief=(lacking.name, f"{lacking.found}, named in {so_many(len(places), 'place')}", ""),
    )


def _unread_card(file: str, errors: Sequence[Unread]) -> Card:
    waiting = sorted({name for error in errors for name in error.affects} - {file})
    few = few_names(waiting, MOST_NAMES)
    where = "" if _is_whole_file(errors[0]) else f"line {errors[0].line}"
    return Card(
        verdict=errors[0].label,
        tone="no-go",
        name=file,
        about=((f"needed by {few}",),) if few else (),
        sections=tuple(Section("", _to_put_right(error)) for error in errors),
        brief=(file, where, ""),
    )


def _is_whole_file(error: Unread) -> bool:
    """Whether there is no line to point at: the file is missing, empty or no text."""
    return (error.line, error.column, error.text) == (1, 1, "")


def _to_put_right(error: Unread) -> tuple[Row, ...]:
    """One place to put right: where, what stands there, what should."""
    place = row(f"line {error.line}", Excerpt(error.text, error.column))
    rows = nonempty(
        [
            row("found", error.found),
            row("expected", error.wanted),
            row("meant?", error.nearest or ""),
        ]
    )
    return rows if _is_whole_file(error) else (place, *rows)
