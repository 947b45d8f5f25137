"""`gonogo working`: how a quantity came about, down to what was given."""

from __future__ import annotations

import json
from difflib import get_close_matches
from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..documents.error import UsageError
from ..documents.schema import properties
from ..judgement.hearing import BASE, hear
from ..judgement.vocabulary import vocabulary
from ..reports.working_text import node, tree
from .output import deliver, page_for
from .status import GO
from .workpiece import workpiece

FORMATS = ("text", "json")
EDITION = "working/1"


def run(
    path: Path,
    quantity: str,
    mode: str | None = None,
    form: str = "text",
    output: Path | None = None,
    as_of: str | None = None,
    out: TextIO | None = None,
) -> int:
    """Print the working of one quantity."""
    if form not in FORMATS:
        raise UsageError(f"--format {form}: it can be {' or '.join(FORMATS)}.")
    name = quantity_named(quantity)
    held = workpiece(path, as_of)
    hearing = hear(held.profile, held.catalogue, held.judged_on)
    if mode is not None and mode not in hearing.books:
        known = ", ".join(held.profile.modes) or "none"
        raise UsageError(f"--mode {mode}: the profile has no such mode. It has {known}.")
    book = hearing.books[mode or BASE]
    if form == "json":
        said = {"gonogo": EDITION, "file": held.profile.file, "mode": mode, **node(name, book)}
        text = json.dumps(said, indent=2, ensure_ascii=False) + "\n"
    else:
        text = tree(name, book, held.profile, page_for(output, out), mode or "")
    deliver(text, output, out)
    return GO


def quantity_named(asked: str) -> str:
    """The canonical name of a quantity; of a pair also by its other key."""
    known = vocabulary()
    entry = properties().get(asked)
    if entry is not None:
        return entry.quantity
    if asked in known:
        return asked
    near = get_close_matches(asked, [*known, *properties()], n=1, cutoff=0.5)
    if not near:
        last = asked.rsplit(".", 1)[-1]
        ends = {name.rsplit(".", 1)[-1]: name for name in known}
        near = [ends[one] for one in get_close_matches(last, ends, n=1, cutoff=0.5)]
    hint = f" Did you mean {near[0]}?" if near else " `gonogo rules` shows the names in use."
    raise UsageError(f"no quantity is called {asked}.{hint}")


def command(
    path: Annotated[Path, typer.Argument(metavar="PROFILE", help="The profile to look at.")],
    quantity: Annotated[
        str, typer.Argument(metavar="QUANTITY", help="Its dotted name, such as pack.sag_V.")
    ],
    mode: Annotated[str | None, typer.Option(metavar="NAME", help="As it is in this mode.")] = None,
    form: Annotated[
        str, typer.Option("--format", metavar="FORMAT", help=f"One of {', '.join(FORMATS)}.")
    ] = "text",
    output: Annotated[Path | None, typer.Option(metavar="FILE", help="Write it to a file.")] = None,
    as_of: Annotated[
        str | None, typer.Option(metavar="DATE", help="The day to judge by, if not today.")
    ] = None,
) -> int:
    """Show how a quantity came about.

    Formula, numbers and source, down to what was given.
    """
    return run(path, quantity, mode, form, output, as_of)
