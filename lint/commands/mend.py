"""`gonogo mend`: flagged settings moved into their windows, or the conflicting rules."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..judgement.mend import Mending, mend, stops
from ..reports.proposal import mended_section, stuck_section
from .formats import sections_as_text
from .options import AsOf, Writes
from .output import GO, NO_GO, deliver, page_for
from .proposal import OpenedProfile, opened, proposed, settle


def run(
    path: Path, writes: bool = False, as_of: str | None = None, out: TextIO | None = None
) -> int:
    """Propose the nearest allowed values, and write them if asked to; all is mended or nothing."""
    profile = opened(path, as_of)
    mending = _mending(profile)
    page = page_for(None, out)
    if not stops(mending.before):
        deliver(" Nothing to change: no danger or fault.\n", None, out)
        return GO
    if not mending.obstacles:
        proposal = proposed(profile, profile.edited(mending.settings))
        if not stops(proposal.judgement):
            section = mended_section(
                mending.settings, mending.mended, proposal.judgement, proposal.stale_comments
            )
            settle(proposal, section, writes, page, out)
            return GO
    deliver(sections_as_text([stuck_section(mending.obstacles, mending.before)], page), None, out)
    return NO_GO


def _mending(profile: OpenedProfile) -> Mending:
    if not profile.profile.motors:
        return mend(profile.profile, profile.catalogue, profile.judged_on)
    from ..judgement.motor_mend import mend_motors  # late: most vehicles have one motor

    return mend_motors(profile.profile, profile.catalogue, profile.judged_on)


def command(
    path: Annotated[Path, typer.Argument(metavar="PROFILE", help="The profile to correct.")],
    writes: Writes = False,
    as_of: AsOf = None,
) -> int:
    """Move flagged settings to allowed values.

    Proposes the nearest allowed value; build and readings stay as they are, no limit is raised.
    """
    return run(path, writes, as_of)
