"""`gonogo uses`: who takes up a part, a key of the house file or a rule, and what if it were another."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..documents.day import day_to_judge_by
from ..reports.uses import Uses, uses_page, uses_record
from .formats import PLAIN_FORMATS, known_format, page_or_record
from .options import AsOf, Jobs, Output, PlainFormat, processors, profiles_argument
from .output import GO, NO_GO, NOT_READ, deliver, page_for
from .use_search import uses_of
from .use_target import paths_of, target_names


def run(
    asked: str,
    paths: Sequence[Path] = (),
    tried: Sequence[str] = (),
    form: str = "text",
    output: Path | None = None,
    as_of: str | None = None,
    out: TextIO | None = None,
    jobs: int = 1,
) -> int:
    """Say who takes up what was asked about, and with values tried what would become of them."""
    known_format(form, PLAIN_FORMATS)
    where = paths_of(asked, paths)
    uses = uses_of(asked, where, tried, day_to_judge_by(as_of), form, jobs)
    page = page_for(output, out)
    text = page_or_record(form, lambda: uses_page(uses), lambda: uses_record(uses), page)
    deliver(text, output, out, [*where, asked])
    return uses_status(uses)


def uses_status(uses: Uses) -> int:
    """3 where something could not be read, 1 where a value that was tried makes a vehicle worse."""
    if uses.unread:
        return NOT_READ
    found = uses.what_if
    return NO_GO if found is not None and any(one.is_worse for one in found.outcomes) else GO


def command(
    asked: Annotated[
        str,
        typer.Argument(
            metavar="PART|house.NAME|RULE",
            show_default=False,
            help="A part's file, be it there or not, a key of the house file, or a rule's id.",
            autocompletion=target_names,
        ),
    ],
    paths: Annotated[list[Path] | None, profiles_argument("look through")] = None,
    tried: Annotated[
        list[str] | None,
        typer.Option(
            "--set",
            metavar="KEY=VALUE",
            show_default=False,
            help="Try a value in the part's file (repeatable); of house.NAME the VALUE alone.",
        ),
    ] = None,
    form: PlainFormat = "text",
    output: Output = None,
    as_of: AsOf = None,
    jobs: Jobs = None,
) -> int:
    """Say which vehicles take up a part, a house key or a rule, and what they get.

    A part is looked for in its whole shop. With --set: what every verdict would become; nothing is
    written. Exit status: 0, 1 if a vehicle would become worse, 3 if a document cannot be read.
    """
    return run(asked, paths or (), tried or (), form, output, as_of, jobs=jobs or processors())
