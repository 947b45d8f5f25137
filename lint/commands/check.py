"""`gonogo check`: findings and a verdict for each profile under the paths."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from time import perf_counter
from typing import Annotated, TextIO

import typer

from .. import __version__
from ..documents.day import day_to_judge_by
from ..documents.error import DocumentError, DocumentErrors, NoProfile
from ..documents.identity import wrong_with_ids
from ..documents.known import path_in_list
from ..documents.loading import load_profile, wrong_with_others
from ..documents.search import Listed, Search
from ..documents.trial import Trials
from ..documents.trial_values import trials_of
from ..documents.twins import with_twins
from ..judgement.alike import Alike
from ..judgement.catalogue import catalogue
from ..judgement.judge import judge
from ..judgement.verdict import stage_of
from ..reports.check_totals import Checked, Unread
from ..reports.fleet import is_fleet
from ..reports.profile_share import Share, share
from ..reports.surroundings import Other
from .asked_documents import searched
from .batch import Order, Result, Shops, unread
from .formats import FORMATS, check_format, is_in_pieces, pieces_of
from .known_list import known_list
from .known_missing import missing_vehicles
from .options import (
    AsOf,
    Jobs,
    Output,
    Quiet,
    Store,
    Tried,
    format_option,
    processors,
    profiles_argument,
)
from .output import GO, check_status, deliver, page_for
from .retired_entries import wrong_entries
from .spool import put_away
from .stored_results import results_with_store, store_use

PROFILES_A_PROCESS = 40  # profiles
ROOM_FOR = 40  # profiles, whose texts are kept in memory
FOLDING = ("text", "markdown")  # the formats that fold what is GO in a fleet
FOLDING_OR_DRAWN = (*FOLDING, "html")  # those that a person reads


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
    full: bool = False,
    tried: Sequence[str] = (),
    known: Path | None = None,
    store: str = "use",
) -> int:
    """Check every profile under the paths, print the report, and return the exit status."""
    judged_on = day_to_judge_by(as_of)
    format_ = check_format(form)
    search, named = searched(paths, form, at, staged, judged_on)
    alone = len(search.profiles) == 1
    page = page_for(output, out, quiet)._replace(alone=alone, unchecked=unchecked, whole=full)
    in_lines = form in FOLDING and not (full or quiet or unchecked)
    page = page._replace(fleet=in_lines and is_fleet(len(search.profiles)))
    listed = None if known is None else known_list(known, search, paths, at, staged)
    order = Order(
        form,
        page,
        judged_on,
        strict,
        stage=stage_of(stage),
        trials=trials_of(tried),
        known=None if listed is None else listed.known,
    )
    found = results_with_store(
        search.profiles, order, Inspector, jobs, PROFILES_A_PROCESS, store_use(store)
    )
    with put_away(found, is_in_pieces(format_) and len(search.profiles) > ROOM_FOR) as judged:
        checked = _checked(search, judged, judged_on, named.passed)
        lost: tuple[Unread, ...] = ()
        if listed is not None:
            lost = missing_vehicles(listed, search.profiles, judged, judged_on)
        told = {error.file for error in lost}  # with what the list has of it
        vanished = (error for error in named.vanished if error.file not in told)
        checked = checked._replace(unread=(*vanished, *checked.unread, *lost))
        is_empty = not (checked.shares or checked.unread)
        if is_empty and named.has_folder:
            raise NoProfile([str(path) for path in paths])
        deliver(pieces_of(format_, checked, page), output, out, paths)
    return GO if is_empty else check_status(checked, strict)  # no file named stands for a profile


class Inspector:
    """Judges profiles by the rules of their shops."""

    def __init__(self, order: Order) -> None:
        self.order = order
        self.body = check_format(order.form).body
        self.shops = Shops()
        self.load = Trials(order.trials).load if order.trials else load_profile
        self.alike = Alike()

    def result(self, profile: Listed) -> Result[Share]:
        """A profile's share of the report, unless errors keep it from being judged.

        A shop's own rule that cannot be used is an error too; the other rules still judge.
        """
        shop = self.shops.of(profile.repository)
        began = perf_counter()
        try:
            loaded = self.load(profile.repository, profile.path)
        except DocumentErrors as broken:
            return Result(profile.file, None, broken.errors)
        order = self.order
        judgement = judge(
            loaded, shop.catalogue, order.judged_on, order.strict, order.stage, self.alike
        )
        if order.known is not None:
            from ..comparison.known_findings import with_known  # late: most checks have no list

            judgement = with_known(
                judgement,
                order.known,
                path_in_list(order.known, profile.repository, profile.path),
                shop.catalogue,
                order.strict,
            )
        body = self.body(judgement, self.order.page)
        told = share(judgement, body)._replace(seconds=perf_counter() - began)
        if order.page.alone and order.form in FOLDING_OR_DRAWN and judgement.verdict == "no-go":
            from ..reports.suspects import single_cause_words  # late: most checks are GO

            told = told._replace(single=single_cause_words(judgement, shop.catalogue))
        return Result(profile.file, told, shop.errors)


def _checked(
    search: Search,
    judged: Sequence[Result[Share]],
    judged_on: str,
    passed: Sequence[Other] = (),
) -> Checked:
    """The whole of the report: shares in the order of the files, and each error once."""
    met: list[tuple[DocumentError, str | None]] = [
        (error, result.file) for result in judged for error in result.errors
    ]
    met += [(error, None) for error in wrong_with_others(search)]
    met += [(error, None) for error in wrong_entries(search.others, judged_on)]
    files = {profile.file for profile in search.profiles}
    of_ids = [
        (error, error.file if error.file in files else None)
        for error in _wrong_with_ids(search, judged, judged_on)
    ]
    met += of_ids
    # Two vehicles, or none: no verdict is known to be theirs.
    in_doubt = {file for _, file in of_ids}
    met += [(error, None) for error in search.errors]
    return Checked(
        judged_on=judged_on,
        tool=__version__,
        catalogue=catalogue().digest,
        shares=tuple(
            result.share
            for result in judged
            if result.share is not None and result.share.file not in in_doubt
        ),
        unread=unread(met),
        others=(
            *(Other(o.file, o.kind) for o in search.others if o.kind != "profile"),
            *(Other(file, "other") for file in search.foreign),
            *passed,
        ),
    )


def _wrong_with_ids(
    search: Search, judged: Sequence[Result[Share]], judged_on: str
) -> list[DocumentError]:
    given = (
        (profile.repository, profile.path, result.share.identity if result.share else None)
        for profile, result in zip(search.profiles, judged, strict=True)
    )
    return wrong_with_ids(with_twins(given), judged_on)


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
    full: Annotated[
        bool,
        typer.Option("--full", help="Print every finding of more than 3 profiles as well."),
    ] = False,
    tried: Tried = None,
    known: Annotated[
        Path | None,
        typer.Option(
            "--known",
            metavar="FILE",
            help="Exit with 0 if nothing is new or worse than this list, made by `gonogo known`.",
        ),
    ] = None,
    store: Store = "use",
) -> int:
    """Check every profile under the paths.

    Prints the findings, a verdict and how many rules were checked; of more than 3 profiles a line
    each. A part, a house file or an own rule stands for the profiles that take it, and a file that
    is none of ours is passed over. Exit status: 0 GO, 1 NO-GO, 2 wrong usage, 3 a document cannot
    be read, 4 INCOMPLETE.
    """
    found = paths or [Path()]
    return run(
        found,
        form,
        output,
        quiet,
        jobs or processors(),
        strict,
        as_of,
        stage,
        unchecked=unchecked,
        at=at,
        staged=staged,
        full=full,
        tried=tried or (),
        known=known,
        store=store,
    )
