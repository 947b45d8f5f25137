"""`gonogo sheet`: the hand-over record of a vehicle."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, TextIO

import typer

from .. import __version__
from ..judgement.hand_over import HandOver, hand_over
from ..rehearsal.rehearse import rehearsals
from ..reports.hand_over import hand_over_page
from .formats import PAGE_FORMATS, as_text, known_format, page_as
from .options import AsOf, OneMode, Output, format_option
from .output import GO, INCOMPLETE, NO_GO, deliver, page_for
from .proposal import opened


def run(
    path: Path,
    mode: str | None = None,
    form: str = "text",
    output: Path | None = None,
    as_of: str | None = None,
    out: TextIO | None = None,
) -> int:
    """Print the record of a profile; its status is that of a ride."""
    known_format(form, PAGE_FORMATS)
    profile = opened(path, as_of)
    profile.refuse_unknown_mode(mode)
    files = profile.repository.files
    over = hand_over(profile.profile, profile.catalogue, profile.judged_on, files, mode)
    every = rehearsals(profile.profile, profile.catalogue, profile.judged_on)
    asked = {name: every[name] for name in (every if mode is None else (mode,))}
    page = page_for(output, out)
    if form == "html":
        text = page_as(form, hand_over_page(over, True, __version__, asked), page)
    else:
        text = as_text(hand_over_page(over, False, __version__, asked), page)
    deliver(text, output, out, (path,))
    return hand_over_status(over)


def hand_over_status(over: HandOver) -> int:
    """The exit status of a record: that of a ride with the values as they are typed in."""
    verdict = over.verdict("ride")
    if verdict == "no-go":
        return NO_GO
    return INCOMPLETE if verdict == "incomplete" else GO


def command(
    path: Annotated[Path, typer.Argument(metavar="PROFILE", help="Profile to hand over.")],
    mode: OneMode = None,
    form: Annotated[str, format_option(PAGE_FORMATS)] = "text",
    output: Output = None,
    as_of: AsOf = None,
) -> int:
    """Print the hand-over record of a vehicle.

    Values, verdicts, what was measured and what was not, waivers, what is due next, plots, the digests
    of its files, and room to sign.
    """
    return run(path, mode, form, output, as_of)
