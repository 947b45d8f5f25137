"""The options that several commands take, each said and read once."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Any

import typer

from ..documents.error import UsageError
from .formats import PLAIN_FORMATS

COUNT = re.compile(r"[1-9]\d{0,3}")


def count(jobs: str | int) -> int:
    """The number of processes.

    >>> count("4")
    4
    """
    if not COUNT.fullmatch(str(jobs)):
        raise UsageError(f"--jobs {jobs}: expected a whole number from 1.")
    return int(jobs)


def processors() -> int:
    """How many processes can run at once: what this one may use, which a container can bound."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def format_option(formats: Iterable[str]) -> Any:
    """The option that picks one of some formats."""
    return typer.Option("--format", metavar="FORMAT", help=f"Report as {', '.join(formats)}.")


def profiles_argument(purpose: str) -> Any:
    """The argument of a command that looks at many profiles."""
    told = f"Profiles or folders to {purpose}; without one, this folder."
    return typer.Argument(metavar="[PATH]...", show_default=False, help=told)


PlainFormat = Annotated[str, format_option(PLAIN_FORMATS)]
Output = Annotated[Path | None, typer.Option(metavar="FILE", help="Write the report to FILE.")]
AsOf = Annotated[
    str | None,
    typer.Option(metavar="DATE", help="Date by which ages and end dates count; default today."),
]
Quiet = Annotated[bool, typer.Option("--quiet", help="Print a short list, one entry per profile.")]
STORE_WORDS = ("use", "off", "clear")
Store = Annotated[
    str, typer.Option(metavar="HOW", help=f"Results of earlier runs: {', '.join(STORE_WORDS)}.")
]
Jobs = Annotated[
    int | None,
    typer.Option(
        parser=count, metavar="N", help="Profiles checked at once; default one a processor."
    ),
]
Writes = Annotated[
    bool, typer.Option("--write", help="Write the file; without it the change is only shown.")
]
Tried = Annotated[
    list[str] | None,
    typer.Option(
        "--set",
        metavar="KEY=VALUE",
        show_default=False,
        help="Try a value without an edit; repeatable. The report says so.",
    ),
]
OneMode = Annotated[
    str | None, typer.Option("--mode", metavar="NAME", help="Only the settings of this mode.")
]
