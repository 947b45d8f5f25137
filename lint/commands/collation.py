"""The collation: both sides of every pair read, judged and compared, by one process or several."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import partial

from .. import __version__
from ..comparison.comparison import Comparison, added, benched, compare, removed
from ..comparison.consequence import THRESHOLD
from ..comparison.finding_change import Bench
from ..documents.error import DocumentError, DocumentErrors
from ..documents.loading import load_profile
from ..documents.profile import Profile
from ..documents.repository import Repository
from ..judgement.catalogue import catalogue
from ..judgement.site_rules import Shop, shop_of
from ..reports.comparison_totals import Compared, Revised, revised
from ..reports.layout import Page
from .formats import comparison_module
from .inspection import unread
from .pool import shared_out
from .sides import Pair, Pairing, Side

WORTH_A_PROCESS = 20  # pairs

# A pair comes to a vehicle's share of the report, to nothing, or to errors with the profile's name.
Outcome = Revised | None | tuple[str, tuple[DocumentError, ...]]


@dataclass(frozen=True, slots=True)
class Order:
    """What is asked about each pair, whichever process compares it; `since` for a whole tree."""

    form: str
    page: Page
    judged_on: str
    strict: bool
    since: str | None = None


class Collator:
    """Compares pairs one after the other, each shop's catalogue gathered once."""

    def __init__(self, order: Order) -> None:
        self.order = order
        self.body = comparison_module(order.form).body
        self._shops: dict[int, tuple[Repository, Shop]] = {}

    def outcomes(self, pairs: Iterable[Pair]) -> list[Outcome]:
        """What each pair comes to."""
        return [self.outcome(pair) for pair in pairs]

    def outcome(self, pair: Pair) -> Outcome:
        try:
            new = None if pair.new is None else load_profile(pair.new.repository, pair.new.path)
        except DocumentErrors as broken:
            assert pair.new is not None
            return pair.new.repository.named(pair.new.path), broken.errors
        if new is not None and pair.touched is not None and _is_apart(new, pair.touched):
            return None
        try:
            old = None if pair.old is None else load_profile(pair.old.repository, pair.old.path)
        except DocumentErrors as broken:
            return self.without_old(pair, new, broken)
        comparison = self.comparison(pair, old, new)
        if pair.touched is not None and comparison.is_empty:
            return None
        return revised(comparison, self.body(comparison, self.order.page))

    def without_old(self, pair: Pair, new: Profile | None, broken: DocumentErrors) -> Outcome:
        """A side that cannot be read is an error; in a tree that is being put right it is none."""
        assert pair.old is not None
        if self.order.since is None or new is None:
            return pair.old.repository.named(pair.old.path), broken.errors
        comparison = self.comparison(pair, None, new)
        first = broken.errors[0]
        said = f"not compared: {first}"
        return revised(comparison, self.body(comparison, self.order.page), said)

    def comparison(self, pair: Pair, old: Profile | None, new: Profile | None) -> Comparison:
        was = self.bench(pair.old, old)
        now = self.bench(pair.new, new, was)
        if was is None:
            assert now is not None
            return added(now)
        if now is None:
            return removed(was)
        assert pair.new is not None
        return compare(was, now, self.shop(pair.new.repository).catalogue)

    def bench(
        self, side: Side | None, profile: Profile | None, before: Bench | None = None
    ) -> Bench | None:
        if side is None or profile is None:
            return None
        judged_by = self.shop(side.repository).catalogue
        return benched(profile, judged_by, self.order.judged_on, self.order.strict, before)

    def shop(self, repository: Repository) -> Shop:
        held = self._shops.get(id(repository))
        if held is None:
            held = self._shops[id(repository)] = (repository, shop_of(repository))
        return held[1]


def _is_apart(profile: Profile, touched: frozenset[str]) -> bool:
    """Whether a profile reads none of the files that changed."""
    return touched.isdisjoint(profile.files)


def _collated(pairs: Sequence[Pair], order: Order) -> list[Outcome]:
    return Collator(order).outcomes(pairs)


def outcomes(pairs: Sequence[Pair], order: Order, jobs: int) -> list[Outcome]:
    """What each pair comes to, in their order."""
    return shared_out(pairs, partial(_collated, order=order), jobs, WORTH_A_PROCESS)


def collated(pairing: Pairing, order: Order, jobs: int = 1) -> Compared:
    """The whole of the report, in the order of the pairs, each error once."""
    came_to = outcomes(pairing.pairs, order, jobs)
    met: list[tuple[DocumentError, str | None]] = [(error, None) for error in pairing.errors]
    for outcome in came_to:
        if isinstance(outcome, tuple):
            met += [(error, outcome[0]) for error in outcome[1]]
    met += [(error, None) for error in _of_shops(pairing.pairs)]
    return Compared(
        judged_on=order.judged_on,
        tool=__version__,
        catalogue=catalogue().digest,
        since=order.since,
        threshold=THRESHOLD,
        revised=tuple(outcome for outcome in came_to if isinstance(outcome, Revised)),
        unchanged=pairing.unchanged + sum(outcome is None for outcome in came_to),
        unread=unread(met),
    )


def _of_shops(pairs: Iterable[Pair]) -> list[DocumentError]:
    """What is wrong with the own rules by which the new sides are judged."""
    repositories = {id(pair.new.repository): pair.new.repository for pair in pairs if pair.new}
    return [error for one in repositories.values() for error in shop_of(one).errors]
