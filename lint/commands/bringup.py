"""`gonogo bringup`: the plan of a bring-up, and a conversation that takes its readings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Annotated, TextIO

import typer

from .. import __version__
from ..documents.error import UsageError
from ..documents.motors import entry_path, motor_of
from ..documents.profile import Profile
from ..documents.template import TemplateValue
from ..documents.text import clean
from ..judgement.bring_up import bring_up_plan, standing_at_start
from ..judgement.finding import Judgement
from ..judgement.judge import judge
from ..judgement.planned_step import PlannedStep, graver_of
from ..judgement.verdict import READINGS
from ..reports.bring_up import bring_up_page, bring_up_record
from ..reports.record import json_text
from .bench_answers import answers_in, readings_given
from .bench_work import BenchWork
from .formats import as_text, known_format, page_as
from .options import AsOf, Output
from .output import GO, INCOMPLETE, NO_GO, deliver, page_for
from .proposal import OpenedProfile, opened
from .questions import Ask
from .terminal import prompting

PLAN_FORMATS = ("text", "json", "html", "markdown")


def run(
    path: Path,
    given: Mapping[str, TemplateValue],
    prints: bool = False,
    form: str = "text",
    output: Path | None = None,
    as_of: str | None = None,
    ask: Ask | None = None,
    out: TextIO | None = None,
) -> int:
    """Print the plan, or take the readings: those given, then, with somebody to ask, the others."""
    known_format(form, PLAN_FORMATS)
    profile = opened(path, as_of)
    _refuse_strange(given, profile.profile)
    if prints or form != "text" or (ask is None and not given):
        deliver(_planned(profile, form, output, out), output, out, (path,))
        return status_of(*_planned_and_judged(profile))
    bench = BenchWork(profile, page_for(output, out), out)
    bench.enter(given)
    if ask is not None and not bench.is_stopped:
        bench.hold(ask)
    elif not bench.stand.count_open():
        bench.tell_standing()
    return NO_GO if bench.is_stopped else status_of(bench.stand.steps(), bench.stand.judged())


def _refuse_strange(given: Mapping[str, TemplateValue], profile: Profile) -> None:
    """Raise UsageError for what is no reading, and for one of a motor that the profile does not have."""
    keys = (one.entered_as for one in profile.givens.values())
    motors = set(profile.motors or map(motor_of, keys)) - {""}
    for name in given:
        motor = motor_of(name)
        if not entry_path(name).startswith(READINGS):
            wanted = "expected a reading, such as readings.pack_V=53.1"
            raise UsageError(f"--give {clean(name)}: {wanted}.")
        if motor and motor not in motors:
            known = ", ".join(sorted(motors)) or "none"
            raise UsageError(f"{clean(name)}: no such motor in the profile. Motors: {known}.")


def _planned_and_judged(profile: OpenedProfile) -> tuple[tuple[PlannedStep, ...], Judgement]:
    """The plan of a profile as it stands in its file, and its judgement."""
    judgement = judge(profile.profile, profile.catalogue, profile.judged_on)
    plan = bring_up_plan(profile.profile, profile.judged_on, judgement.findings)
    return plan, judgement


def status_of(steps: Sequence[PlannedStep], judgement: Judgement) -> int:
    """NO-GO where a reading says stop, INCOMPLETE while a step is open; then that of the whole.

    NO-GO as well, though a step is open, where a danger or fault points at a reading, or stands
    whatever will be read.
    """
    states, grave = {step.state for step in steps}, graver_of(judgement.findings)
    if "stop" in states or any(one.quantity.startswith(READINGS) for one in grave):
        return NO_GO
    if standing_at_start(steps, grave):
        return NO_GO
    if states - {"done"}:
        return INCOMPLETE
    return NO_GO if grave else INCOMPLETE if judgement.verdict == "incomplete" else GO


def _planned(profile: OpenedProfile, form: str, output: Path | None, out: TextIO | None) -> str:
    steps, judgement = _planned_and_judged(profile)
    if form == "json":
        return json_text(bring_up_record(steps))
    about = profile.profile.name, profile.profile.file
    standing = standing_at_start(steps, judgement.findings)
    report = bring_up_page(steps, *about, profile.judged_on, __version__, standing)
    page = page_for(output, out)
    return as_text(report, page) if form == "text" else page_as(form, report, page)


def command(
    path: Annotated[Path, typer.Argument(metavar="PROFILE", help="The vehicle to bring up.")],
    prints: Annotated[
        bool, typer.Option("--print", help="Print the plan; ask nothing and write nothing.")
    ] = False,
    give: Annotated[
        list[str] | None,
        typer.Option(
            metavar="KEY=VALUE",
            help="A reading, such as readings.pack_V=53.1; written at once.",
        ),
    ] = None,
    answers: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="A file with readings as they stand in a profile."),
    ] = None,
    form: Annotated[
        str,
        typer.Option("--format", metavar="FORMAT", help="Plan as text, json, html or markdown."),
    ] = "text",
    output: Output = None,
    as_of: AsOf = None,
) -> int:
    """Bring a vehicle up, step by step.

    Says what to do, the caution, and the value to expect; judges each reading and writes it.
    """
    given = {**(answers_in(answers) if answers else {}), **readings_given(give or [])}
    return run(path, given, prints, form, output, as_of, None if given else prompting())
