"""`gonogo fill`: the values that a careful builder would enter first, for settings still missing."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..judgement.defaults import proposals
from ..reports.proposal_text import filled_text
from .options import AsOf, Writes
from .output import GO, deliver, page_for
from .proposal import proposal, settle, workpiece


def run(
    path: Path, writes: bool = False, as_of: str | None = None, out: TextIO | None = None
) -> int:
    """Propose the missing settings, and write them if asked to."""
    held = workpiece(path, as_of)
    settings, open_ = proposals(held.profile, held.catalogue, held.judged_on)
    page = page_for(None, out)
    if not settings:
        lines = filled_text(settings, open_, proposal(held, held.data).judgement, page)
        said = " No setting is missing that could be proposed."
        deliver("\n".join([said, *lines]) + "\n", None, out)
        return GO
    made = proposal(held, held.edited(settings))
    settle(made, partial(filled_text, settings, open_), writes, page, out)
    return GO


def command(
    path: Annotated[Path, typer.Argument(metavar="PROFILE", help="The profile to fill.")],
    writes: Writes = False,
    as_of: AsOf = None,
) -> int:
    """Propose values for missing settings.

    Careful first ones, always inside their windows.
    """
    return run(path, writes, as_of)
