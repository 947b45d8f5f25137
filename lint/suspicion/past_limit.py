"""Settings past their limit: the setting itself is doubted before any rating that it is held against.

What was meant is not known then: tried is the value at the limit, which is no proposal.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

from ..judgement.evaluation import Ruling
from ..judgement.rule import Rule
from ..quantities.book import Book
from ..quantities.number import is_number, tidy
from ..quantities.registry import REACHES
from .evidence import Weighed
from .explanations import Explanation
from .hypotheses import Hypothesis
from .ratings import loosens_a_setting
from .sites import Change, Site, entered_at
from .slip_rows import SlipTable

_LIMIT = "limit"  # what the slip's row says that it does
_WITHIN = math.log(2.0)  # a setting further past its limit is mistyped, or what limits it is
_BY_A_GRADE = 4.0  # the same of temperatures, whose distance counts otherwise: 120 K
_LESS = 0.9  # of the weight of a setting, that a rating may have beside it
_BACK = 1e-9
_FINEST = 0.001  # the step of a key that has none
_SECANTS = 3  # a current that heats by its square is met within a step of its key
_ENDS = ("stop", "cutoff")  # of what a taper leads to
_NEARLY_AS_LIKELY = 2.0  # natural logarithms by which a value that a slip makes may be less likely


def past_their_limits(
    today: Weighed, sites: Sequence[Site], table: SlipTable
) -> Iterator[Hypothesis]:
    """Each protective setting that is past the limit of a rule, at the limit; of several at the narrowest."""
    row = next((one for one in table.slips if _LIMIT in one.changes), None)
    if row is None:
        return
    wanted: dict[tuple[object, ...], tuple[Site, list[float], bool]] = {}
    for decided, book in _of_limits(today, table):
        end = decided.high if today.flags[decided.rule.id].side > 0 else decided.low
        if end is None or not is_number(end.value):
            continue
        for site in sites:
            told = _at_the_end(site, decided, float(end.number), book)
            if told is not None:
                down = told < site.given.number
                told += (-1 if down else 1) * _step(site) if decided.rule.strict else 0.0
                wanted.setdefault((site.where, down), (site, [], down))[1].append(told)
    for site, ends, down in wanted.values():
        value = _inside(site, min(ends) if down else max(ends), down)
        if value is not None:
            yield Hypothesis(
                (Change(site, value), *_with_it(site, value, sites, down)),
                row.slip,
                row.title,
                row.number,
                row.in_words,
                known=False,
                at_limit=True,
            )


def _of_limits(today: Weighed, table: SlipTable) -> Iterator[tuple[Ruling, Book]]:
    """Rulings of today that something is past its limit, no further than one goes by intent.

    Not where the limit rests on a reading or a part's figure that something contradicts.
    """
    grave, doubted = today.grave, _contradicted(today, table)
    for hearing in today.hearings:
        for mode, rulings in hearing.rulings.items():
            for name, decided in rulings.items():
                if name not in grave or decided.outcome != "flagged":
                    continue
                flag = today.flags[name]
                of = decided.rule.of or ""
                most = _BY_A_GRADE if of.endswith("degC") else _WITHIN
                if table.belief.is_contradiction(name) or not flag.side or flag.times_e > most:
                    continue
                if doubted.isdisjoint(_rests_on(decided.rule)):
                    yield decided, hearing.books[mode]


def _contradicted(today: Weighed, table: SlipTable) -> frozenset[str]:
    """The readings and figures at which contradictions of today point."""
    told = {
        decided.rule.at or decided.rule.of or ""
        for hearing in today.hearings
        for rulings in hearing.rulings.values()
        for name, decided in rulings.items()
        if decided.outcome == "flagged" and table.belief.is_contradiction(name)
    }
    return frozenset(name for name in told if not name.startswith("settings."))


def _rests_on(rule: Rule) -> frozenset[str]:
    return rule.reads.union(*(REACHES.get(name, frozenset()) for name in rule.reads))


def _at_the_end(site: Site, decided: Ruling, end: float, book: Book) -> float | None:
    """What a protective setting would be at the limit; None of one that it is not about.

    Where the limit is of something that is worked out of the setting, it is sought there, and only
    towards the side on which less happens.
    """
    rule, entry, value = decided.rule, site.entry, site.given.value
    if not entry.careful or not is_number(value):
        return None
    if site.quantity == rule.of:
        return end
    if site.quantity != rule.at or rule.of is None:
        return None
    told = _where_it_meets(site, rule.of, end, book)
    if told is None:
        return None
    is_narrower = told < value if entry.careful == "lower" else told > value
    return told if is_narrower else None


def _where_it_meets(site: Site, of: str, end: float, book: Book) -> float | None:
    """The value of a setting at which what is worked out of it comes to a limit; None where it does not.

    By secants, exact where that rises or falls evenly with the setting.
    """

    def worked(value: float) -> float | None:
        told = book.changed({site.quantity: replace(site.given, value=value)}).operand(of)
        return float(told.number) if is_number(told.value) else None

    value = float(site.given.number)
    for _ in range(_SECANTS):
        here, there = worked(value), worked(value + _step(site))
        if here is None or there is None or here == there:
            return None
        value += (end - here) * _step(site) / (there - here)
    return value


def _step(site: Site) -> float:
    return site.entry.step or _FINEST


def _with_it(site: Site, value: float, sites: Sequence[Site], down: bool) -> Iterator[Change]:
    """The taper that a stop or cutoff is entered with, where it would lie past it: it comes along as far."""
    section, _, word = site.quantity.rpartition(".")
    what, _, unit = word.partition("_")
    if what not in _ENDS:
        return
    taper = f"{section}.taper_from_{unit}"
    moved = float(site.given.entered) - value
    for other in sites:
        same = (other.quantity, other.mode, other.motors) == (taper, site.mode, site.motors)
        if not same or not is_number(other.given.entered):
            continue
        if other.given.entered >= value if down else other.given.entered <= value:
            then = _inside(other, other.given.number - moved, down)
            if then is not None and (other.entry.unit == site.entry.unit):
                yield Change(other, then)


def _inside(site: Site, end: float, down: bool) -> float | int | None:
    """The last value inside a limit, in the steps of its key; None outside what it allows."""
    entry, step = site.entry, _step(site)
    told = float(entered_at(site, end)) / step
    steps = math.floor(told + _BACK) if down else math.ceil(told - _BACK)
    value = tidy(steps * step)
    low = entry.lowest is None or value >= entry.lowest
    if not low or (entry.highest is not None and value > entry.highest):
        return None
    return round(value) if entry.kind == "integer" else value


def told_first(group: Sequence[Explanation]) -> Explanation:
    """The one of an entry's hypotheses, the likeliest first, by which it is told.

    A slip that makes the value says what was meant, unless it lets more happen than the limit asks for.
    """
    first = group[0]
    at_limit = next((one for one in group if one.hypothesis.at_limit), None)
    if at_limit is None or (not first.hypothesis.known and first is not at_limit):
        return first
    return next(
        (
            one
            for one in group
            if one.hypothesis.known
            and one.weight > first.weight - _NEARLY_AS_LIKELY
            and not any(map(loosens_a_setting, one.hypothesis.changes))
        ),
        at_limit,
    )


def behind_settings(
    weights: Sequence[float], classes: Sequence[Sequence[Explanation]]
) -> list[float]:
    """The weights of classes: a rating that may be meant, or what is asked, has less than a setting that
    explains as much."""
    held = list(weights)
    for at, ratings in enumerate(classes):
        if not all(one.may_be_meant for one in ratings):
            continue
        explained = frozenset[str]().union(*(one.explains for one in ratings))
        for weight, others in zip(weights, classes, strict=True):
            if any(one.hypothesis.at_limit and explained <= one.explains for one in others):
                held[at] = min(held[at], _LESS * weight)
    return held
