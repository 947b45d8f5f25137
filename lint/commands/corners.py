"""`gonogo corners`: whether a profile holds everywhere within the tolerances of what was entered."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..reports.corners import corners_page, record
from ..tolerances.corners import Corners, corners_of
from .formats import DRAWN_FORMATS, known_format, page_or_record
from .options import AsOf, OneMode, Output, format_option
from .output import GO, INCOMPLETE, NO_GO, deliver, page_for
from .proposal import opened

STATUS = {
    "go": GO,
    "go-with-waivers": GO,
    "no-go": NO_GO,
    "incomplete": INCOMPLETE,
    "undecided": INCOMPLETE,
}


def run(
    path: Path,
    form: str = "text",
    output: Path | None = None,
    as_of: str | None = None,
    out: TextIO | None = None,
    mode: str | None = None,
) -> int:
    """Print the corners of a profile."""
    known_format(form, DRAWN_FORMATS)
    profile = opened(path, as_of)
    profile.refuse_unknown_mode(mode)
    corners: Corners = corners_of(profile.profile, profile.catalogue, profile.judged_on, mode)
    page = page_for(output, out)
    text = page_or_record(form, lambda: corners_page(corners), lambda: record(corners), page)
    deliver(text, output, out, (path,))
    return STATUS[corners.everywhere]


def command(
    path: Annotated[Path, typer.Argument(metavar="PROFILE", help="Profile to judge.")],
    mode: OneMode = None,
    form: Annotated[str, format_option(DRAWN_FORMATS)] = "text",
    output: Output = None,
    as_of: AsOf = None,
) -> int:
    """Show whether a profile holds everywhere within the tolerances of what was entered.

    Each rule is judged with every entry anywhere within its tolerance: cold or aged pack, motor off its
    label, worn tyre, heavy rider. Exit status: 0 if it is GO at every corner, 1 if NO-GO at one, 4 if that
    is not known.
    """
    return run(path, form, output, as_of, mode=mode)
