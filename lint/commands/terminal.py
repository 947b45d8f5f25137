"""Asking on a terminal: a question, and the line that is typed in answer."""

from __future__ import annotations

import shutil
import sys
from textwrap import fill

import typer

from .questions import Ask

_ROOM = 12  # for an answer such as 0.84, 0.86 and the cursor
_NARROWEST = 20


def prompting() -> Ask | None:
    """Somebody to ask; None where nobody sits before the screen."""
    return _prompted if sys.stdin.isatty() else None


def _prompted(question: str) -> str:
    """The answer typed in; an empty line is an answer too."""
    try:
        return str(
            typer.prompt(
                set_to_width(question, shutil.get_terminal_size().columns),
                default="",
                show_default=False,
                prompt_suffix=" ",
            )
        )
    except typer.Abort:
        print()  # what follows begins on a line of its own
        raise


def set_to_width(question: str, columns: int) -> str:
    """A question whose lines end between words, with room for a short answer behind the last.

    >>> print(set_to_width("Signal at rest, in V, by meter?", 24))
    Signal at rest, in
    V, by meter?
    """
    return "\n".join(_lines(line, columns - _ROOM) for line in question.split("\n"))


def _lines(line: str, width: int) -> str:
    if len(line) <= width:
        return line
    margin = line[: len(line) - len(line.lstrip())]
    return fill(
        line.strip(),
        max(width, _NARROWEST),
        initial_indent=margin,
        subsequent_indent=margin,
        break_long_words=False,
        break_on_hyphens=False,
    )
