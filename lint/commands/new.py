"""`gonogo new`: a commented profile from a few answers, with a careful first value everywhere."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..documents.atomic_write import write
from ..documents.day import day_to_judge_by
from ..documents.error import UsageError
from ..documents.repository import open_repository
from ..documents.schema import properties
from ..documents.template import TemplateValue
from ..documents.text import clean
from ..judgement.finding import Finding, Verdict
from ..judgement.mend import stops
from ..reports.proposal import WROTE, begun_section, found_section, refused_section
from .beginning import HEADING, UNFINISHED, Begun, begun, build_lacking
from .blank import motor_names, write_blank
from .formats import sections_as_text
from .interview import Interview, usual_name
from .options import AsOf
from .output import GO, INCOMPLETE, INTERRUPTED, NO_GO, deliver, page_for
from .part_choice import KeptPart, keep_parts, parts_to_keep
from .proposal import settle
from .questions import Answers, Ask, entries, given_also, refuse_lacking, yes_or_no
from .terminal import prompting
from .transcript import WentBack

STOPPED = "Stopped. What was answered so far:"
MOST_NEXT = 8
NOT_WRITTEN_AS_SHOWN = "Not written. The profile as it would be stands above."
WRITING = """\
Yes writes the profile as it stands above; every value can be changed in the file later.
No writes nothing."""
PARTING = """\
A part file holds one part's figures for all vehicles that have it, and the profile names it.
No leaves the figures in the profile, which is written already."""
WROTE_PARTS = "Written: the part files, and the profile that names them."
STATUSES: dict[Verdict, int] = {
    "go": GO,
    "go-with-waivers": GO,
    "no-go": NO_GO,
    "incomplete": INCOMPLETE,
}


@dataclass(frozen=True, slots=True)
class Saving:
    """Whether the profile is written, and label figures as part files of their own."""

    writes: bool = False
    parts: bool = False


def run(
    path: Path,
    answers: Answers,
    also: list[str],
    writes: bool = False,
    as_of: str | None = None,
    ask: Ask | None = None,
    out: TextIO | None = None,
    parts: bool = False,
    blank: bool = False,
    motors: str | None = None,
) -> int:
    """Begin a profile, from options alone or by asking."""
    if os.path.lexists(path):
        raise UsageError(f"{path} exists already; `gonogo fill` adds missing settings.")
    if not os.path.isdir(path.parent):
        raise UsageError(f"{path.parent} is not a folder.")
    values = entries(answers, given_also(also, path), path)
    if motors is not None and not blank:
        raise UsageError("--motors is for a file to fill in with an editor: add --blank.")
    if blank:
        names = motor_names(motors) if motors is not None else ()
        return write_blank(path, {"vehicle.name": usual_name(path), **values}, out, names)
    judged_on = day_to_judge_by(as_of)
    saving = Saving(writes, parts)
    if ask is not None:
        return _conversed(path, values, judged_on, saving, ask, out)
    refuse_lacking(values)
    return _from_options(path, values, judged_on, saving, out)


def _from_options(
    path: Path,
    values: dict[str, TemplateValue],
    judged_on: str,
    saving: Saving,
    out: TextIO | None,
) -> int:
    """What would be NO-GO, or lacks ratings of its parts, is not begun."""
    new = begun(path, values, judged_on)
    page = page_for(None, out)
    judgement = new.proposal.judgement
    if any(not _is_reading(finding) for finding in stops(judgement)):
        deliver(sections_as_text([refused_section(judgement)], page), None, out)
        return NO_GO
    lacking = build_lacking(new)
    if lacking:
        names = ", ".join(lacking)
        deliver(
            f" NOT CREATED  Missing: {names}. Enter them in a part file or with --give KEY=VALUE.\n",
            None,
            out,
        )
        return INCOMPLETE
    if saving.writes and saving.parts:
        new = _with_parts_kept(path, values, judged_on, HEADING)
    section = begun_section(new.unfilled, new.proposal.judgement)
    settle(new.proposal, section, saving.writes, page, out)
    return GO


def _conversed(
    path: Path,
    values: dict[str, TemplateValue],
    judged_on: str,
    saving: Saving,
    ask: Ask,
    out: TextIO | None,
) -> int:
    """Ask until the stand is reached or all is asked; then show it all, and write it if wanted.

    However it ends, what was answered is shown, and is written or may be written.
    """

    def tell(text: str) -> None:
        deliver(text, None, out)

    repository, _ = open_repository(path)
    demanded = repository.house().require
    interview = Interview(path, values, judged_on, ask, tell)
    wanted = [name for name in demanded if name in properties()]
    while True:
        stopped = _held(interview, wanted, tell)
        heading = UNFINISHED if stopped else HEADING
        new = interview.begun(heading)
        section = begun_section(new.unfilled, new.proposal.judgement, MOST_NEXT)
        found = [found_section(new.proposal.judgement)] if stops(new.proposal.judgement) else []
        tell(f"\n{new.proposal.diff}\n{sections_as_text([*found, section], page_for(None, out))}")
        try:
            last = ask if stopped else interview.ask
            if not (saving.writes or yes_or_no(f"Write {clean(str(path))}?", last, True, WRITING)):
                tell(f" {NOT_WRITTEN_AS_SHOWN}\n")
                return _status(new, stopped)
            break
        except WentBack:
            interview.begin_again()
        except (typer.Abort, KeyboardInterrupt):
            tell(f"\n {NOT_WRITTEN_AS_SHOWN}\n")
            return INTERRUPTED
    write(path, b"", new.proposal.data)
    tell(f" {WROTE}\n")
    try:
        kept = _parts_agreed(saving, path, values, judged_on, ask)
    except (typer.Abort, KeyboardInterrupt):
        tell("\n")
        return INTERRUPTED
    if kept:
        whole = keep_parts(path, values, kept)
        parted = begun(path, whole, judged_on, heading, without=interview.without)
        write(path, new.proposal.data, parted.proposal.data)
        tell(f" {WROTE_PARTS}\n")
    tell(f" `gonogo check {clean(str(path))}` says what is next.\n")
    return _status(new, stopped)


def _held(interview: Interview, wanted: list[str], tell: Callable[[str], None]) -> bool:
    """Ask all; whether it was stopped before the end."""
    try:
        interview.hold(wanted)
    except (typer.Abort, KeyboardInterrupt):
        tell(f"\n{STOPPED}\n")
        interview.name_it()
        return True
    return False


def _status(new: Begun, stopped: bool) -> int:
    return INTERRUPTED if stopped else STATUSES[new.proposal.judgement.stages["stand"]]


def _parts_agreed(
    saving: Saving, path: Path, values: dict[str, TemplateValue], judged_on: str, ask: Ask
) -> list[KeptPart]:
    """The part files to keep, asked for unless an option said so; the profile is written by then."""
    kept = parts_to_keep(path, values, judged_on)
    if not kept or saving.parts:
        return kept
    files = "".join(f"  {clean(part.name_in_shop)}\n" for part in kept)
    asks = f"Other vehicles may have the same parts:\n{files}Keep the label figures in these files?"
    return kept if yes_or_no(asks, ask, False, PARTING) else []


def _with_parts_kept(
    path: Path, values: dict[str, TemplateValue], judged_on: str, heading: str
) -> Begun:
    whole = keep_parts(path, values, parts_to_keep(path, values, judged_on))
    return begun(path, whole, judged_on, heading)


def _is_reading(finding: Finding) -> bool:
    """True where a shop requires a reading: it is taken once the profile is there."""
    return finding.rule.subject == "required" and finding.quantity.startswith("readings.")


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
        typer.Option(
            metavar="KEY=VALUE",
            help="One more entry, such as pack.connector_A=120; a list as 0.84, 0.9, a section as {KEY: VALUE}.",
        ),
    ] = None,
    parts: Annotated[
        bool, typer.Option("--parts", help="With --write: keep label figures as part files.")
    ] = False,
    blank: Annotated[
        bool,
        typer.Option(
            "--blank",
            help="Write the file at once, without --write: every entry of a first ride as a comment; ask nothing.",
        ),
    ] = False,
    motors: Annotated[
        str | None,
        typer.Option(
            metavar="NAMES", help="With --blank: names of several motors, such as left,right."
        ),
    ] = None,
    writes: Annotated[
        bool,
        typer.Option("--write", help="Write the file; without it, or --blank, it is only shown."),
    ] = False,
    as_of: AsOf = None,
) -> int:
    """Create a profile from a few answers; on a terminal it asks for what is no option."""
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
    return run(path, answers, give or [], writes, as_of, prompting(), None, parts, blank, motors)
