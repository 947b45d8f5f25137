"""Evidence: what a vehicle would be flagged for, and how hard that is to believe of one that is right.

Each finding and each residual has a cost, the negative logarithm of how likely a sound profile has it;
differences of costs count alone. What no entry moves costs the same for all hypotheses.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from ..documents.profile import BASE
from ..judgement.catalogue import Catalogue
from ..judgement.evaluation import Hearing, Ruling
from ..judgement.rule import STOPS, Outcome, Severity
from ..quantities.book import Book, typical
from ..quantities.number import is_number
from ..quantities.operand import EXACT, Operand
from ..quantities.registry import CHEMISTRY
from ..quantities.twice import known_twice
from .slip_rows import Belief

_NARROW = 0.35  # of its middle: half the width of a band that says what a reading should come to
_FREEDOM = (
    4.0  # of a distribution with heavy tails: one reading far off is a bad reading, not a proof
)
_FAR_BELOW = 0.25  # of its limit: what stands lower than that is seldom meant
_PER_TIME_E = 0.35
_FAR_AT_MOST = 1.2
_EVADED = 0.4  # of a finding's cost: it is gone since its rule says nothing any more
_TEMPERATURE_E = 30.0  # kelvin past a limit that count like the factor e
_NO_RATIO = 0.5
_OF_CHEMISTRY = ("pack.cell.full_V", "pack.cell.nominal_V")
_CELL_APART_V = 0.1  # by which cells of one chemistry differ, common practice


class RaisedRule(NamedTuple):
    """A rule that flags, as grave as it does anywhere; `cost` says how hard that is to believe.

    `times_e` is how far past its limit, as a natural logarithm; `side` is 1 above the highest, −1 below
    the lowest, 0 where there is neither.
    """

    severity: Severity
    cost: float
    times_e: float = 0.0
    side: int = 0


class Weighed(NamedTuple):
    """What a profile comes to: its flags by rule, all outcomes, and the cost of flags and residuals.

    `residuals` are those by their rules, which are not all of what is `soft`.
    """

    hearings: tuple[Hearing, ...]
    flags: Mapping[str, RaisedRule]
    outcomes: Mapping[str, Outcome]
    soft: float
    residuals: Mapping[str, float]

    @property
    def grave(self) -> frozenset[str]:
        """The rules whose findings stop a ride."""
        return frozenset(rule for rule, flag in self.flags.items() if flag.severity in STOPS)

    @property
    def cost(self) -> float:
        """How hard it is to believe that a profile that is right comes to this."""
        return sum(flag.cost for flag in self.flags.values()) + self.soft


class Weighing:
    """Weighs hearings of nearly the same vehicle: what two have in common is weighed once."""

    def __init__(self, catalogue: Catalogue, belief: Belief, waived: Iterable[str]) -> None:
        self.catalogue, self.belief, self.waived = catalogue, belief, frozenset(waived)
        self._known: dict[int, tuple[Ruling, float]] = {}
        self._twice = next((rule for rule in catalogue.about("twice")), None)

    def weighed(self, hearings: tuple[Hearing, ...]) -> Weighed:
        """The flags and the cost of one vehicle, of which there is a hearing for each motor."""
        flags: dict[str, RaisedRule] = {}
        outcomes: dict[str, Outcome] = {}
        soft: dict[str, float] = {}
        for hearing in hearings:
            for rulings in hearing.rulings.values():
                for name, decided in rulings.items():
                    if decided.outcome == "flagged":
                        self._flag(name, decided, flags)
                        outcomes[name] = "flagged"
                    else:
                        outcomes.setdefault(name, decided.outcome)
                    cost = self._soft(decided)
                    if cost > soft.get(name, 0.0):
                        soft[name] = cost
            soft[CHEMISTRY] = max(chemistry_cost(hearing.books[BASE]), soft.get(CHEMISTRY, 0.0))
            for name, cost, flag in self._known_twice(hearing.books[BASE]):
                soft[name] = max(cost, soft.get(name, 0.0))
                if flag is not None:
                    flags[name] = flag
                    outcomes[name] = "flagged"
        return Weighed(hearings, flags, outcomes, sum(soft.values()), soft)

    def _flag(self, name: str, decided: Ruling, flags: dict[str, RaisedRule]) -> None:
        if name in self.waived:
            return
        severity = self.catalogue.at_least(decided.rule, decided.severity)
        times_e = _times_e(decided)
        cost = self.belief.of(name, severity, times_e)
        known = flags.get(name)
        if known is None or known.cost < cost:
            graver = severity if known is None or severity in STOPS else known.severity
            flags[name] = RaisedRule(graver, cost, times_e, _side(decided))

    def _soft(self, decided: Ruling) -> float:
        if decided.of is None or (decided.low is None and decided.high is None):
            return 0.0
        known = self._known.get(id(decided))
        if known is None:
            known = self._known[id(decided)] = decided, residual_cost(decided)
        return known[1]

    def _known_twice(self, book: Book) -> Iterator[tuple[str, float, RaisedRule | None]]:
        """What is entered and worked out too, as a residual and, past its ends, as a finding."""
        for one in known_twice(book):
            (low, high), advice = one.fault, one.advice
            off = one.off_percent
            end = high if off > 0 else low
            cost = heavy_tailed(2.0 * off / end) if end else 0.0
            flag = None
            if not low <= off <= high:
                flag = RaisedRule("fault", self.belief.contradiction)
            elif not advice[0] <= off <= advice[1]:
                flag = RaisedRule("advice", self.belief.contradiction_advice)
            yield f"{self._twice.id if self._twice else ''}:{one.entered.name}", cost, flag


def heavy_tailed(z: float) -> float:
    """The negative logarithm of a residual of `z` standard deviations, against none at all.

    Student's distribution of four degrees of freedom: Gelman et al., Bayesian Data Analysis, 3rd
    edition 2013, 17.2, from memory.

    >>> heavy_tailed(0.0), round(heavy_tailed(2.0), 3)
    (0.0, 1.733)
    """
    return (_FREEDOM + 1.0) / 2.0 * math.log1p(z * z / _FREEDOM)


def residual_cost(decided: Ruling) -> float:
    """What a ruling says beside its outcome: how far a reading lies from the middle of a narrow band,
    and whether something stands far below a limit that it should come near to."""
    of, low, high = (_exact(one) for one in (decided.of, decided.low, decided.high))
    if of is None:
        return 0.0
    if low is not None and high is not None:
        middle, half = (low + high) / 2.0, (high - low) / 2.0
        is_narrow = half > 0 and (half <= _NARROW * abs(middle))
        return heavy_tailed(2.0 * (of - middle) / half) if is_narrow else 0.0
    if high is not None and 0.0 < of < _FAR_BELOW * high and decided.rule.bound == "at_most":
        return min(_PER_TIME_E * math.log(_FAR_BELOW * high / of), _FAR_AT_MOST)
    return 0.0


def chemistry_cost(book: Book) -> float:
    """How hard it is to believe of cells of a chemistry that they have the voltages that are entered."""
    chemistry = book.operand(CHEMISTRY).value
    cost = 0.0
    for name in _OF_CHEMISTRY:
        given = book.given(name)
        usual = typical(name, chemistry if isinstance(chemistry, str) else None)
        if given is not None and is_number(given.value) and usual is not None:
            cost += heavy_tailed((float(given.number) - usual) / _CELL_APART_V)
    return cost


def _exact(operand: Operand | None) -> float | None:
    if operand is None or operand.side != EXACT or not is_number(operand.value):
        return None
    return float(operand.number)


def _times_e(decided: Ruling) -> float:
    """How far past its limit a value lies, as a natural logarithm of their ratio."""
    of = _exact(decided.of)
    ends = [one for one in map(_exact, (decided.low, decided.high)) if one is not None]
    if of is None or not ends:
        return _NO_RATIO
    of_unit = decided.rule.of or ""
    if of_unit.endswith("degC"):
        return min(abs(of - end) for end in ends) / _TEMPERATURE_E
    if of <= 0 or any(end <= 0 for end in ends):
        return _NO_RATIO
    return min(abs(math.log(of / end)) for end in ends)


def _side(decided: Ruling) -> int:
    """On which side of its limits a value lies."""
    of, low, high = (_exact(one) for one in (decided.of, decided.low, decided.high))
    if of is None:
        return 0
    return 1 if high is not None and of > high else -1 if low is not None and of < low else 0


def held_against(today: Weighed, then: Weighed) -> Weighed:
    """What a changed profile comes to, where a rule that says nothing any more is no full answer.

    A finding stands while its rule only lacks something; where it is out of scope, some of its cost
    does.
    """
    flags, soft = dict(then.flags), then.soft
    outcomes = dict(then.outcomes)
    for rule, flag in today.flags.items():
        if rule in flags:
            continue
        outcome = then.outcomes.get(rule)
        if outcome == "not_checked":
            flags[rule] = flag
            outcomes[rule] = "flagged"
        elif outcome == "out_of_scope":
            soft += _EVADED * flag.cost
    return then._replace(flags=flags, outcomes=outcomes, soft=soft)
