"""Rules about the documents themselves: overrides, required entries, typical values, waivers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import NamedTuple

from ..documents.day import days_between
from ..documents.given import Value
from ..documents.location import Place
from ..documents.profile import Given, Override, Profile, Waiver
from ..documents.schema import allowances
from ..quantities.book import Book
from ..quantities.number import is_number, noise
from ..quantities.registry import TYPICAL, rests_on
from .catalogue import Catalogue
from .evaluation import Ruling, ruling
from .explanation import finding_of, section_place
from .finding import Finding, NotChecked
from .rule import Outcome, Subject


class Paper(NamedTuple):
    """One thing about the documents that rules are judged for: its facts, and where it stands."""

    facts: Mapping[str, Value]
    quantity: str
    entered_as: str
    place: Place
    places: Mapping[str, Place]


class Paperwork(NamedTuple):
    """What the rules about records say, and how many of them were checked or had nothing to judge."""

    findings: tuple[Finding, ...]
    not_checked: tuple[NotChecked, ...]
    checked: int
    out_of_scope: int


def paperwork(
    profile: Profile, book: Book, catalogue: Catalogue, rulings: Iterable[Ruling], judged_on: str
) -> Paperwork:
    """The rules about a profile's records, checked for each record of their subject."""
    piles: dict[Subject, list[Paper]] = {
        "override": [_override(item, book) for item in profile.overrides],
        "required": [_required(name, book, profile) for name in profile.house.require],
        "waiver": [_waiver(item, catalogue, judged_on) for item in profile.waivers],
        "document": [_document(profile, book, catalogue, rulings)],
    }
    findings: list[Finding] = []
    unjudged: dict[str, NotChecked] = {}
    rules = [
        (rule, papers) for subject, papers in piles.items() for rule in catalogue.about(subject)
    ]
    out_of_scope = 0
    for rule, papers in rules:
        severity = catalogue.severity(rule)
        outcomes: set[Outcome] = set()
        for paper in papers:
            about = book.changed(_given(paper))
            decided = ruling(rule, about)
            outcomes.add(decided.outcome)
            if decided.outcome == "flagged":
                finding = finding_of(decided, severity, (), about, profile)
                findings.append(_placed(finding, paper, rule.of))
            elif decided.outcome == "not_checked":
                missing = tuple(sorted(decided.missing))
                unjudged[rule.id] = NotChecked(rule, severity, (), missing, decided.reason)
        out_of_scope += outcomes <= {"out_of_scope"}
    checked = len(rules) - len(unjudged) - out_of_scope
    return Paperwork(tuple(findings), tuple(unjudged.values()), checked, out_of_scope)


def _given(paper: Paper) -> dict[str, Given]:
    """The facts as if the document gave them, each at its own line."""
    return {
        name: Given(name, value, paper.entered_as, value, 1.0, paper.places.get(name, paper.place))
        for name, value in paper.facts.items()
    }


def _placed(finding: Finding, paper: Paper, of: str | None) -> Finding:
    """The finding at the record's own line."""
    return replace(
        finding,
        quantity=paper.quantity,
        entered_as=paper.entered_as,
        place=paper.places.get(of or "", paper.place),
        of=None,
        related=(),
    )


def _override(override: Override, book: Book) -> Paper:
    quantity = override.quantity
    given = book.given(quantity)
    factor = given.factor if given else 1.0
    facts: dict[str, Value] = {
        "override.rating": override.rating or "none",
        "override.value": override.value / factor,
        "override.part_value": override.part_value / factor,
    }
    return Paper(facts, quantity, given.entered_as if given else quantity, override.place, {})


def _required(name: str, book: Book, profile: Profile) -> Paper:
    facts: dict[str, Value] = {
        "required.name": name,
        "required.given": book.is_given(name) or book.is_absent(name),
    }
    return Paper(facts, name, name, section_place(name, profile), {})


def _waiver(waiver: Waiver, catalogue: Catalogue, judged_on: str) -> Paper:
    rule = catalogue.rules.get(waiver.rule)
    facts: dict[str, Value] = {
        "waiver.rule": waiver.rule,
        "waiver.known": rule is not None,
        "waiver.waivable": rule.waivable if rule is not None else True,
        "waiver.left_days": float(days_between(judged_on, waiver.until)),
        "waiver.reason_length": float(len(waiver.reason.strip())),
    }
    keys = {"waiver.left_days": "until", "waiver.reason_length": "reason"}
    places = waiver.places
    return Paper(
        facts,
        "waivers",
        waiver.entered_as,
        places.get("rule", waiver.place),
        {name: places[key] for name, key in keys.items() if key in places},
    )


def _document(
    profile: Profile, book: Book, catalogue: Catalogue, rulings: Iterable[Ruling]
) -> Paper:
    """The document as a whole: the typical values on which a danger rule was judged."""
    used: set[str] = set()
    for decided in rulings:
        if decided.outcome in ("clear", "flagged") and catalogue.severity(decided.rule) == "danger":
            for name in decided.rule.tells:
                used |= typical_below(name, book)
    given = book.given("pack.cell.chemistry")
    place = given.place if given is not None else section_place("pack.cell", profile)
    facts: dict[str, Value] = {
        "document.typical_under_danger": tuple(sorted(used)),
        "document.typical_count": float(len(used)),
    }
    return Paper(facts, "pack.cell.chemistry", "pack.cell.chemistry", place, {})


def typical_below(name: str, book: Book) -> set[str]:
    """The typical values that an entry depends on, as it was worked out."""
    entry = book.entry(name)
    if entry.origin == "typical":
        return {name}
    if entry.worked is None or entry.given is not None:
        return set()
    typicals: set[str] = set()
    for below in entry.inputs:
        if not rests_on(below).isdisjoint(TYPICAL):
            typicals |= typical_below(below, book)
    return typicals


def covered(
    findings: Iterable[Finding], profile: Profile, catalogue: Catalogue, judged_on: str
) -> list[Finding]:
    """The findings, those marked that a waiver in force covers."""
    in_force = [
        waiver for waiver in profile.waivers if _in_force(waiver, catalogue, judged_on, profile)
    ]
    return [_marked(finding, in_force) for finding in findings]


def _in_force(waiver: Waiver, catalogue: Catalogue, judged_on: str, profile: Profile) -> bool:
    rule = catalogue.rules.get(waiver.rule)
    name = "house.reason_min_characters"
    allowance = profile.house.allowances.get(name)
    letters = allowance.number if allowance is not None else allowances()[name].default
    return (
        rule is not None
        and rule.waivable
        and days_between(judged_on, waiver.until) >= 0
        and len(waiver.reason.strip()) >= letters
    )


def _marked(finding: Finding, in_force: list[Waiver]) -> Finding:
    """The finding with the waiver that covers it; of one waiver a mode, the first to run out.

    A waiver without a mode covers all; those with a mode cover it once each of its modes has one.
    """
    fitting = [
        waiver
        for waiver in in_force
        if waiver.rule == finding.rule.id and not worse_than_accepted(finding, waiver.accepts)
    ]
    for waiver in fitting:
        if waiver.mode is None:
            return replace(finding, waived=waiver)
    by_mode = {waiver.mode: waiver for waiver in fitting}
    if finding.modes and by_mode.keys() >= set(finding.modes):
        first = min((by_mode[mode] for mode in finding.modes), key=lambda waiver: waiver.until)
        return replace(finding, waived=first)
    return finding


def worse_than_accepted(finding: Finding, accepts: float | None) -> bool:
    """Whether the finding is further out than the waiver accepts.

    Without a bound there is no further out: any other value than the accepted one is worse.
    """
    value = finding.value
    if accepts is None:
        return is_number(value)
    if not is_number(value):
        return False
    slack = noise(accepts, value)
    if finding.high is not None and value > finding.high - slack:
        return value > accepts + slack
    if finding.low is not None and value < finding.low + slack:
        return value < accepts - slack
    return abs(value - accepts) > slack
