"""The options that several commands take, each said and read once."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import Annotated, Any

import typer

from ..documents.error import UsageError
from .formats import PLAIN_FORMATS

DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


def day(as_of: str | None, asked: str = "--as-of ") -> str:
    """The day to judge by: the one asked for, else today; `asked` is how it was asked for."""
    if as_of is None:
        return date.today().isoformat()
    try:
        if not DAY.fullmatch(as_of):
            raise ValueError(as_of)
        return date.fromisoformat(as_of).isoformat()
    except ValueError:
        raise UsageError(f"{asked}{as_of}: it takes a day such as 2026-11-25.") from None


COUNT = re.compile(r"[1-9]\d{0,3}")


def count(jobs: str | int) -> int:
    """The number of processes.

    >>> count("4")
    4
    """
    if not COUNT.fullmatch(str(jobs)):
        raise UsageError(f"--jobs {jobs}: it takes a whole number from 1.")
    return int(jobs)


def format_option(formats: Iterable[str]) -> Any:
    """The option that picks one of some formats."""
    return typer.Option("--format", metavar="FORMAT", help=f"One of {', '.join(formats)}.")


PlainFormat = Annotated[str, format_option(PLAIN_FORMATS)]
Output = Annotated[Path | None, typer.Option(metavar="FILE", help="Write the report to a file.")]
AsOf = Annotated[
    str | None, typer.Option(metavar="DATE", help="The day to judge by, if not today.")
]
Quiet = Annotated[bool, typer.Option("--quiet", help="One line a profile, no tags.")]
Jobs = Annotated[
    int, typer.Option(parser=count, metavar="N", help="Share the work out over N processes.")
]
Writes = Annotated[bool, typer.Option("--write", help="Write the file, not only show.")]
