"""`gonogo ride`: what the settings come to on the road, and what limits the vehicle at each speed."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, TextIO

import typer

from ..documents.day import day_to_judge_by
from ..documents.error import DocumentErrors, UsageError
from ..documents.loading import load_profile
from ..documents.profile import Profile
from ..judgement.judge import judge
from ..judgement.ridden_books import ridden_books
from ..judgement.site_rules import shop_of
from ..reports.record import json_text
from ..reports.ride import record
from ..reports.ride_page import ride_page
from ..riding.ride_figures import Ride
from ..riding.ride_pair import rides_of_both
from ..riding.rider import rides
from ..riding.vehicle import Ridden
from .formats import DRAWN_FORMATS, known_format, page_as
from .options import AsOf, Output, format_option
from .output import GO, deliver, page_for
from .proposal import opened
from .sides import in_revision, on_disk

_FIGURE = re.compile(r" *([0-9]{1,9}(?:\.[0-9]*)?|\.[0-9]+) *(%|percent|km/h|km_h)? *")
STEEPEST_percent = 60.0  # no road is steeper
FASTEST_km_h = 200.0


def run(
    path: Path,
    mode: str | None = None,
    grade: str | None = None,
    cruise: str | None = None,
    against: str | None = None,
    form: str = "text",
    output: Path | None = None,
    as_of: str | None = None,
    out: TextIO | None = None,
) -> int:
    """Print the ride of a profile, in one mode or in all."""
    known_format(form, DRAWN_FORMATS)
    grade_percent = _figure("--grade", grade, "a grade in percent", STEEPEST_percent)
    cruise_km_h = _figure("--cruise", cruise, "a speed in km/h", FASTEST_km_h, 1.0)
    profile = opened(path, as_of)
    profile.refuse_unknown_mode(mode)
    books = _books(profile.profile, profile.judged_on, mode)
    before: tuple[str, tuple[Ride, ...]] | None = None
    if against is None:
        now = rides(books, grade_percent, cruise_km_h)
    else:
        former = _books(_former(path, against), day_to_judge_by(as_of), mode)
        then, now = rides_of_both(former, books, grade_percent, cruise_km_h)
        before = against, then
    judgement = judge(profile.profile, profile.catalogue, profile.judged_on)
    if form == "json":
        text = json_text(record(now, judgement, before))
    else:
        page = page_for(output, out)
        report = ride_page(now, judgement, form == "html", before, page.width)
        text = page_as(form, report, page)
    deliver(text, output, out, (path,))
    return GO


def _books(profile: Profile, judged_on: str, mode: str | None) -> Mapping[str, Ridden]:
    """The books of the modes asked for; one that the profile does not have is left out."""
    books = ridden_books(profile, judged_on)
    return books if mode is None else {name: books[name] for name in (mode,) if name in books}


def _former(path: Path, against: str) -> Profile:
    """The profile as a revision holds it, or another file."""
    if os.path.exists(against):
        side = on_disk(Path(against), against)
    else:
        side = in_revision(path, against)
    shop = shop_of(side.repository)
    if shop.errors:
        raise DocumentErrors(shop.errors)
    return load_profile(side.repository, side.path)


def _figure(
    option: str, answer: str | None, what: str, most: float, least: float = 0.0
) -> float | None:
    """A number of an option; raises UsageError where it is none that can be."""
    if answer is None:
        return None
    told = _FIGURE.fullmatch(answer)
    value = float(told[1]) if told else -1.0
    unit = told[2] if told else None
    if not least <= value <= most or (unit in ("%", "percent")) != (
        option == "--grade" and bool(unit)
    ):
        raise UsageError(
            f"{option} {answer}: expected {what} from {least:g} to {most:g}, such as "
            f"{option} {'8' if option == '--grade' else '40'}."
        )
    return value


def command(
    path: Annotated[Path, typer.Argument(metavar="PROFILE", help="Profile to ride.")],
    mode: Annotated[
        str | None, typer.Option(metavar="NAME", help="Only the ride in this riding mode.")
    ] = None,
    grade: Annotated[
        str | None, typer.Option(metavar="PERCENT", help="Grade to climb; default the flat.")
    ] = None,
    cruise: Annotated[
        str | None, typer.Option(metavar="KM_H", help="Steady speed of the range.")
    ] = None,
    against: Annotated[
        str | None,
        typer.Option(metavar="REV", help="Compare with a git revision, or with another profile."),
    ] = None,
    form: Annotated[str, format_option(DRAWN_FORMATS)] = "text",
    output: Output = None,
    as_of: AsOf = None,
) -> int:
    """Show what the settings come to on the road.

    Top speed, push, climb, range and heat of each mode, with what limits them. Worked out, not measured.
    """
    return run(path, mode, grade, cruise, against, form, output, as_of)
