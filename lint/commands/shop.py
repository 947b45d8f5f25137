"""`gonogo shop`: the vehicles of a shop on one page, the worst first."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, TextIO

import typer

from .. import __version__
from ..documents.day import day_to_judge_by
from ..documents.error import DocumentError, NoProfile, UsageError
from ..documents.identity import wrong_with_ids
from ..documents.loading import wrong_with_others
from ..documents.search import find
from ..documents.twins import with_twins
from ..reports.shop import (
    WholeShop,
    record,
    shop_page,
    status_line,
    worst_vehicle_first,
)
from .asked_documents import lost_below
from .batch import unread
from .due import SOON_days, due_days
from .formats import DRAWN_FORMATS, known_format, page_or_record
from .options import AsOf, Jobs, Output, Store, format_option, processors, profiles_argument
from .output import GO, INCOMPLETE, NO_GO, NOT_READ, deliver, page_for, shown_from
from .retired_entries import wrong_entries
from .shop_vehicles import shop_order, shop_results
from .stored_results import store_use

COMMITS = 10
COUNT_OF_COMMITS = re.compile(r"[0-9]{1,3}")


def run(
    paths: Sequence[Path],
    form: str = "text",
    output: Path | None = None,
    within: str = str(SOON_days),
    commits: str = str(COMMITS),
    in_one_line: bool = False,
    as_of: str | None = None,
    out: TextIO | None = None,
    jobs: int = 1,
    store: str = "use",
) -> int:
    """Print the shop; the status is that of a check of all its vehicles."""
    known_format(form, DRAWN_FORMATS)
    if not COUNT_OF_COMMITS.fullmatch(commits):
        raise UsageError(f"--commits {commits}: expected a number of commits, such as 10, or 0.")
    if in_one_line and form != "text":
        raise UsageError(f"--status-line is text: expected it without --format {form}.")
    number = 0 if in_one_line else int(commits)
    day = day_to_judge_by(as_of)
    shop = whole_shop(paths, day, due_days(within), number, form, jobs=jobs, store=store)
    if in_one_line:
        text = status_line(shop)
    else:
        page = page_for(output, out)
        text = page_or_record(
            form, lambda: shop_page(shop, __version__), lambda: record(shop), page
        )
    deliver(text, output, out, paths)
    return shop_status(shop)


def whole_shop(
    paths: Sequence[Path],
    judged_on: str,
    within_days: int,
    commits: int,
    form: str = "text",
    seen: bool = True,
    jobs: int = 1,
    store: str = "off",
) -> WholeShop:
    """Every profile that can be read, the worst first, and each error once; how far it is, is `seen`."""
    search = find(paths, shown_from(paths, form))
    lost = lost_below(list(filter(os.path.isdir, paths)), search, judged_on, form)
    if not (search.profiles or search.errors or lost):
        raise NoProfile([str(path) for path in paths])
    met: list[tuple[DocumentError, str | None]] = [(error, None) for error in search.errors]
    met += [(error, None) for error in wrong_with_others(search)]
    met += [(error, None) for error in wrong_entries(search.others, judged_on)]
    order = shop_order(judged_on, within_days, commits, quiet=not seen)
    judged = shop_results(search.profiles, order, jobs, store_use(store))
    met += [(error, result.file) for result in judged for error in result.errors]
    ids = [
        (listed.repository, listed.path, result.share.identity if result.share else None)
        for listed, result in zip(search.profiles, judged, strict=True)
    ]
    of_ids = wrong_with_ids(with_twins(ids), judged_on)
    in_doubt = {error.file for error in of_ids}
    files = {listed.file for listed in search.profiles}
    met += [(error, error.file if error.file in files else None) for error in of_ids]
    vehicles = [
        result.share.vehicle
        for result in judged
        if result.share is not None and result.share.vehicle.file not in in_doubt
    ]
    vehicles.sort(key=worst_vehicle_first)
    return WholeShop(judged_on, within_days, commits, tuple(vehicles), (*lost, *unread(met)))


def shop_status(shop: WholeShop) -> int:
    """As a check of all vehicles: the first that occurs of not read, NO-GO and INCOMPLETE."""
    verdicts = {one.stages["ride"] for one in shop.vehicles}
    if shop.unread:
        return NOT_READ
    return NO_GO if "no-go" in verdicts else INCOMPLETE if "incomplete" in verdicts else GO


def command(
    paths: Annotated[list[Path] | None, profiles_argument("show")] = None,
    within: Annotated[
        str, typer.Option(metavar="DAYS", help="Count as due what holds no longer than this.")
    ] = str(SOON_days),
    commits: Annotated[
        str, typer.Option(metavar="N", help="Show the verdicts at the last N commits; 0 for none.")
    ] = str(COMMITS),
    in_one_line: Annotated[
        bool, typer.Option("--status-line", help="Print one line, for a notification.")
    ] = False,
    form: Annotated[str, format_option(DRAWN_FORMATS)] = "text",
    output: Output = None,
    as_of: AsOf = None,
    jobs: Jobs = None,
    store: Store = "use",
) -> int:
    """Show all vehicles on one page, the worst first.

    Verdict of each stage, tightest margin, age of the readings, waivers and work that are due, and the
    verdicts at the last commits. Exit status as for `gonogo check`.
    """
    found = paths or [Path()]
    workers = jobs or processors()
    return run(found, form, output, within, commits, in_one_line, as_of, jobs=workers, store=store)
