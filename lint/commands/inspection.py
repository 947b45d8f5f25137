"""The inspection: every profile judged, by one process or several, and all errors gathered."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import partial

from .. import __version__
from ..documents.error import DocumentError, DocumentErrors
from ..documents.loading import check_document, load_profile
from ..documents.repository import Listed, Repository, Search
from ..judgement.catalogue import catalogue
from ..judgement.judge import judge
from ..judgement.site_rules import Shop, shop_of
from ..reports.check_totals import Checked, Share, Unread, share
from ..reports.layout import Page
from .formats import report_module
from .pool import shared_out

WORTH_A_PROCESS = 40  # profiles


@dataclass(frozen=True, slots=True)
class Order:
    """What is asked about each profile, whichever process judges it."""

    form: str
    page: Page
    judged_on: str
    strict: bool


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a profile comes to: its share of the report unless errors keep it from being judged.

    A shop's own rule that cannot be used is an error too; the other rules still judge.
    """

    file: str
    share: Share | None
    errors: tuple[DocumentError, ...]


def outcomes(profiles: Sequence[Listed], order: Order, jobs: int) -> list[Outcome]:
    """What each profile comes to, in their order."""
    return shared_out(profiles, partial(judged, order=order), jobs, WORTH_A_PROCESS)


def judged(profiles: Iterable[Listed], order: Order) -> list[Outcome]:
    """What each profile comes to by the rules of its shop."""
    body = report_module(order.form).body
    shops: dict[Repository, Shop] = {}
    came_to = []
    for found in profiles:
        shop = shops.get(found.repository)
        if shop is None:
            shop = shops[found.repository] = shop_of(found.repository)
        try:
            profile = load_profile(found.repository, found.path)
        except DocumentErrors as broken:
            came_to.append(Outcome(found.file, None, broken.errors))
            continue
        judgement = judge(profile, shop.catalogue, order.judged_on, order.strict)
        kept = share(judgement, lambda known: body(known, order.page))
        came_to.append(Outcome(found.file, kept, shop.errors))
    return came_to


def gathered(search: Search, came_to: Sequence[Outcome], judged_on: str) -> Checked:
    """The whole of the report: shares in the order of the files, and each error once."""
    met: list[tuple[DocumentError, str | None]] = [
        (error, outcome.file) for outcome in came_to for error in outcome.errors
    ]
    for found in search.others:
        alone = check_document(found.repository, found.path, found.kind)
        met += [(error, None) for error in alone]
    met += [(error, None) for error in search.errors]
    return Checked(
        judged_on=judged_on,
        tool=__version__,
        catalogue=catalogue().digest,
        shares=tuple(outcome.share for outcome in came_to if outcome.share is not None),
        unread=unread(met),
    )


def unread(met: Iterable[tuple[DocumentError, str | None]]) -> tuple[Unread, ...]:
    """Each error once, by its place, with the profiles that met it."""
    errors: dict[tuple[str, int, int, str], DocumentError] = {}
    affected: dict[tuple[str, int, int, str], list[str]] = {}
    for error, file in met:
        key = (error.file, error.line, error.column, error.message)
        errors.setdefault(key, error)
        names = affected.setdefault(key, [])
        if file is not None and file not in names:
            names.append(file)
    return tuple(
        Unread(
            file=error.file,
            line=error.line,
            column=error.column,
            found=error.found,
            wanted=error.wanted,
            message=error.message,
            affects=tuple(affected[key]),
            nearest=error.nearest,
            text=error.text,
        )
        for key, error in sorted(errors.items(), key=lambda item: item[0])
    )
