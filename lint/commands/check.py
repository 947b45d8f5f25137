"""`gonogo check`: findings and a verdict for each profile under the paths."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..documents.day import day_to_judge_by
from ..documents.error import NoProfile
from ..documents.repository import find
from .formats import FORMATS, report_module
from .inspection import Order, gathered, outcomes
from .options import AsOf, Jobs, Output, Quiet, format_option
from .output import deliver, page_for, status_of


def run(
    paths: Sequence[Path],
    form: str = "text",
    output: Path | None = None,
    quiet: bool = False,
    jobs: int = 1,
    strict: bool = False,
    as_of: str | None = None,
    out: TextIO | None = None,
) -> int:
    """Judge every profile under the paths, print the report, and answer with the exit status."""
    judged_on = day_to_judge_by(as_of)
    module = report_module(form)
    search = find(paths)
    if not search.profiles and not search.errors:
        raise NoProfile([str(path) for path in paths])
    page = replace(page_for(output, out, quiet), alone=len(search.profiles) == 1)
    order = Order(form, page, judged_on, strict)
    checked = gathered(search, outcomes(search.profiles, order, jobs), judged_on)
    deliver(module.report(checked, page), output, out)
    return status_of(checked)


def command(
    paths: Annotated[
        list[Path] | None,
        typer.Argument(
            metavar="[PATH]...",
            show_default=False,
            help="Profiles, or folders of them; here, if none is named.",
        ),
    ] = None,
    form: Annotated[str, format_option(FORMATS)] = "text",
    output: Output = None,
    quiet: Quiet = False,
    jobs: Jobs = 1,
    strict: Annotated[bool, typer.Option("--strict", help="A caution is NO-GO too.")] = False,
    as_of: AsOf = None,
) -> int:
    """Judge every profile under the paths.

    Each gets its findings, a verdict, and what the verdict rests on. Exit status: 0 GO, 1 NO-GO,
    2 a call that makes no sense, 3 a document that cannot be read, 4 INCOMPLETE.
    """
    return run(paths or [Path()], form, output, quiet, jobs, strict, as_of)
