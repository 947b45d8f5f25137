"""Suspicion: which one entry, or which fault of the machine, explains what contradicts itself.

Each usual slip of each entry is undone, and the vehicle heard again where that reaches. What is left of
the findings and residuals, and how usual the slip is, make a posterior, by our own guesses at both.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from ..documents.profile import BASE, Profile
from ..documents.schema import canonical
from ..judgement.alike import hear_beside
from ..judgement.catalogue import Catalogue
from ..judgement.evaluation import Hearing, ruling
from ..judgement.finding import Judgement
from ..judgement.motor_books import SUMS
from ..judgement.rule import STOPS, Rule
from ..quantities.book import Book
from ..quantities.operand import NOTHING
from ..quantities.registry import REACHES, affected
from .evidence import RaisedRule, Weighed, Weighing, held_against
from .explanations import Explanation, beside_a_small_part, none_weight, pairs_of
from .hypotheses import Elsewhere, Hypothesis, hypotheses
from .machine_faults import machine_faults
from .motor_hearings import (
    COMPARING,
    EQUAL_READING,
    BetweenMotors,
    HeardMotors,
    between_motors,
    compared_by,
    heard_motors,
)
from .past_limit import past_their_limits
from .ratings import is_absurd, is_loosened, makes_unlikely, may_be_meant
from .records import Records, elsewhere_of, elsewhere_of_motors
from .sites import Change, Site, sites_of, with_changes
from .slip_rows import SlipTable, slip_table

# Of a vehicle with very many entries, or with something wrong nearly everywhere, the most usual ones. The
# whole search takes the time of four or five checks as a rule and of some forty at most; of several motors
# seven, and a hundred at most: tests/benchmark/suspects.py.
MOST_HYPOTHESES = 1500
MOST_IN_FULL = 300
LEAST_FOR_PAIRS = 2  # findings
_ROUNDER = 0.6  # natural logarithms that a digit less is worth
_MOST_ROUNDER = 3  # digits


class Suspicion(NamedTuple):
    """All that explains something, the likeliest first, and the weight of none of them."""

    today: Weighed
    explanations: tuple[Explanation, ...]
    none_weight: float
    tried: int


def suspicion(
    profile: Profile,
    catalogue: Catalogue,
    judged_on: str,
    judgement: Judgement,
    before: Profile | None = None,
) -> Suspicion:
    """What explains the dangers and faults of a profile's judgement; `before` is the previous revision."""
    table = slip_table()
    asked = Inquiry(profile, catalogue, judged_on, judgement, table)
    today = asked.today
    if not today.grave:
        return Suspicion(today, (), 0.0, 0)
    others = sites_of(profile)
    sites = asked.reaching(others)
    every = hypotheses(sites, table, asked.books, asked.elsewhere(before), others)
    every = sorted(every, key=lambda one: -one.prior)[:MOST_HYPOTHESES]
    every += past_their_limits(today, others, table)
    found = [one for one in map(asked.explained, every) if one is not None]
    found += asked.faults()
    found.sort(key=lambda one: -one.weight)
    if found and len(today.grave) >= LEAST_FOR_PAIRS and not _explains_all(found, today):
        found += [one for one in map(asked.explained, pairs_of(found)) if one is not None]
    found = beside_a_small_part(found, table)
    return Suspicion(today, tuple(found), none_weight(found, table, today.grave), asked.tried)


def _explains_all(found: Iterable[Explanation], today: Weighed) -> bool:
    return any(one.explains == today.grave for one in found)


class Inquiry:
    """A profile about which hypotheses are asked, each heard beside the profile as it stands."""

    def __init__(
        self,
        profile: Profile,
        catalogue: Catalogue,
        judged_on: str,
        judgement: Judgement,
        table: SlipTable,
        most_in_full: int = MOST_IN_FULL,
    ) -> None:
        self.profile, self.catalogue, self.judged_on = profile, catalogue, judged_on
        self.table, self.tried, self.in_full, self.most_in_full = table, 0, 0, most_in_full
        waived = [one.rule.id for one in judgement.findings if one.waived]
        self._weighing = Weighing(catalogue, table.belief, waived)
        self._below: dict[str, frozenset[str]] = {}
        self._records: tuple[Records, ...] = ()
        self._motors: HeardMotors | None = None
        self._between: BetweenMotors | None = None
        self.today = self._heard(profile, ())
        self._reads = self._suspicious()

    @property
    def books(self) -> Mapping[str, Book]:
        """The book of the base settings of each motor, or of the one."""
        names = list(self.profile.motors) or [""]
        return {
            name: hearing.books[BASE]
            for name, hearing in zip(names, self.today.hearings, strict=True)
        }

    def _heard(self, profile: Profile, changes: Sequence[Change]) -> Weighed:
        """What a profile comes to in which some entries are otherwise than in the one asked about."""
        if profile.motors:
            heard = heard_motors(profile, self.catalogue, self.judged_on, self._motors)
            self._motors = self._motors or heard
            return self._weighed(heard.hearings, changes, heard)
        before = self.today.hearings[0] if changes else None
        hearing = hear_beside(profile, self.catalogue, self.judged_on, before)
        if not changes:
            elsewhere = elsewhere_of(hearing, self.catalogue, None)
            self._records = (Records(hearing, self.catalogue, self.judged_on, elsewhere),)
        return self._weighed((hearing,), changes)

    def _weighed(
        self,
        hearings: tuple[Hearing, ...],
        changes: Sequence[Change],
        motors: HeardMotors | None = None,
    ) -> Weighed:
        """What rules about the vehicle, its records and its motors come to, with some entries otherwise."""
        weighed = self._weighing.weighed(hearings)
        flags, belief = dict(weighed.flags), self.table.belief
        for records in self._records:
            for one in records.then(changes):
                if one.rule not in self._weighing.waived:
                    cost = belief.of(one.rule, one.severity, 0.0)
                    flags[f"{one.rule}:{one.quantity}"] = RaisedRule(one.severity, cost)
        outcomes = dict(weighed.outcomes)
        if motors:
            between = between_motors(motors, self.catalogue)
            self._between = self._between or between
            for rule, severity in between.flags.items():
                if rule not in self._weighing.waived:
                    flags[rule] = RaisedRule(severity, belief.of(rule, severity, 0.0))
            if not self._between.apart <= between.compared:  # equal no more
                rules = [
                    rule.id
                    for rule in self.catalogue.about(COMPARING)
                    if EQUAL_READING in rule.reads
                ]
                outcomes |= {rule: "out_of_scope" for rule in rules if rule not in flags}
        return weighed._replace(flags=flags, outcomes=outcomes)

    def elsewhere(self, before: Profile | None) -> Elsewhere:
        """What entries are elsewhere."""
        if self.profile.motors:
            return elsewhere_of_motors(self.profile, before)
        return elsewhere_of(self.today.hearings[0], self.catalogue, before)

    def _suspicious(self) -> frozenset[str]:
        """All names that a danger or fault of today reads."""
        rules = self.catalogue.rules
        names: set[str] = set()
        for name in self.today.grave:
            twice = name.partition(":")[2]
            names |= {twice} if twice else _read_by(rules[name])
        return frozenset(names)

    def reaching(self, sites: Iterable[Site]) -> list[Site]:
        """The entries that reach what is wrong today."""
        reached: dict[str, bool] = {}
        kept = []
        for site in sites:
            name = site.quantity
            if name not in reached:
                reached[name] = not affected(frozenset({name})).isdisjoint(self._reads)
            if reached[name]:
                kept.append(site)
        return kept

    def explained(self, hypothesis: Hypothesis, least: int = 1) -> Explanation | None:
        """What a hypothesis explains; None where that are fewer than so many dangers and faults."""
        self.tried += 1
        if self.in_full >= self.most_in_full or not self._may_explain(hypothesis, least):
            return None
        self.in_full += 1
        changed = with_changes(self.profile, (*hypothesis.changes, *hypothesis.reread))
        then = held_against(self.today, self._heard(changed, hypothesis.changes))
        explains = self.today.grave - then.grave
        belief = self.table.belief
        asked = (self.today, then, belief, self._rests_on)
        if len(explains) < least or makes_unlikely(hypothesis.changes, *asked):
            return None
        if any(is_absurd(one, self.books.values()) for one in hypothesis.changes):
            return None
        if hypothesis.tightens and any(map(is_loosened, hypothesis.changes)):
            return None
        rounder = 0.0  # what a meter shows is as seldom round as not
        if not all(one.site.quantity.startswith("readings.") for one in hypothesis.changes):
            rounder = max(-_MOST_ROUNDER, min(_MOST_ROUNDER, hypothesis.shorter)) * _ROUNDER
        weight = math.log(hypothesis.prior) + rounder + self.today.cost - then.cost
        meant = may_be_meant(hypothesis.changes, explains, self.today, belief, self._points_at)
        return Explanation(hypothesis, then, explains, weight, meant)

    def _may_explain(self, hypothesis: Hypothesis, least: int) -> bool:
        """Whether so many of today's rules could be clear then; asked of the base settings alone.

        What cannot be said so quickly counts as if they were: modes, and what motors have together.
        """
        changes = (*hypothesis.changes, *hypothesis.reread)
        if any(change.site.mode for change in changes):
            return True
        given = {change.site.quantity: change.given for change in changes}
        moved = affected(frozenset(given))
        together = SUMS & moved if self.profile.motors else NOTHING
        changed = [
            (hearing, hearing.books[BASE].changed(given))
            for hearing, motor in zip(self.today.hearings, self.books, strict=True)
            if not motor or motor in changes[0].site.motors
        ]
        clear = 0
        for name in self.today.grave:
            rule = self.catalogue.rules.get(name)
            if rule is not None and rule.subject == COMPARING:
                clear += not moved.isdisjoint(_read_by(rule))
            elif together and not together.isdisjoint(self._rests_on(name)):
                clear += 1
            else:
                clear += any(_may_be_clear(name, one, book, moved) for one, book in changed)
            if clear >= least:
                return True
        return False

    def _rests_on(self, name: str) -> frozenset[str]:
        """All names that a rule's outcome rests on."""
        known = self._below.get(name)
        if known is None:
            rule = self.catalogue.rules.get(name)
            reads = _read_by(rule) if rule is not None else NOTHING
            known = reads.union(*(REACHES.get(one, NOTHING) for one in reads))
            self._below[name] = known
        return known

    def _points_at(self, name: str) -> frozenset[str]:
        """The entry that a rule is about; where it is about something worked out, all that it rests on."""
        rule = self.catalogue.rules.get(name)
        told = name.partition(":")[2] or (rule.at or rule.of if rule is not None else None)
        return frozenset({told}) if told and told in canonical() else self._rests_on(name)

    def faults(self) -> list[Explanation]:
        """The faults of the machine of which there is a sign."""
        return machine_faults(self.today, self._weighing, list(self.profile.motors), self._between)


def _read_by(rule: Rule) -> frozenset[str]:
    """The names that a rule reads, or by which it compares motors."""
    return compared_by(rule) if rule.subject == COMPARING else rule.reads


def _may_be_clear(name: str, hearing: Hearing, book: Book, moved: frozenset[str]) -> bool:
    """Whether a rule that flags today does not by a changed book, as far as the base settings tell."""
    quantity = name.partition(":")[2]
    if quantity:
        return quantity in moved
    decided = hearing.rulings[BASE].get(name)
    if decided is None or decided.outcome != "flagged":
        return True
    if moved.isdisjoint(decided.rule.reads):
        return False
    return ruling(decided.rule, book).outcome != "flagged"


def is_stopped(judgement: Judgement) -> bool:
    """Whether a danger or fault stands that nobody accepted."""
    return any(one.severity in STOPS and not one.waived for one in judgement.findings)
