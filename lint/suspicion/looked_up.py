"""Entries looked up again: where the first suspect's value stands, and what that would show."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from ..documents.profile import Profile
from ..quantities.number import is_number, tidy
from .hypotheses import MOST_SLIPS, Hypothesis
from .next_reading import NextReading
from .sites import Change, Site, entered_at, sites_of


def look_ups(profile: Profile, hypothesis: Hypothesis, second: int | None) -> Iterator[NextReading]:
    """The first suspect's entry looked up again, of two slips both, or the display read again.

    `second` is the number of the suspect that each tells it apart from, None where there is none.

    A setting that did not follow an entry holds what it holds: that entry is looked up in its place.
    """
    for reread in hypothesis.reread[:1]:
        yield _lookup(reread.site, (reread.entered, reread.site.given.entered), second)._replace(
            again=True, label=False, once_set=True
        )
        return
    follows = hypothesis.follows or (None,) * len(hypothesis.changes)
    pairs = list(zip(hypothesis.changes, follows, strict=True))
    for change, follow in pairs if hypothesis.slips == MOST_SLIPS else pairs[:1]:
        if change.site.quantity.startswith("readings."):
            told = change.entered, change.site.given.entered
            yield _lookup(change.site, told, None)._replace(again=True, label=False)
            continue
        followed = None if follow is None else _followed(profile, change, follow.quantity)
        if follow is not None and followed is not None:
            told = followed.given.entered, _agreeing(followed, change, follow.times)
            yield _lookup(followed, told, second)
        else:
            meant = change.entered if hypothesis.known else None
            yield _lookup(change.site, (meant, change.site.given.entered), second)


def _lookup(site: Site, expected: tuple[Any, Any], second: int | None) -> NextReading:
    unit = site.entry.unit
    return NextReading(site.key, site.quantity, unit, (0, second), expected, 0.0, label=True)


def _agreeing(followed: Site, change: Change, times: float) -> Any:
    """What an entry would be that agrees with a setting as it stands."""
    value = change.site.given.value
    if times == 1.0 or not is_number(value):
        return entered_at(followed, value)
    told = float(entered_at(followed, times * value))
    return round(told) if followed.entry.kind == "integer" else tidy(told)


def _followed(profile: Profile, change: Change, follows: str) -> Site | None:
    """The entry that a setting did not follow, where it stands itself in a document."""
    if not change.site.quantity.startswith("settings.") or follows.startswith("settings."):
        return None
    motors = change.site.motors
    return next(
        (
            site
            for site in sites_of(profile)
            if site.quantity == follows
            and not site.mode
            and (set(motors) <= set(site.motors) or set(site.motors) <= set(motors))
        ),
        None,
    )
