"""The vehicles of a shop for its page: each judged, with its trend, or taken from the store of results."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from ..comparison.judged_side import judged_side
from ..comparison.tightest import tightest_margin
from ..documents.day import days_between
from ..documents.error import DocumentErrors
from ..documents.files import WorkingTree
from ..documents.identity import Identity, identity_in
from ..documents.loading import load_profile
from ..documents.profile import Profile
from ..documents.search import Listed
from ..documents.watched import WatchedTree
from ..judgement.due import READINGS_DAY, all_due
from ..judgement.untried import untried_words
from ..judgement.verdict import ask_of, fitness, short_of
from ..reports.layout import Page
from ..reports.shop import ShopVehicle, gravest_rule, stops_and_waived
from .batch import Order, Result, Shops
from .stored_results import results_with_store
from .verdict_trend import Trends

SHOP_FORM = "shop"  # whatever the page is set in, a vehicle comes to the same
VEHICLES_A_PROCESS = 8  # vehicles, each with the commits of its trend


class ShopShare(NamedTuple):
    """A vehicle's part of the page, and its id, which no other vehicle may have."""

    vehicle: ShopVehicle
    identity: Identity | None


def shop_order(judged_on: str, within_days: int, commits: int, quiet: bool) -> Order:
    """What is asked about each vehicle of a shop."""
    page = Page(quiet=quiet)
    return Order(SHOP_FORM, page, judged_on, False, within_days=within_days, commits=commits)


def shop_results(
    profiles: Sequence[Listed], order: Order, jobs: int, use: str
) -> list[Result[ShopShare]]:
    """What each vehicle comes to, in their order."""
    kinds = (ShopShare,)
    return list(
        results_with_store(profiles, order, ShopInspector, jobs, VEHICLES_A_PROCESS, use, kinds)
    )


class ShopInspector:
    """Judges vehicles for the page of their shop."""

    def __init__(self, order: Order) -> None:
        self.order = order
        self.shops = Shops()
        self.trends = Trends(order.commits, order.judged_on)

    def result(self, listed: Listed) -> Result[ShopShare]:
        """A vehicle's part of the page, unless errors keep it from being judged."""
        errors = self.shops.of(listed.repository).errors
        try:
            profile = load_profile(listed.repository, listed.path)
        except DocumentErrors as broken:
            return Result(listed.file, None, (*errors, *broken.errors))
        share = ShopShare(self._vehicle(profile, listed), identity_in(profile))
        return Result(listed.file, share, errors)

    def _vehicle(self, profile: Profile, listed: Listed) -> ShopVehicle:
        order = self.order
        catalogue = self.shops.of(listed.repository).catalogue
        side = judged_side(profile, catalogue, order.judged_on)
        taken = profile.value(READINGS_DAY)
        files = listed.repository.files
        assert isinstance(files, WorkingTree)
        trend = self.trends.of(Path(os.path.join(files.root, listed.path)))
        if isinstance(files, WatchedTree) and order.commits:
            files.note_log(os.path.dirname(listed.path), order.commits, trend.commits)
        is_dated = isinstance(taken, str)
        stops, waived = stops_and_waived(side.judgement)
        return ShopVehicle(
            file=profile.file,
            name=profile.name,
            stages=dict(side.judgement.stages),
            fitness=" · ".join(
                filter(None, (fitness(side.judgement), untried_words(side.judgement)))
            ),
            gravest=gravest_rule(side.judgement),
            tightest=tightest_margin(side, catalogue),
            readings_days=days_between(taken, order.judged_on) if is_dated else None,
            due=tuple(
                one for one in all_due(profile, order.judged_on) if one.within(order.within_days)
            ),
            asks=tuple(map(ask_of, short_of(side.judgement.not_checked, "ride"))),
            trend=trend.points,
            stops=stops,
            waived=waived,
        )
