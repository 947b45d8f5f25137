"""`gonogo working`: how a quantity came about, down to what was given."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..documents.error import UsageError
from ..documents.profile import BASE
from ..documents.schema import properties
from ..documents.text import nearest
from ..judgement.evaluation import hear
from ..judgement.names import vocabulary
from ..reports.working_text import node, tree
from .formats import known_format
from .options import AsOf, Output, PlainFormat
from .output import GO, deliver, page_for
from .proposal import workpiece

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
    known_format(form)
    name = quantity_named(quantity)
    held = workpiece(path, as_of)
    hearing = hear(held.profile, held.catalogue, held.judged_on)
    held.refuse_unknown_mode(mode)
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
    meant = nearest(asked, [*known, *properties()])
    if meant is None:
        ends = {name.rsplit(".", 1)[-1]: name for name in known}
        end = nearest(asked.rsplit(".", 1)[-1], ends)
        meant = ends[end] if end else None
    hint = f" Did you mean {meant}?" if meant else " `gonogo rules` shows the names in use."
    raise UsageError(f"no quantity is called {asked}.{hint}")


def command(
    path: Annotated[Path, typer.Argument(metavar="PROFILE", help="The profile to look at.")],
    quantity: Annotated[
        str, typer.Argument(metavar="QUANTITY", help="Its dotted name, such as pack.sag_V.")
    ],
    mode: Annotated[str | None, typer.Option(metavar="NAME", help="As it is in this mode.")] = None,
    form: PlainFormat = "text",
    output: Output = None,
    as_of: AsOf = None,
) -> int:
    """Show how a quantity came about.

    Formula, numbers and source, down to what was given.
    """
    return run(path, quantity, mode, form, output, as_of)
