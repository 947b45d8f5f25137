"""`gonogo rehearse`: each single failure of a vehicle, what it does, and what catches it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, TextIO

import typer

from .. import __version__
from ..judgement.judge import judge
from ..rehearsal.rehearse import RehearsalOutcome, rehearsal_outcome, rehearsals
from ..reports.rehearsal import record
from ..reports.rehearsal_page import rehearsal_page
from .formats import REHEARSAL_FORMATS, known_format, page_or_record
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
    """Print what catches each failure; the status is that of the word in the head."""
    known_format(form, REHEARSAL_FORMATS)
    profile = opened(path, as_of)
    profile.refuse_unknown_mode(mode)
    every = rehearsals(profile.profile, profile.catalogue, profile.judged_on)
    asked = every if mode is None else {mode: every[mode]}
    judgement = judge(profile.profile, profile.catalogue, profile.judged_on)
    page = page_for(output, out)
    text = page_or_record(
        form,
        lambda: rehearsal_page(asked, judgement, __version__),
        lambda: record(asked, judgement),
        page,
    )
    deliver(text, output, out, (path,))
    return STATUS_OF[rehearsal_outcome(asked.values())]


STATUS_OF: dict[RehearsalOutcome, int] = {
    "uncovered": NO_GO,
    "not known": INCOMPLETE,
    "covered": GO,
}


def command(
    path: Annotated[Path, typer.Argument(metavar="PROFILE", help="Profile to rehearse.")],
    mode: OneMode = None,
    form: Annotated[str, format_option(REHEARSAL_FORMATS)] = "text",
    output: Output = None,
    as_of: AsOf = None,
) -> int:
    """Show what catches each single failure of a vehicle.

    A wire off, a switch welded, the pack cut off in regen: what it does, which setting, part or person
    catches it within what time, and what is uncovered. Exit status, by the word in the head and of
    failures that may injure a person or destroy a part: 0 COVERED, all are caught; 1 UNCOVERED, nothing
    catches one; 4 NOT KNOWN, an entry is missing that would tell. Worked out, not tried;
    `gonogo working PROFILE failure` traces each number.
    """
    return run(path, mode, form, output, as_of)
