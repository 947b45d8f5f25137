"""`gonogo suspect`: which one entry, or which fault of the machine, explains the dangers and faults."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..documents.error import DocumentErrors, GonogoError
from ..documents.loading import load_profile
from ..documents.profile import Profile
from ..judgement.judge import judge
from ..reports.suspects import record
from ..reports.suspects_page import suspects_page
from ..suspicion.ranking import ranked
from .formats import TOPIC_FORMATS, known_format, page_or_record
from .options import AsOf, Output, format_option
from .output import GO, NO_GO, deliver, page_for
from .proposal import opened
from .sides import in_revision

FORMATS_OF_SUSPECTS = ("json", *TOPIC_FORMATS)
_LAST = ("HEAD", "HEAD~1")  # what is committed, and where nothing changed since then the one before


def run(
    path: Path,
    against: str | None = None,
    form: str = "text",
    output: Path | None = None,
    as_of: str | None = None,
    out: TextIO | None = None,
) -> int:
    """Print which entries explain what stands against a profile; NO-GO while anything does."""
    known_format(form, FORMATS_OF_SUSPECTS)
    opened_profile = opened(path, as_of)
    profile, catalogue = opened_profile.profile, opened_profile.catalogue
    judgement = judge(profile, catalogue, opened_profile.judged_on)
    before = previous(path, profile, against)
    found = ranked(profile, catalogue, opened_profile.judged_on, judgement, before)
    page = page_for(output, out)
    text = page_or_record(
        form, lambda: suspects_page(found, str(path)), lambda: record(found), page
    )
    deliver(text, output, out, (path,))
    return NO_GO if found.stops else GO


def previous(path: Path, profile: Profile, against: str | None) -> Profile | None:
    """The profile as it was before: in a revision asked for, else as it was last committed otherwise.

    Raises what keeps a revision that was asked for from use; of one that nobody asked for it is passed by.
    """
    if against is not None:
        return _in(path, against)
    for revision in _LAST:
        try:
            before = _in(path, revision)
        except (GonogoError, OSError):
            return None
        if _told(before) != _told(profile):
            return before
    return None


def _told(profile: Profile) -> dict[tuple[str, str, str], object]:
    """What a profile says of each motor in each mode."""
    owners = {"": profile, **profile.motors}
    return {
        (motor, mode, name): given.value if given is not None else None
        for motor, own in owners.items()
        for mode, givens in (("", own.givens), *own.modes.items())
        for name, given in givens.items()
    }


def _in(path: Path, revision: str) -> Profile:
    side = in_revision(path, revision)
    try:
        return load_profile(side.repository, side.path)
    except DocumentErrors as broken:
        raise DocumentErrors(side.as_typed(broken)) from broken


def command(
    path: Annotated[Path, typer.Argument(metavar="PROFILE", help="Profile to look at.")],
    against: Annotated[
        str | None,
        typer.Option(
            metavar="REV",
            help="Previous revision, whose values an entry may have kept; default the last commit.",
        ),
    ] = None,
    form: Annotated[str, format_option(FORMATS_OF_SUSPECTS)] = "text",
    output: Output = None,
    as_of: AsOf = None,
) -> int:
    """Find the entry that explains the dangers and faults.

    Tries every usual slip of each entry backwards, and says which reading tells the likeliest apart.
    """
    return run(path, against, form, output, as_of)
