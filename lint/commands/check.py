"""`gonogo check`: findings and a verdict for each profile under the paths."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, TextIO

import typer

from .. import __version__
from ..documents.day import day_to_judge_by
from ..documents.error import DocumentError, DocumentErrors, NoProfile, UsageError
from ..documents.identity import wrong_with_ids
from ..documents.loading import load_profile, wrong_with_others
from ..documents.search import Listed, Search, find
from ..judgement.alike import Alike
from ..judgement.catalogue import catalogue
from ..judgement.judge import judge
from ..judgement.verdict import stage_of
from ..reports.check_totals import Checked, Share, share
from ..reports.surroundings import Other
from .batch import Order, Result, Shops, unread
from .formats import FORMATS, check_format
from .options import AsOf, Jobs, Output, Quiet, format_option, processors, profiles_argument
from .output import check_status, deliver, page_for, shown_from
from .stored_results import STORE_WORDS, results_with_store, store_use

PROFILES_A_PROCESS = 40  # profiles


def run(
    paths: Sequence[Path],
    form: str = "text",
    output: Path | None = None,
    quiet: bool = False,
    jobs: int = 1,
    strict: bool = False,
    as_of: str | None = None,
    stage: str = "ride",
    out: TextIO | None = None,
    unchecked: bool = False,
    at: str | None = None,
    staged: bool = False,
    store: str = "use",
) -> int:
    """Check every profile under the paths, print the report, and return the exit status."""
    judged_on = day_to_judge_by(as_of)
    format_ = check_format(form)
    search = searched(paths, form, at, staged)
    alone = len(search.profiles) == 1
    page = page_for(output, out, quiet)._replace(alone=alone, unchecked=unchecked)
    order = Order(form, page, judged_on, strict, stage=stage_of(stage))
    judged = results_with_store(
        search.profiles, order, Inspector, jobs, PROFILES_A_PROCESS, store_use(store)
    )
    checked = _checked(search, judged, judged_on)
    if not (checked.shares or checked.unread):
        raise NoProfile([str(path) for path in paths])
    deliver(format_.report(checked, page), output, out, paths)
    return check_status(checked, strict)


def searched(paths: Sequence[Path], form: str, at: str | None, staged: bool) -> Search:
    """The documents that a call asks for: on the disk, in a commit or as they are staged."""
    if at is None and not staged:
        return find(paths, shown_from(paths, form))
    if at is not None and staged:
        raise UsageError("--at names a commit and --staged none: expected one of them.")
    from .revisions import found_in

    return found_in(at, paths, Path.cwd(), form)


class Inspector:
    """Judges profiles by the rules of their shops."""

    def __init__(self, order: Order) -> None:
        self.order = order
        self.body = check_format(order.form).body
        self.shops = Shops()
        self.alike = Alike()

    def result(self, profile: Listed) -> Result[Share]:
        """A profile's share of the report, unless errors keep it from being judged.

        A shop's own rule that cannot be used is an error too; the other rules still judge.
        """
        shop = self.shops.of(profile.repository)
        try:
            loaded = load_profile(profile.repository, profile.path)
        except DocumentErrors as broken:
            return Result(profile.file, None, broken.errors)
        order = self.order
        judgement = judge(
            loaded, shop.catalogue, order.judged_on, order.strict, order.stage, self.alike
        )
        body = self.body(judgement, self.order.page)
        return Result(profile.file, share(judgement, body), shop.errors)


def _checked(search: Search, judged: Sequence[Result[Share]], judged_on: str) -> Checked:
    """The whole of the report: shares in the order of the files, and each error once."""
    met: list[tuple[DocumentError, str | None]] = [
        (error, result.file) for result in judged for error in result.errors
    ]
    met += [(error, None) for error in wrong_with_others(search)]
    met += [(error, None) for error in _wrong_with_ids(search, judged, judged_on)]
    met += [(error, None) for error in search.errors]
    return Checked(
        judged_on=judged_on,
        tool=__version__,
        catalogue=catalogue().digest,
        shares=tuple(result.share for result in judged if result.share is not None),
        unread=unread(met),
        others=(
            *(Other(o.file, o.kind) for o in search.others if o.kind != "profile"),
            *(Other(file, "other") for file in search.foreign),
        ),
    )


def _wrong_with_ids(
    search: Search, judged: Sequence[Result[Share]], judged_on: str
) -> list[DocumentError]:
    ids = (result.share.identity if result.share else None for result in judged)
    repositories = (profile.repository for profile in search.profiles)
    return wrong_with_ids(zip(repositories, ids, strict=True), judged_on)


def command(
    paths: Annotated[list[Path] | None, profiles_argument("check")] = None,
    form: Annotated[str, format_option(FORMATS)] = "text",
    output: Output = None,
    quiet: Quiet = False,
    jobs: Jobs = None,
    strict: Annotated[
        bool, typer.Option("--strict", help="Count advice and waived dangers as NO-GO too.")
    ] = False,
    as_of: AsOf = None,
    stage: Annotated[
        str,
        typer.Option(
            metavar="STAGE", help="GO for what: stand (motor may turn on the stand) or ride."
        ),
    ] = "ride",
    unchecked: Annotated[
        bool,
        typer.Option(
            "--unchecked", help="Name each rule that could not be checked, gravest first."
        ),
    ] = False,
    at: Annotated[
        str | None,
        typer.Option(
            "--at", metavar="REV", help="Check the files of this commit, not of the disk."
        ),
    ] = None,
    staged: Annotated[
        bool, typer.Option("--staged", help="Check the files as they are staged for a commit.")
    ] = False,
    store: Annotated[
        str,
        typer.Option(metavar="HOW", help=f"Results of earlier runs: {', '.join(STORE_WORDS)}."),
    ] = "use",
) -> int:
    """Check every profile under the paths.

    Prints the findings, a verdict and how many rules were checked. Exit status: 0 GO, 1 NO-GO,
    2 wrong usage, 3 a document cannot be read, 4 INCOMPLETE.
    """
    found = paths or [Path()]
    at_once = jobs or processors()
    options = (form, output, quiet, at_once, strict, as_of, stage, None, unchecked, at, staged)
    return run(found, *options, store=store)
