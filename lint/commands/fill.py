"""`gonogo fill`: the values that a careful builder would enter first, for settings still missing."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..judgement.finding import Judgement
from ..judgement.mend import stops
from ..judgement.proposal import Move, Setting, Unfilled, proposals, tuned
from ..judgement.second_values import second_values
from ..judgement.verdict import READINGS
from ..reports.proposal import filled_section
from .entry_questions import questions_told
from .formats import sections_as_text
from .options import AsOf, Writes
from .output import GO, deliver, page_for
from .proposal import OpenedProfile, Proposal, opened, proposed, settle


def run(
    path: Path, writes: bool = False, as_of: str | None = None, out: TextIO | None = None
) -> int:
    """Propose the missing settings, and what readings make of first values; write them if asked to."""
    profile = opened(path, as_of)
    first, unfilled = _first(profile)
    settings = [move.setting for move in first]
    proposal = _filled(profile, settings)
    second = _second(profile, first, proposal)
    page = page_for(None, out)
    if not settings and not second:
        section = filled_section(settings, unfilled, proposal.judgement)
        text = " Nothing to fill: no missing setting has a proposal.\n" + sections_as_text(
            [section], page
        )
        deliver(text, None, out)
        return GO
    if second:
        proposal = _filled(profile, [*settings, *second])
    section = filled_section(settings, unfilled, proposal.judgement, second)
    settle(proposal, section, writes, page, out)
    return GO


def _first(profile: OpenedProfile) -> tuple[list[Move], list[Unfilled]]:
    """First values, each with the motors that it holds for; with none where there is one motor."""
    known = (profile.profile, profile.catalogue, profile.judged_on)
    if profile.profile.motors:
        from ..judgement.motor_proposal import motor_proposals  # late: most vehicles have one motor

        return motor_proposals(*known)
    settings, unfilled = proposals(*known)
    return [Move(setting, ()) for setting in settings], unfilled


def _filled(profile: OpenedProfile, settings: Sequence[Setting]) -> Proposal:
    return proposed(profile, profile.edited(settings) if settings else profile.data)


def _second(profile: OpenedProfile, first: Sequence[Move], filled: Proposal) -> list[Setting]:
    """First values that readings move; none where the file would then have a new danger or fault."""
    settings = [move.setting for move in first]
    early = tuple(name for name in questions_told() if name.startswith(READINGS))
    second = _moved(profile, first, early)
    if not second:
        return []
    after = _filled(profile, [*settings, *second]).judgement
    return second if _stopped(after) <= _stopped(filled.judgement) else []


def _moved(profile: OpenedProfile, first: Sequence[Move], early: Sequence[str]) -> list[Setting]:
    whole, catalogue, judged_on = profile.profile, profile.catalogue, profile.judged_on
    if not whole.motors:
        told = tuned(whole, [move.setting for move in first])
        return second_values(told, catalogue, judged_on, early)
    from ..judgement.motor_proposal import tuned_motors  # late: most vehicles have one motor
    from ..judgement.motor_second_values import motor_second_values

    moves = motor_second_values(tuned_motors(whole, first), catalogue, judged_on, early)
    return [move.setting for move in moves]


def _stopped(judgement: Judgement) -> set[tuple[str, tuple[str, ...]]]:
    return {(finding.rule.id, finding.modes) for finding in stops(judgement)}


def command(
    path: Annotated[Path, typer.Argument(metavar="PROFILE", help="The profile to fill.")],
    writes: Writes = False,
    as_of: AsOf = None,
) -> int:
    """Propose values for missing settings.

    Proposes conservative first values inside the allowed range. Those that were worked out without
    readings are offered again once there are some.
    """
    return run(path, writes, as_of)
