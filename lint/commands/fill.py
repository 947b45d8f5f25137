"""`gonogo fill`: the values that a careful builder would enter first, for settings still missing."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..judgement.proposal import proposals
from ..reports.proposal import filled_section
from .formats import sections_as_text
from .options import AsOf, Writes
from .output import GO, deliver, page_for
from .proposal import opened, proposed, settle


def run(
    path: Path, writes: bool = False, as_of: str | None = None, out: TextIO | None = None
) -> int:
    """Propose the missing settings, and write them if asked to."""
    profile = opened(path, as_of)
    settings, unfilled = proposals(profile.profile, profile.catalogue, profile.judged_on)
    page = page_for(None, out)
    if not settings:
        as_it_stands = proposed(profile, profile.data).judgement
        section = filled_section(settings, unfilled, as_it_stands)
        text = " Nothing to fill: no missing setting has a proposal.\n" + sections_as_text(
            [section], page
        )
        deliver(text, None, out)
        return GO
    proposal = proposed(profile, profile.edited(settings))
    settle(proposal, filled_section(settings, unfilled, proposal.judgement), writes, page, out)
    return GO


def command(
    path: Annotated[Path, typer.Argument(metavar="PROFILE", help="The profile to fill.")],
    writes: Writes = False,
    as_of: AsOf = None,
) -> int:
    """Propose values for missing settings.

    Proposes conservative first values inside the allowed range.
    """
    return run(path, writes, as_of)
