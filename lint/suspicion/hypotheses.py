"""Hypotheses: for each entry the values that a usual slip may have spoiled, with how usual it is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise
from types import MappingProxyType
from typing import Any, NamedTuple

from ..documents.given import Value
from ..documents.location import Place
from ..documents.trade_units import GAUGE_UNIT
from ..quantities.book import Book
from ..quantities.number import is_number
from ..quantities.sensor import shown_for
from .sites import Change, Site, as_their_twins, beside_others, entered_at
from .slip_rows import MachineFault, SlipRow, SlipTable
from .undone import Undone, undone

AND = "+"  # between the names of two slips
MOST_SLIPS = 2
_OTHERS = (
    1.15,
    1 / 1.15,
    1.5,
    1 / 1.5,
)  # times what stands there, where nobody knows what was meant
_AS_ITS_TWIN = 0.2  # of a slip's number where a motor's figure is that of the other motor
_BY_CHANCE = 0.3  # of a slip's number where what it made is the number of the entry beside it


# By the place where it stands (`previous`, `part`, `read_back`, `twin`) what an entry of a mode and of a
# motor, "" where there is one, is there, in the unit of the quantity.
Elsewhere = Mapping[str, Mapping[tuple[str, str, str], Value]]
NOTHING_ELSEWHERE: Elsewhere = MappingProxyType({})


class Counterpart(NamedTuple):
    """The quantity that an entry should agree with, which is so many times the entry's value."""

    quantity: str
    times: float


class Hypothesis(NamedTuple):
    """Entries that a slip may have spoiled, or a fault of the machine; `prior` is how usual that is.

    `shorter` tells by how many digits what was meant is rounder than what stands there; `reread` are
    readings that a display would show otherwise if what is set in it were right. Where the value is not
    `known`, that of the change is one of many; what only `tightens` loosens no rating or limit. What
    each change `follows` is the quantity that it would agree with, or None. One that is
    `at_limit` has the value that a limit leaves, which is no proposal.
    """

    changes: tuple[Change, ...]
    slip: str
    title: str
    prior: float
    in_words: str
    shorter: int = 0
    fault: MachineFault | None = None
    reread: tuple[Change, ...] = ()
    known: bool = True
    tightens: bool = False
    follows: tuple[Counterpart | None, ...] = ()
    at_limit: bool = False

    @property
    def slips(self) -> int:
        """How many slips it takes; two fields in each other's place are one."""
        return self.slip.count(AND) + 1

    @property
    def places(self) -> frozenset[tuple[str, str, Place]]:
        """The entries that would change, without their values."""
        return frozenset(change.site.where for change in self.changes)


def hypotheses(
    sites: Sequence[Site],
    table: SlipTable,
    books: Mapping[str, Book],
    elsewhere: Elsewhere = NOTHING_ELSEWHERE,
    others: Sequence[Site] = (),
) -> list[Hypothesis]:
    """Every usual slip of every entry, undone; of one value only the most usual slip is kept.

    `books` are those of the base settings, by the motor where there are several; `others` are the
    entries that stand beside these.
    """
    best: dict[tuple[object, ...], Hypothesis] = {}
    for one in _all(sites, table, books, elsewhere, others):
        every = (*one.changes, *one.reread)
        key = tuple((change.site.where, repr(change.given.value)) for change in every)
        known = best.get(key)
        if known is None:
            best[key] = one
        else:
            usual = max(known, one, key=lambda each: each.prior)
            best[key] = usual._replace(follows=known.follows or one.follows)
    return list(best.values())


def _all(
    sites: Sequence[Site],
    table: SlipTable,
    books: Mapping[str, Book],
    elsewhere: Elsewhere,
    others: Sequence[Site],
) -> Iterator[Hypothesis]:
    alike = {site.where for site in beside_others(others or sites)}
    twins = {site.where for site in as_their_twins(others or sites)}
    beside = [site for site in sites if site.where in alike]
    for row in table.slips:
        if "swaps" in row.changes:
            yield from _swapped(row, sites)
        elif "beside" in row.changes:
            yield from _as_beside(row, beside)
        elif "stands" in row.changes:
            yield from _as_elsewhere(elsewhere.get(row.changes["stands"], {}), row, sites)
        else:
            for site in sites:
                if row.befalls(site.entry, site.quantity):
                    chance = _BY_CHANCE if site.where in alike and row.is_of_numbers else 1.0
                    chance *= _AS_ITS_TWIN if site.where in twins else 1.0
                    for one in _of_site(row, site, sites, books):
                        yield one._replace(prior=one.prior * chance)


def _of_site(
    row: SlipRow, site: Site, sites: Sequence[Site], books: Mapping[str, Book]
) -> Iterator[Hypothesis]:
    book = books[site.motors[0] if site.motors else ""]
    values = list(undone(row, site.entry, site.given.entered, book))
    prior = row.number_for(site.quantity) / max(len(values), 1)
    for value in values:
        one = _hypothesis(row, (Change(site, value.entered),), prior, value)
        if "rereads" not in row.changes:
            yield one
        elif again := _reread(row, site, value.entered, sites):
            yield one._replace(reread=again)


def _reread(row: SlipRow, site: Site, kind: str, sites: Sequence[Site]) -> tuple[Change, ...]:
    """The readings of a display as it would show them if it were set to another kind of sensor."""
    changes = []
    for other in sites:
        if other.quantity in row.changes["rereads"] and set(other.motors) <= set(site.motors):
            shown = shown_for(other.given.number, str(site.given.value), kind)
            if shown is None:
                return ()
            changes.append(Change(other, round(entered_at(other, shown), 1)))
    return tuple(changes)


def _hypothesis(
    row: SlipRow, changes: tuple[Change, ...], prior: float, value: Undone | None = None
) -> Hypothesis:
    return Hypothesis(
        changes,
        row.slip,
        row.title,
        prior,
        row.in_words,
        value.shorter if value else 0,
        known=value.known if value else True,
        tightens="tightens" in row.changes,
        follows=(Counterpart(value.follows, value.over),) if value and value.follows else (),
    )


def _swapped(row: SlipRow, sites: Sequence[Site]) -> Iterator[Hypothesis]:
    pairs = _neighbours(sites) if row.changes["swaps"] == "neighbours" else _named(row, sites)
    for one, other in pairs:
        changes = _exchanged(one, other)
        if changes:
            yield _hypothesis(row, changes, row.number)


def _named(row: SlipRow, sites: Sequence[Site]) -> Iterator[tuple[Site, Site]]:
    for first, second in row.changes["swaps"]:
        for one in sites:
            for other in sites:
                same = (one.mode, one.motors) == (other.mode, other.motors)
                if same and (one.quantity, other.quantity) == (first, second):
                    yield one, other


def _neighbours(sites: Sequence[Site]) -> Iterator[tuple[Site, Site]]:
    """Entries of one unit in one section that follow each other in its document."""
    groups: dict[tuple[object, ...], list[Site]] = {}
    for site in sites:
        if (
            site.entry.kind != "number"
            or site.entry.unit == GAUGE_UNIT
            or not is_number(site.given.entered)
        ):
            continue
        section = site.key.rpartition(".")[0]
        unit = site.entry.unit.replace("A_rms", "A").replace("A_peak", "A")
        groups.setdefault((site.given.place.file, section, unit, site.motors), []).append(site)
    for group in groups.values():
        yield from pairwise(group)


def _exchanged(one: Site, other: Site) -> tuple[Change, ...]:
    """Each of two entries with the other's number; empty where they cannot have it."""
    first, second = _number(one), _number(other)
    if first is None or second is None or first == second:
        return ()
    wanted = ((one, second), (other, first))
    if not all(_fits(site, value) for site, value in wanted):
        return ()
    return tuple(Change(site, _in_form(site, value)) for site, value in wanted)


def _number(site: Site) -> float | None:
    entered = site.given.entered
    if isinstance(entered, list | tuple) and entered and all(map(is_number, entered)):
        entered = sum(entered) / len(entered)
    return float(entered) if is_number(entered) else None


def _in_form(site: Site, value: float) -> Any:
    if site.entry.kind == "list":
        return [value]
    return int(value) if site.entry.kind == "integer" else value


def _fits(site: Site, value: float) -> bool:
    entry = site.entry
    if entry.kind == "integer" and value != int(value):
        return False
    low = entry.lowest is None or value >= entry.lowest
    return low and (entry.highest is None or value <= entry.highest)


def _as_beside(row: SlipRow, beside: Iterable[Site]) -> Iterator[Hypothesis]:
    """Each entry that has the number of one beside it, with another: which, nobody knows."""
    for site in beside:
        for factor in _OTHERS:
            value = float(entered_at(site, site.given.number * factor))
            value = round(value) if site.entry.kind == "integer" else float(f"{value:.3g}")
            if value != site.given.entered and _fits(site, value):
                told = _hypothesis(row, (Change(site, value),), row.number / 2.0)
                yield told._replace(known=False)


def _as_elsewhere(
    known: Mapping[tuple[str, str, str], Value], row: SlipRow, sites: Iterable[Site]
) -> Iterator[Hypothesis]:
    """Each entry as it stands elsewhere, if otherwise; the more there are, the less is each meant."""
    other = []
    for site in sites:
        value = known.get((site.quantity, site.mode, site.motors[0] if site.motors else ""))
        is_other = value is not None and value != site.given.value
        if is_other and is_number(value) == is_number(site.given.value):
            other.append(Change(site, entered_at(site, value)))
    for change in other:
        if not is_number(change.entered) or _fits(change.site, float(change.entered)):
            yield _hypothesis(row, (change,), row.number / len(other))
