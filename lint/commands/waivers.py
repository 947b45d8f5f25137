"""`gonogo waivers`: every waiver of a shop, with its size, its age, its last day and who added it."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, TextIO

from ..documents.day import day_to_judge_by
from ..documents.error import DocumentError, DocumentErrors, NoProfile
from ..documents.files import WorkingTree
from ..documents.git_addition import addition_of, last_change_of
from ..documents.loading import load_profile
from ..documents.profile import Waiver
from ..documents.search import Listed, find
from ..judgement.judge import judge
from ..judgement.waiver_list import listed_waivers
from ..reports.waivers import ShopWaiver, ShopWaivers, record, waivers_page
from .batch import Shops, unread
from .formats import PLAIN_FORMATS, known_format, page_or_record
from .options import AsOf, Output, PlainFormat, profiles_argument
from .output import GO, NOT_READ, deliver, page_for


def run(
    paths: Sequence[Path],
    form: str = "text",
    output: Path | None = None,
    as_of: str | None = None,
    out: TextIO | None = None,
) -> int:
    """List every waiver of the profiles under the paths."""
    known_format(form, PLAIN_FORMATS)
    shop = _shop(paths, day_to_judge_by(as_of))
    page = page_for(output, out)
    text = page_or_record(form, lambda: waivers_page(shop), lambda: record(shop), page)
    deliver(text, output, out, paths)
    return NOT_READ if shop.unread else GO


def _shop(paths: Sequence[Path], judged_on: str) -> ShopWaivers:
    """The waivers of every profile that can be read, the first to run out first."""
    search = find(paths)
    met: list[tuple[DocumentError, str | None]] = [(error, None) for error in search.errors]
    if not (search.profiles or met):
        raise NoProfile([str(path) for path in paths])
    shops = Shops()
    told: list[ShopWaiver] = []
    for listed in search.profiles:
        try:
            told += _of(listed, shops, judged_on)
        except DocumentErrors as broken:
            met += [(error, listed.file) for error in broken.errors]
    told.sort(key=lambda one: (one.listed.waiver.until, one.file, one.listed.waiver.rule))
    return ShopWaivers(judged_on, len(search.profiles), tuple(told), unread(met))


def _of(listed: Listed, shops: Shops, judged_on: str) -> list[ShopWaiver]:
    profile = load_profile(listed.repository, listed.path)
    if not profile.waivers:
        return []
    catalogue = shops.of(listed.repository).catalogue
    judgement = judge(profile, catalogue, judged_on)
    files = listed.repository.files
    assert isinstance(files, WorkingTree)
    file = Path(os.path.join(files.root, listed.path))
    return [
        ShopWaiver(
            profile.file,
            profile.name,
            one,
            addition_of(file, one.waiver.rule),
            last_change_of(file, profile.texts[profile.file], _accepted_on(one.waiver)),
        )
        for one in listed_waivers(judgement, catalogue)
    ]


def _accepted_on(waiver: Waiver) -> list[int]:
    """The lines that say how much a waiver accepts, and until when."""
    return [waiver.places[key].line for key in ("accepts", "until") if key in waiver.places]


def command(
    paths: Annotated[list[Path] | None, profiles_argument("look through")] = None,
    form: PlainFormat = "text",
    output: Output = None,
    as_of: AsOf = None,
) -> int:
    """List every waiver: its rule, vehicle, size, age, last day and who added it.

    The first to run out comes first. Who added it is the author of the commit that last put the
    rule's name into the profile; who accepts it now wrote the size or the last day. Exit status: 0, or 3 if a document cannot be read.
    """
    return run(paths or [Path()], form, output, as_of)
