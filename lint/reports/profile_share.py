"""A profile's share of a report: its verdict, and what decided it, cut down to plain data."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any, NamedTuple

from ..documents.identity import Identity, identity_in
from ..documents.profile import TriedValue
from ..judgement.finding import Finding, Judgement, KnownOutcome, Verdict
from ..judgement.rule import SEVERITIES, STOPS, Severity, Stage
from ..judgement.untried import untried_words
from ..judgement.verdict import ask_of, fitness, open_gates, reached, short_of
from .finding_words import distance_words, missing_words
from .shared_causes import VehicleCauses, causes_of


class Gravest(NamedTuple):
    """The finding that decided a verdict: its rule, where it stands, and how far past the limit.

    `state` says that it is waived, or how it stands to a list of known findings; "" without either.
    """

    rule: str
    file: str
    line: int
    past: str
    state: str = ""


class Share(NamedTuple):
    """One profile's share of a report: its verdict with its scope, and the body its format gave.

    `stages` has the verdict of each stage, `fitness` what they come to in words. `checked`,
    `not_checked` and `out_of_scope` count rules. `found` counts the findings that no waiver covers,
    `waived_by` those that one does; `waived_until` is the first day on which a waived danger comes
    back; `worst` says in few words what decided the verdict. Plain data throughout, so that
    another process can hand it over. `house` is the house file that held, "" for none, and
    `house_rules` how many of the shop's own rules did. `held` counts the settings that the controller was
    seen to hold, and all to enter; None where nothing was read back. `identity` is the vehicle's id,
    `gravest` the finding that decided the verdict, `causes` what all rest on, in its own file and others;
    `untried` names the safety functions that nobody tried. `tried` holds the values that only the
    report was made with, `known` what a list of known findings comes to. `single` says which one
    entry explains several findings, where one does. `seconds` is how long this
    run took over the profile, however it came by the verdict. `waived_rules` names the waived dangers and
    faults, the gravest first.
    """

    file: str
    name: str
    stage: Stage
    stages: dict[Stage, Verdict]
    fitness: str
    checked: int
    not_checked: int
    out_of_scope: int
    found: dict[Severity, int]
    waived_by: dict[Severity, int]
    waived_until: str | None
    worst: str
    body: Any
    house: str = ""
    house_rules: int = 0
    held: tuple[int, int] | None = None
    identity: Identity | None = None
    gravest: Gravest | None = None
    causes: VehicleCauses = VehicleCauses()
    untried: str = ""
    tried: tuple[TriedValue, ...] = ()
    known: KnownOutcome | None = None
    seconds: float = 0.0
    waived_rules: tuple[str, ...] = ()
    single: str = ""

    @property
    def counts_as(self) -> Verdict:
        """The verdict that the exit status goes by: without what is on the list of known findings."""
        return self.verdict if self.known is None else self.known.verdict

    @property
    def verdict(self) -> Verdict:
        """The verdict of the stage asked for."""
        return self.stages[self.stage]

    @property
    def untried_count(self) -> str:
        """How many safety functions nobody tried, for a list in which a vehicle has one line."""
        return f"{self.untried.count(',') + 1} never tried" if self.untried else ""

    @property
    def waived(self) -> int:
        """How many findings a waiver covers."""
        return sum(self.waived_by.values())


def share(judgement: Judgement, body: Any = None) -> Share:
    """A judgement cut down to what the report keeps of it; `body` is what its format made of it."""
    standing = Counter(finding.severity for finding in judgement.findings if not finding.waived)
    waived = Counter(finding.severity for finding in judgement.findings if finding.waived)
    until = [
        finding.waived.until
        for finding in judgement.findings
        if finding.waived and finding.severity == "danger"
    ]
    return Share(
        file=judgement.profile.file,
        name=judgement.profile.name,
        stage=judgement.stage,
        stages=dict(judgement.stages),
        fitness=fitness(judgement),
        checked=judgement.checked,
        not_checked=len(_unchecked(judgement)),
        out_of_scope=judgement.out_of_scope,
        found={severity: standing[severity] for severity in SEVERITIES if standing[severity]},
        waived_by={severity: waived[severity] for severity in SEVERITIES if waived[severity]},
        waived_until=min(until, default=None),
        waived_rules=tuple(dict.fromkeys(one.rule.id for one in _waived(judgement))),
        worst=_worst(judgement),
        body=body,
        house=judgement.profile.house.file,
        house_rules=judgement.house_rules,
        held=judgement.held,
        identity=identity_in(judgement.profile),
        gravest=_gravest(judgement),
        causes=causes_of(judgement),
        untried=untried_words(judgement),
        tried=judgement.profile.tried,
        known=judgement.known,
    )


def _unchecked(judgement: Judgement) -> set[str]:
    """The rules that count for the stage asked for and are not checked."""
    return {
        entry.rule.id
        for entry in judgement.not_checked
        if reached(entry.rule.stage, judgement.stage)
    }


def _worst(judgement: Judgement) -> str:
    """The finding, or what has to be done first, that decided the verdict, in a few words."""
    if judgement.verdict == "incomplete":
        gates = open_gates(judgement.not_checked, judgement.stage)
        asked = short_of(judgement.not_checked, judgement.stage)
        if asked:
            return ask_of(asked[0])
        return f"{gates[0].rule.id}: {missing_words(gates[0])}"
    if judgement.verdict == "go" or not judgement.findings:
        return ""
    worst = _waived_first(judgement) or _news_first(judgement)
    elsewhere = "" if worst.place.file == judgement.profile.file else f"{worst.place.file} "
    return f"{worst.rule.id}, {elsewhere}line {worst.place.line}"


def _gravest(judgement: Judgement) -> Gravest | None:
    waived = _waived_first(judgement)
    if (waived is None and judgement.verdict in ("go", "incomplete")) or not judgement.findings:
        return None
    worst = waived or _news_first(judgement)
    known = worst.known.state if worst.known else ""
    place = worst.place
    state = "waived" if waived else known
    return Gravest(worst.rule.id, place.file, place.line, distance_words(worst), state)


def _waived_first(judgement: Judgement) -> Finding | None:
    """The gravest danger or fault that is only waived, where nothing graver decides the verdict."""
    if judgement.verdict not in ("go", "go-with-waivers"):
        return None
    return next(_waived(judgement), None)


def _waived(judgement: Judgement) -> Iterator[Finding]:
    return (one for one in judgement.findings if one.waived and one.severity in STOPS)


def _news_first(judgement: Judgement) -> Finding:
    """The gravest finding; beside a list of known findings the gravest danger or fault not on it."""
    news = (
        one
        for one in judgement.findings
        if one.known and one.known.state != "recorded" and one.severity in STOPS
    )
    return next(news, judgement.findings[0])
