"""The waivers of a shop: a row each, the first to run out first, and the same for machines."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, NamedTuple

from ..documents.day import days_between
from ..documents.git_addition import Addition
from ..documents.text import so_many
from ..judgement.waiver_list import STATE_WORDS, ListedWaiver
from .check_totals import Unread
from .record import exact, unread_record
from .section import Card, Code, Line, Report, Section, Table, Toned
from .unread_cards import unread_cards

WAIVERS_EDITION = "waivers/1"
_UNCOMMITTED = "not committed"
_CUT_OFF = "added before this shallow clone begins, by whom is not known here"


class ShopWaiver(NamedTuple):
    """A waiver with its vehicle and, where git knows, who added it, and who wrote its size or last day."""

    file: str
    name: str
    listed: ListedWaiver
    added: Addition | None
    accepted: Addition | None = None


class ShopWaivers(NamedTuple):
    """All waivers of a shop on a day, of how many vehicles, and what could not be read."""

    judged_on: str
    vehicles: int
    waivers: tuple[ShopWaiver, ...]
    unread: tuple[Unread, ...]


def record(shop: ShopWaivers) -> dict[str, Any]:
    """The waivers as plain data."""
    return {
        "gonogo": WAIVERS_EDITION,
        "judged_on": shop.judged_on,
        "vehicles": shop.vehicles,
        "waivers": [_record(one, shop.judged_on) for one in shop.waivers],
        "errors": [unread_record(error) for error in shop.unread],
    }


def _record(one: ShopWaiver, judged_on: str) -> dict[str, Any]:
    waiver, place = one.listed.waiver, one.listed.waiver.place
    added = one.added
    return {
        "rule": waiver.rule,
        "mode": waiver.mode,
        "motor": waiver.motor,
        "vehicle": one.name,
        "file": place.file,
        "line": place.line,
        "state": one.listed.state,
        "accepts": exact(waiver.accepts),
        "size": one.listed.size or None,
        "found": one.listed.found or None,
        "reason": waiver.reason,
        "last_day": waiver.until,
        "left_days": one.listed.left_days,
        "age_days": None if added is None or added.is_cut else days_between(added.day, judged_on),
        "added": _commit_record(added),
        "accepted": _commit_record(one.accepted),
    }


def _commit_record(commit: Addition | None) -> dict[str, Any] | None:
    if commit is None or commit.is_cut:
        return None
    return {"by": commit.author, "on": commit.day, "commit": commit.commit}


def waivers_page(shop: ShopWaivers) -> Report:
    """A table of the waivers, with who added each and where it stands below it."""
    rows = tuple(_cells(one, shop.judged_on) for one in shop.waivers)
    heads = ("rule", "vehicle", "size", "age", "last day", "state")
    table = Table(heads, rows, labels=False, below=tuple(_below(shop)), headed=True)
    count = so_many(len(shop.waivers), "waiver")
    card = Card(
        verdict=count.upper(),
        tone="incomplete" if any(one.listed.state != "covers" for one in shop.waivers) else "go",
        name=f"on {so_many(shop.vehicles, 'vehicle')}, as of {shop.judged_on}",
        sections=(Section("", (table,)),) if rows else (),
        stamped=True,
    )
    return Report("gonogo waivers", (card, *unread_cards(shop.unread)))


def _cells(one: ShopWaiver, judged_on: str) -> tuple[Line, ...]:
    listed = one.listed
    age = "" if one.added is None else so_many(days_between(one.added.day, judged_on), "day")
    age = f"{age} or more" if one.added is not None and one.added.is_cut else age
    return (
        (Code(listed.waiver.rule),),
        (Toned(one.name, "bold"),),
        (listed.size or "none",),
        (age,),
        (listed.waiver.until,),
        (STATE_WORDS[listed.state],),
    )


def _below(shop: ShopWaivers) -> Iterator[Line]:
    for one in shop.waivers:
        waiver = one.listed.waiver
        apart = [f"mode {waiver.mode}"] if waiver.mode else []
        apart += [f"motor {waiver.motor}"] if waiver.motor else []
        apart.append(_added(one.added))
        if one.added and one.accepted is None:
            apart.append("size or last day not committed")
        elif (
            one.added
            and one.accepted
            and not one.accepted.is_cut
            and one.accepted.commit != one.added.commit
        ):
            accepted = one.accepted
            apart.append(f"size or last day by {accepted.author} on {accepted.day}")
        yield Code(waiver.place.file), f", line {waiver.place.line} · {' · '.join(apart)}"


def _added(added: Addition | None) -> str:
    """Who added a waiver, if that can be told."""
    if added is None:
        return _UNCOMMITTED
    return _CUT_OFF if added.is_cut else f"added by {added.author}"
