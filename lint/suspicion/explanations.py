"""Explanations: what each hypothesis explains, the weight of none of them, and which are tried in pairs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import combinations
from typing import NamedTuple

from .evidence import Weighed
from .hypotheses import AND, Counterpart, Hypothesis
from .ratings import weight_as_fitted
from .slip_rows import SlipTable

PAIRED = 10  # hypotheses that are also tried two by two
_OF_ALL = 1.5  # natural logarithms for each further finding that a cause in no list may explain too


class Explanation(NamedTuple):
    """A hypothesis with what it explains of the dangers and faults, and its weight as a logarithm.

    `may_be_meant` says that it loosens a rating of a part that is an ordinary one today.
    """

    hypothesis: Hypothesis
    heard: Weighed
    explains: frozenset[str]
    weight: float
    may_be_meant: bool = False


def none_weight(
    found: Iterable[Explanation], table: SlipTable, stops: frozenset[str] = frozenset()
) -> float:
    """The weight of none of them: all as it stands is meant, or a cause in no list explains as much.

    That may explain more than a single one does of what `stops` a ride, as one cause of all would. A part
    of an ordinary rating may be too small: that explains as much as another rating does.
    """
    singles = [one for one in found if len(one.hypothesis.changes) < 2]
    lightest = max(
        (
            one.weight - math.log(one.hypothesis.prior) + _OF_ALL * len(stops - one.explains)
            for one in singles
        ),
        default=0.0,
    )
    fitted = [_as_fitted(one, table) for one in singles if one.may_be_meant]
    unlisted = math.log(table.none_of_these) + max(lightest, 0.0)
    return _added((unlisted, 0.0, *([max(fitted)] if fitted else ())))


def beside_a_small_part(found: Sequence[Explanation], table: SlipTable) -> list[Explanation]:
    """Explanations, the likeliest first, where a part may be too small besides.

    What a slip explains is no less likely for a part that is too small, where that explains other findings.
    """
    meant = [one for one in found if one.may_be_meant]
    weighed = list(found)
    if meant:
        most = max(meant, key=lambda one: _as_fitted(one, table))
        gain = _added((0.0, _as_fitted(most, table)))
        weighed = [
            one._replace(weight=one.weight + gain)
            if one.explains.isdisjoint(most.explains)
            else one
            for one in found
        ]
    return sorted(weighed, key=lambda one: -one.weight)


def _as_fitted(one: Explanation, table: SlipTable) -> float:
    return weight_as_fitted(one.weight, one.hypothesis.prior, table.as_fitted)


def _added(weights: Iterable[float]) -> float:
    """The logarithm of a sum of what is given as logarithms."""
    every = list(weights)
    most = max(every)
    return most + math.log(sum(math.exp(one - most) for one in every))


def pairs_of(found: Sequence[Explanation]) -> list[Hypothesis]:
    """The likeliest hypotheses two by two, each of another entry and explaining something more.

    A rating that may be meant is in none: another entry's slip makes it no likelier to be wrong; nor is
    an entry of which nobody knows what was meant.
    """
    best: dict[object, Explanation] = {}
    for one in found:
        if one.hypothesis.fault is None and one.hypothesis.known and not one.may_be_meant:
            best.setdefault(one.hypothesis.places, one)
    chosen = list(best.values())[:PAIRED]
    return [
        Hypothesis(
            (*one.hypothesis.changes, *other.hypothesis.changes),
            f"{one.hypothesis.slip}{AND}{other.hypothesis.slip}",
            f"{one.hypothesis.title}; {other.hypothesis.title}",
            one.hypothesis.prior * other.hypothesis.prior,
            f"{one.hypothesis.in_words}; {other.hypothesis.in_words}",
            follows=(*_follows(one.hypothesis), *_follows(other.hypothesis)),
        )
        for one, other in combinations(chosen, 2)
        if not (one.explains <= other.explains or other.explains <= one.explains)
        and one.hypothesis.places.isdisjoint(other.hypothesis.places)
    ]


def _follows(one: Hypothesis) -> tuple[Counterpart | None, ...]:
    return one.follows or (None,) * len(one.changes)
