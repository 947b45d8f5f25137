"""`gonogo diff`: two revisions side by side: what changed, what it does, is it still safe?"""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..documents.day import day_to_judge_by
from ..documents.error import UsageError
from ..reports.comparison_totals import Compared
from .collation import Order, collated
from .formats import COMPARISON_FORMATS, comparison_module
from .options import AsOf, Jobs, Output, Quiet, format_option
from .output import GO, INCOMPLETE, NO_GO, NOT_READ, deliver, page_for
from .sides import Pair, Pairing, both_sides, last_commit, since

FORMS = "`gonogo diff OLD NEW`, `gonogo diff PROFILE` or `gonogo diff --since REV [PATH…]`"


def run(
    sides: Sequence[str],
    since_revision: str | None = None,
    form: str = "text",
    output: Path | None = None,
    quiet: bool = False,
    jobs: int = 1,
    strict: bool = False,
    as_of: str | None = None,
    out: TextIO | None = None,
    here: Path | None = None,
) -> int:
    """Compare what is asked for, print the report, and answer with the exit status."""
    judged_on = day_to_judge_by(as_of)
    module = comparison_module(form)
    page = page_for(output, out, quiet)
    pairing = pairing_of(sides, since_revision, here or Path.cwd())
    order = Order(form, page, judged_on, strict, since_revision)
    compared = collated(pairing, order, jobs)
    deliver(module.report(compared, page), output, out)
    return status_of(compared, strict)


def pairing_of(sides: Sequence[str], since_revision: str | None, here: Path) -> Pairing:
    """The revisions that stand side by side, by the form of the call."""
    if since_revision is not None:
        return since(since_revision, [here / side for side in sides or (".",)])
    if len(sides) == 1:
        name = sides[0]
        path = here / name
        if ":" in name and not os.path.exists(path):
            raise UsageError(f"{name} is one side alone; wanted is {FORMS}.")
        return Pairing((Pair(*last_commit(path)),))
    if len(sides) == 2:
        return Pairing((Pair(*both_sides(sides[0], sides[1], here)),))
    raise UsageError(f"{len(sides)} sides: wanted is {FORMS}.")


def status_of(compared: Compared, strict: bool) -> int:
    """1 where the change brought in a danger or fault or made one worse, 4 where it hid a gate.

    With `strict` the whole new side is judged, whatever it was before.
    """
    if compared.unread:
        return NOT_READ
    verdicts = {one.new.verdict for one in compared.revised if one.new is not None}
    if any(one.harms for one in compared.revised) or (strict and "no-go" in verdicts):
        return NO_GO
    hidden = any(one.hides for one in compared.revised)
    return INCOMPLETE if hidden or (strict and "incomplete" in verdicts) else GO


def command(
    sides: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[SIDE]...",
            show_default=False,
            help="OLD and NEW, each a path or REV:path; one PROFILE alone is read against the "
            "last commit; with --since, the PATHs to look under.",
        ),
    ] = None,
    since_revision: Annotated[
        str | None,
        typer.Option("--since", metavar="REV", help="Every profile that changed since REV."),
    ] = None,
    form: Annotated[str, format_option(COMPARISON_FORMATS)] = "text",
    output: Output = None,
    quiet: Quiet = False,
    jobs: Jobs = 1,
    strict: Annotated[
        bool,
        typer.Option("--strict", help="Judge the whole new side, and a caution is NO-GO too."),
    ] = False,
    as_of: AsOf = None,
) -> int:
    """Compare two revisions of a profile.

    What changed, what it does, and whether it is still safe.
    """
    return run(sides or [], since_revision, form, output, quiet, jobs, strict, as_of)
