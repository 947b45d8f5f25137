"""`gonogo due`: what is due on the vehicles of a shop, and when."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..documents.day import day_to_judge_by
from ..documents.error import DocumentError, DocumentErrors, NoProfile, UsageError
from ..documents.loading import load_profile
from ..documents.search import find
from ..judgement.due import all_due
from ..reports.due import DueVehicle, ShopDue, due_page, record, soonest_first
from .asked_documents import lost_below
from .batch import unread
from .formats import PLAIN_FORMATS, known_format, page_or_record
from .options import AsOf, Output, PlainFormat, profiles_argument
from .output import GO, NO_GO, NOT_READ, deliver, page_for

DAYS = re.compile(r"[0-9]{1,4}")
SOON_days = 30


def run(
    paths: Sequence[Path],
    within: str = str(SOON_days),
    form: str = "text",
    output: Path | None = None,
    as_of: str | None = None,
    out: TextIO | None = None,
) -> int:
    """Print what is due on every profile under the paths; the status says whether anything is."""
    known_format(form, PLAIN_FORMATS)
    judged_on = day_to_judge_by(as_of)
    shop = _shop(paths, judged_on, due_days(within))
    if not (shop.vehicles or shop.unread):
        raise NoProfile([str(path) for path in paths])
    page = page_for(output, out)
    text = page_or_record(form, lambda: due_page(shop), lambda: record(shop), page)
    deliver(text, output, out, paths)
    if shop.unread:
        return NOT_READ
    return NO_GO if shop.waiting else GO


def _shop(paths: Sequence[Path], judged_on: str, within_days: int) -> ShopDue:
    """Every profile that can be read, the soonest first, and each error once."""
    search = find(paths)
    lost = lost_below(list(filter(os.path.isdir, paths)), search, judged_on, "text")
    vehicles: list[DueVehicle] = []
    met: list[tuple[DocumentError, str | None]] = [(error, None) for error in search.errors]
    for listed in search.profiles:
        try:
            profile = load_profile(listed.repository, listed.path)
        except DocumentErrors as broken:
            met += [(error, listed.file) for error in broken.errors]
        else:
            vehicles.append(DueVehicle(profile.file, profile.name, all_due(profile, judged_on)))
    return ShopDue(judged_on, within_days, soonest_first(vehicles), (*lost, *unread(met)))


def due_days(told: str) -> int:
    """The days of `--within`; raises UsageError where they are none."""
    if not DAYS.fullmatch(told):
        raise UsageError(f"--within {told}: expected a number of days, such as --within 30.")
    return int(told)


def command(
    paths: Annotated[list[Path] | None, profiles_argument("look through")] = None,
    within: Annotated[
        str, typer.Option(metavar="DAYS", help="Count as due what holds no longer than this.")
    ] = str(SOON_days),
    form: PlainFormat = "text",
    output: Output = None,
    as_of: AsOf = None,
) -> int:
    """Show what is due on each vehicle, and when, the soonest first.

    Readings, motor identification, read-back and waivers by their last day. Readings and a read-back
    without a day are due at once. Exit status: 0 nothing is due, 1 something is, 3 a document cannot be read.
    """
    return run(paths or [Path()], within, form, output, as_of)
