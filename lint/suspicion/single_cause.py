"""The single cause: one change that explains several findings, found fast enough for each check.

Of the whole search only the most usual slips of entries that reach two findings or more are tried, one
at a time. What is found here is what `ranking` would name first, or nothing.

It takes no more than the time of ten checks of the profile, and as a rule that of one or two: hearing
it once more, trying 120 hypotheses at a sixtieth of a check each, and hearing 16 in full at a quarter.
`python -m tests.benchmark.suspects --at-end` measures it.
"""

from __future__ import annotations

import math
from typing import NamedTuple

from ..documents.profile import Profile
from ..judgement.catalogue import Catalogue
from ..judgement.finding import Judgement
from ..quantities.registry import affected
from .explaining import Inquiry
from .explanations import Explanation, beside_a_small_part, none_weight
from .hypotheses import Hypothesis, hypotheses
from .ranking import stopping
from .sites import Site, sites_of
from .slip_rows import slip_table

LEAST_EXPLAINED = 2  # findings
_MOST_TRIED = 120  # hypotheses
_MOST_IN_FULL = 16
_LEAST_SHARE = 0.5


class SingleCause(NamedTuple):
    """A hypothesis, how many of the dangers and faults it explains, and of how many."""

    hypothesis: Hypothesis
    explains: int
    of: int


def single_cause(
    profile: Profile, catalogue: Catalogue, judged_on: str, judgement: Judgement
) -> SingleCause | None:
    """The change that explains two findings or more and is likelier than not; None without one.

    Several motors are left to the whole search, which takes longer.
    """
    told = {finding.rule.id for finding in stopping(judgement)}
    if len(told) < LEAST_EXPLAINED or profile.motors:
        return None
    table = slip_table()
    asked = Inquiry(profile, catalogue, judged_on, judgement, table, _MOST_IN_FULL)
    others = sites_of(profile)
    sites = [site for site in others if _reaches(site, asked, told)]
    slips = hypotheses(sites, table, asked.books, asked.elsewhere(None), others)
    every = sorted(slips, key=lambda one: -one.prior)
    tried = (asked.explained(one, LEAST_EXPLAINED) for one in every[:_MOST_TRIED])
    found = [one for one in tried if one is not None]
    found += asked.faults()
    if not found:
        return None
    found = beside_a_small_part(found, table)
    best = found[0]
    named = len({name.partition(":")[0] for name in best.explains} & told)
    if named < LEAST_EXPLAINED or _share(best, found, none_weight(found, table)) < _LEAST_SHARE:
        return None
    return SingleCause(best.hypothesis, named, len(told))


def _reaches(site: Site, asked: Inquiry, told: set[str]) -> bool:
    """Whether an entry reaches as many of the findings as would have to be explained."""
    moved = affected(frozenset({site.quantity}))
    rules = asked.catalogue.rules
    reached = sum(not moved.isdisjoint(rules[name].reads) for name in told if name in rules)
    return reached >= LEAST_EXPLAINED


def _share(best: Explanation, found: list[Explanation], none: float) -> float:
    """The probability of the best entry, be its value this or another."""
    most = max(best.weight, none)
    own = [one for one in found if one.hypothesis.places == best.hypothesis.places]
    weights = [math.exp(one.weight - most) for one in found]
    return sum(math.exp(one.weight - most) for one in own) / (sum(weights) + math.exp(none - most))
