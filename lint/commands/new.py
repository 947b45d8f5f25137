"""`gonogo new`: a commented profile from a few answers, with a careful first value everywhere."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..documents.day import day_to_judge_by
from ..documents.edit import EnteredValue
from ..documents.error import DocumentErrors, UsageError
from ..documents.repository import open_repository
from ..documents.template import profile_text
from ..judgement.finding import Finding
from ..judgement.mend import stops
from ..judgement.proposal import Unfilled, proposals
from ..judgement.rule import STAGES
from ..judgement.site_rules import shop_of
from ..judgement.verdict import in_order, short_of
from ..reports.proposal import begun_section, refused_section
from .formats import sections_as_text
from .options import AsOf, Writes
from .output import GO, INCOMPLETE, NO_GO, deliver, page_for
from .proposal import OpenedProfile, Proposal, drafted, proposed, settle
from .questions import Answers, Ask, entries, for_the_stand, given_also, required

OF_PARTS = ("pack.", "controller.", "motor.", "throttle.")
HEADING = """\
Conservative first values, each with its reason. Parts that are not entered yet
(BMS, cables, contactor, kill switch, tyre) are not checked."""
READINGS_NOTE = """\
readings: taken on the stand, wheel clear of the ground, before the first ride
  throttle voltage at rest, at full and with each wire disconnected; temperatures cold and
  warm; pack voltage; direction of wheel rotation; no-load test; motor identification"""


def run(
    path: Path,
    answers: Answers,
    also: list[str],
    writes: bool = False,
    as_of: str | None = None,
    ask: Ask | None = None,
    out: TextIO | None = None,
) -> int:
    """Begin a profile; what would be NO-GO, or lacks ratings of its parts, is not begun."""
    if os.path.lexists(path):
        raise UsageError(f"{path} exists already; `gonogo fill` adds missing settings.")
    if not os.path.isdir(path.parent):
        raise UsageError(f"{path.parent} is not a folder.")
    values = {**entries(answers, path, ask), **given_also(also)}
    repository, _ = open_repository(path)
    values |= required(repository.house().require, values, ask)
    page = page_for(None, out)
    judged_on = day_to_judge_by(as_of)
    proposal, unfilled = begun(path, values, judged_on)
    asked: set[str] = set()
    while wanted := [
        name for name in wanted_for_the_stand(proposal, unfilled) if name not in asked
    ]:
        asked.update(wanted)
        told = for_the_stand(wanted, ask)
        if not told:
            break
        values |= told  # an answer may bring a question: what a BMS allows, when it cuts off
        proposal, unfilled = begun(path, values, judged_on)
    if any(not _is_reading(finding) for finding in stops(proposal.judgement)):
        deliver(sections_as_text([refused_section(proposal.judgement)], page), None, out)
        return NO_GO
    lacking = build_lacking(proposal)
    if lacking:
        names = ", ".join(lacking)
        deliver(
            f" NOT CREATED  Missing: {names}. Enter them in a part file or with --give KEY=VALUE.\n",
            None,
            out,
        )
        return INCOMPLETE
    settle(proposal, begun_section(unfilled, proposal.judgement), writes, page, out)
    return GO


def begun(
    path: Path, values: dict[str, EnteredValue | bool], judged_on: str
) -> tuple[Proposal, list[Unfilled]]:
    """The new profile with its first values, judged as if it were written."""
    repository, inside = open_repository(path)
    shop = shop_of(repository)
    if shop.errors:
        raise DocumentErrors(shop.errors)
    bare = profile_text(values, {}, HEADING, READINGS_NOTE).encode()
    draft = drafted(repository, inside, bare)
    settings, unfilled = proposals(draft, shop.catalogue, judged_on)
    whole = {**values, **{setting.entered_as: setting.entered for setting in settings}}
    reasons = {setting.entered_as: setting.because for setting in settings}
    profile = OpenedProfile(path, repository, inside, b"", draft, shop.catalogue, judged_on)
    text = profile_text(whole, reasons, HEADING, READINGS_NOTE)
    return proposed(profile, text.encode()), unfilled


def wanted_for_the_stand(proposal: Proposal, unfilled: list[Unfilled]) -> list[str]:
    """What the stand lacks, and what first values wait for that a ride would lack as well."""
    stand, ride = (short_of(proposal.judgement.not_checked, stage) for stage in STAGES)
    waiting = {name for one in unfilled for name in one.missing}
    return in_order([*stand, *waiting.intersection(ride)])


def build_lacking(proposal: Proposal) -> list[str]:
    """What the stand lacks of the parts: without their ratings no first value can be a careful one.

    What else it lacks is asked for once the profile is there.
    """
    names = short_of(proposal.judgement.not_checked, "stand")
    return [name for name in names if name.startswith(OF_PARTS)]


def _is_reading(finding: Finding) -> bool:
    """True where a shop requires a reading: it is taken once the profile is there."""
    return finding.rule.subject == "required" and finding.quantity.startswith("readings.")


def _terminal() -> Ask | None:
    return _prompted if sys.stdin.isatty() else None


def _prompted(question: str) -> str:
    """The answer typed in; an empty line is an answer too."""
    try:
        return str(typer.prompt(question, default="", show_default=False, prompt_suffix=" "))
    except typer.Abort:
        print()  # what follows begins on a line of its own
        raise


def command(
    path: Annotated[Path, typer.Argument(metavar="PATH", help="The profile to create.")],
    name: Annotated[str | None, typer.Option(help="Name of the vehicle.")] = None,
    use: Annotated[
        str | None, typer.Option(help="Where it is ridden: off_road, street or private_land.")
    ] = None,
    wheels: Annotated[str | None, typer.Option(help="Number of wheels on the ground.")] = None,
    speed_limit: Annotated[
        str | None, typer.Option(metavar="KM_H", help="Speed limit of the vehicle, km/h.")
    ] = None,
    pack: Annotated[
        str | None, typer.Option(metavar="FILE", help="File with the figures of a bought pack.")
    ] = None,
    cell: Annotated[
        str | None, typer.Option(metavar="FILE", help="File with the cell's datasheet figures.")
    ] = None,
    series: Annotated[str | None, typer.Option(help="Number of cells in series.")] = None,
    parallel: Annotated[str | None, typer.Option(help="Number of cells in parallel.")] = None,
    fuse: Annotated[
        str | None, typer.Option(metavar="A", help="Rating of the main fuse, A.")
    ] = None,
    controller: Annotated[
        str | None, typer.Option(metavar="FILE", help="File with the controller's ratings.")
    ] = None,
    motor: Annotated[
        str | None, typer.Option(metavar="FILE", help="File with the motor's ratings.")
    ] = None,
    throttle: Annotated[
        str | None, typer.Option(metavar="FILE", help="File with the throttle's figures.")
    ] = None,
    ratio: Annotated[
        str | None, typer.Option(help="Overall reduction: motor turns per wheel turn.")
    ] = None,
    circumference: Annotated[
        str | None,
        typer.Option(metavar="MM", help="Rolling circumference of the driven wheel, mm."),
    ] = None,
    give: Annotated[
        list[str] | None,
        typer.Option(metavar="KEY=VALUE", help="One more entry, such as pack.connector_A=120."),
    ] = None,
    writes: Writes = False,
    as_of: AsOf = None,
) -> int:
    """Create a profile from a few answers.

    On a terminal it asks for what is not given as an option.
    """
    answers = {
        "name": name,
        "use": use,
        "wheels": wheels,
        "speed-limit": speed_limit,
        "pack": pack,
        "cell": cell,
        "series": series,
        "parallel": parallel,
        "fuse": fuse,
        "controller": controller,
        "motor": motor,
        "throttle": throttle,
        "ratio": ratio,
        "circumference": circumference,
    }
    return run(path, answers, give or [], writes, as_of, _terminal())
