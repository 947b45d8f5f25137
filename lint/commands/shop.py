"""`gonogo shop`: the vehicles of a shop on one page, the worst first."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, TextIO

import typer

from .. import __version__
from ..comparison.comparison import judged_side
from ..comparison.tightest import tightest_margin
from ..documents.day import day_to_judge_by, days_between
from ..documents.error import DocumentError, DocumentErrors, NoProfile, UsageError
from ..documents.files import WorkingTree
from ..documents.identity import identity_in, wrong_with_ids
from ..documents.loading import load_profile, wrong_with_others
from ..documents.profile import Profile
from ..documents.search import Listed, find
from ..documents.twins import with_twins
from ..judgement.due import READINGS_DAY, all_due
from ..judgement.untried import untried_words
from ..judgement.verdict import ask_of, fitness, short_of
from ..reports.record import json_text
from ..reports.shop import (
    ShopVehicle,
    WholeShop,
    gravest_rule,
    record,
    shop_page,
    status_line,
    worst_vehicle_first,
)
from .batch import Shops, unread
from .due import SOON_days, due_days
from .formats import DRAWN_FORMATS, known_format, page_as
from .options import AsOf, Output, format_option, profiles_argument
from .output import GO, INCOMPLETE, NO_GO, NOT_READ, deliver, page_for, shown_from
from .progress import progress
from .verdict_trend import Trends

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
) -> int:
    """Print the shop; the status is that of a check of all its vehicles."""
    known_format(form, DRAWN_FORMATS)
    if not COUNT_OF_COMMITS.fullmatch(commits):
        raise UsageError(f"--commits {commits}: expected a number of commits, such as 10, or 0.")
    if in_one_line and form != "text":
        raise UsageError(f"--status-line is text: expected it without --format {form}.")
    number = 0 if in_one_line else int(commits)
    shop = whole_shop(paths, day_to_judge_by(as_of), due_days(within), number, form)
    if in_one_line:
        text = status_line(shop)
    elif form == "json":
        text = json_text(record(shop))
    else:
        text = page_as(form, shop_page(shop, __version__), page_for(output, out))
    deliver(text, output, out, paths)
    return shop_status(shop)


def whole_shop(
    paths: Sequence[Path],
    judged_on: str,
    within_days: int,
    commits: int,
    form: str = "text",
    seen: bool = True,
) -> WholeShop:
    """Every profile that can be read, the worst first, and each error once; how far it is, is `seen`."""
    search = find(paths, shown_from(paths, form))
    if not (search.profiles or search.errors):
        raise NoProfile([str(path) for path in paths])
    met: list[tuple[DocumentError, str | None]] = [(error, None) for error in search.errors]
    met += [(error, None) for error in wrong_with_others(search)]
    shops, trends = Shops(), Trends(commits, judged_on)
    vehicles: list[ShopVehicle] = []
    ids = []
    with progress(len(search.profiles), "profiles", not seen) as done:
        for listed in search.profiles:
            met += [(error, listed.file) for error in shops.of(listed.repository).errors]
            try:
                profile = load_profile(listed.repository, listed.path)
            except DocumentErrors as broken:
                met += [(error, listed.file) for error in broken.errors]
            else:
                ids.append((listed.repository, listed.path, identity_in(profile)))
                vehicles.append(_vehicle(profile, listed, shops, trends, judged_on, within_days))
            done(1)
    of_ids = wrong_with_ids(with_twins(ids), judged_on)
    in_doubt = {error.file for error in of_ids}
    files = {listed.file for listed in search.profiles}
    met += [(error, error.file if error.file in files else None) for error in of_ids]
    vehicles = [one for one in vehicles if one.file not in in_doubt]
    vehicles.sort(key=worst_vehicle_first)
    return WholeShop(judged_on, within_days, commits, tuple(vehicles), unread(met))


def _vehicle(
    profile: Profile,
    listed: Listed,
    shops: Shops,
    trends: Trends,
    judged_on: str,
    within_days: int,
) -> ShopVehicle:
    catalogue = shops.of(listed.repository).catalogue
    side = judged_side(profile, catalogue, judged_on)
    taken = profile.value(READINGS_DAY)
    files = listed.repository.files
    assert isinstance(files, WorkingTree)
    return ShopVehicle(
        file=profile.file,
        name=profile.name,
        stages=dict(side.judgement.stages),
        fitness=" · ".join(filter(None, (fitness(side.judgement), untried_words(side.judgement)))),
        gravest=gravest_rule(side.judgement),
        tightest=tightest_margin(side, catalogue),
        readings_days=days_between(taken, judged_on) if isinstance(taken, str) else None,
        due=tuple(one for one in all_due(profile, judged_on) if one.within(within_days)),
        asks=tuple(map(ask_of, short_of(side.judgement.not_checked, "ride"))),
        trend=trends.of(Path(os.path.join(files.root, listed.path))),
    )


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
) -> int:
    """Show all vehicles on one page, the worst first.

    Verdict of each stage, tightest margin, age of the readings, waivers and work that are due, and the
    verdicts at the last commits. Exit status as for `gonogo check`.
    """
    return run(paths or [Path()], form, output, within, commits, in_one_line, as_of)
