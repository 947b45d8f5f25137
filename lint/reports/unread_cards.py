"""The cards of the files that could not be read, with every place to put right."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from .check_totals import Unread
from .section import Card, Excerpt, Row, Section, nonempty, row
from .shared_causes import few_names

MOST_NAMES = 4


def unread_cards(errors: Iterable[Unread]) -> list[Card]:
    """A card for each file that could not be read, with every place in it to put right."""
    by_file: dict[str, list[Unread]] = {}
    for error in errors:
        by_file.setdefault(error.file, []).append(error)
    return [_unread_card(file, places) for file, places in by_file.items()]


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
