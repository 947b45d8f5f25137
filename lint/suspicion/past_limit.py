"""Settings past their limit: the setting itself is doubted before any rating that it is held against.

What was meant is not known then: tried is the value at the limit, which is no proposal.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from ..judgement.evaluation import Ruling
from ..quantities.number import is_number, tidy
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
_NEARLY_AS_LIKELY = 2.0  # natural logarithms by which a value that a slip makes may be less likely


def past_their_limits(
    today: Weighed, sites: Sequence[Site], table: SlipTable
) -> Iterator[Hypothesis]:
    """Each protective setting that is past the limit of a rule, at the limit; of several at the narrowest."""
    row = next((one for one in table.slips if _LIMIT in one.changes), None)
    if row is None:
        return
    wanted: dict[tuple[object, ...], tuple[Site, list[float], int]] = {}
    for decided in _of_limits(today, table):
        side = today.flags[decided.rule.id].side
        end, of = decided.high if side > 0 else decided.low, decided.of
        if end is None or of is None or not (is_number(end.value) and is_number(of.value)):
            continue
        for site in sites:
            told = _at_the_end(site, decided, side, float(end.number), float(of.number))
            if told is not None:
                wanted.setdefault((site.where, side), (site, [], side))[1].append(told)
    for site, ends, side in wanted.values():
        value = _inside(site, min(ends) if side > 0 else max(ends), side)
        if value is not None:
            yield Hypothesis(
                (Change(site, value), *_with_it(site, value, sites, side)),
                row.slip,
                row.title,
                row.number,
                row.in_words,
                known=False,
                at_limit=True,
            )


def _of_limits(today: Weighed, table: SlipTable) -> Iterator[Ruling]:
    """Rulings of today that something is past its limit, no further than one goes by intent."""
    grave = today.grave
    for hearing in today.hearings:
        for rulings in hearing.rulings.values():
            for name, decided in rulings.items():
                if name not in grave or decided.outcome != "flagged":
                    continue
                flag = today.flags[name]
                of = decided.rule.of or ""
                most = _BY_A_GRADE if of.endswith("degC") else _WITHIN
                if table.belief.is_contradiction(name) or not flag.side or flag.times_e > most:
                    continue
                yield decided


def _at_the_end(site: Site, decided: Ruling, side: int, end: float, of: float) -> float | None:
    """What a protective setting would be at the limit; None of one that it is not about.

    Where the limit is of something that is worked out of the setting, it goes along in proportion, and
    only towards the side on which less happens.
    """
    rule, entry = decided.rule, site.entry
    if not entry.careful:
        return None
    if site.quantity == rule.of:
        return end
    value = site.given.value
    if site.quantity != rule.at or not is_number(value) or of <= 0.0 or end <= 0.0:
        return None
    told = float(value) * end / of
    is_narrower = told < value if entry.careful == "lower" else told > value
    return told if is_narrower else None


def _with_it(site: Site, value: float, sites: Sequence[Site], side: int) -> Iterator[Change]:
    """The taper that a stop is entered with, where it would lie past it: it comes along as far."""
    section, _, word = site.quantity.rpartition(".")
    if not word.startswith("stop_"):
        return
    taper = f"{section}.taper_from_{word.removeprefix('stop_')}"
    moved = float(site.given.entered) - value
    for other in sites:
        same = (other.quantity, other.mode, other.motors) == (taper, site.mode, site.motors)
        if same and is_number(other.given.entered) and other.given.entered >= value:
            then = _inside(other, other.given.number - moved, side)
            if then is not None and (other.entry.unit == site.entry.unit):
                yield Change(other, then)


def _inside(site: Site, end: float, side: int) -> float | int | None:
    """The last value inside a limit, in the steps of its key; None outside what it allows."""
    entry = site.entry
    step = entry.step or _FINEST
    told = float(entered_at(site, end)) / step
    steps = math.floor(told + _BACK) if side > 0 else math.ceil(told - _BACK)
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
