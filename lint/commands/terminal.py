"""Asking on a terminal: a question, and the line that is typed in answer."""

from __future__ import annotations

import sys

import typer

from .questions import Ask


def prompting() -> Ask | None:
    """Somebody to ask; None where nobody sits before the screen."""
    return _prompted if sys.stdin.isatty() else None


def _prompted(question: str) -> str:
    """The answer typed in; an empty line is an answer too."""
    try:
        return str(typer.prompt(question, default="", show_default=False, prompt_suffix=" "))
    except typer.Abort:
        print()  # what follows begins on a line of its own
        raise
