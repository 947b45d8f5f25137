"""Rules about the documents themselves: overrides, required entries, typical values, waivers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from ..documents.given import Value
from ..documents.location import Place
from ..documents.profile import BASE, Given, Override, Profile, Waiver
from ..documents.schema import entered_under
from ..expressions.names import Subject
from ..quantities.book import Book
from ..quantities.registry import TYPICAL, rests_on
from ..quantities.twice import KnownTwice, known_twice
from .catalogue import Catalogue
from .differences import override_facts, twice_facts
from .evaluation import Hearing, Ruling, gate_of, ruling
from .explanation import finding_of, roots_given, section_place, working_line
from .finding import Finding, HeldCount, NotChecked, Related, WorkingLine
from .rule import Outcome
from .waivers import facts_of

READ_BACK_ENTRIES = frozenset(("readings.entered.values", "readings.entered.modes"))


class Paper(NamedTuple):
    """One thing about the documents that rules are judged for: its facts, and where it stands.

    `related` and `working` are what a finding about it shows besides. With `about` only the rules
    about that fact judge it, and with `modes` it is true of these modes alone.
    """

    facts: Mapping[str, Value]
    quantity: str
    entered_as: str
    place: Place
    places: Mapping[str, Place]
    related: tuple[Related, ...] = ()
    working: tuple[WorkingLine, ...] = ()
    about: str | None = None
    modes: tuple[str, ...] = ()


class Paperwork(NamedTuple):
    """What the rules about records say, and what each of them came to over all records.

    `held` counts the settings that the controller was seen to hold, None where nobody looked.
    """

    findings: tuple[Finding, ...]
    not_checked: tuple[NotChecked, ...]
    outcomes: Mapping[str, Outcome]
    held: HeldCount | None = None


def paperwork(
    hearing: Hearing,
    catalogue: Catalogue,
    judged_on: str,
    known: Sequence[Finding],
    alone: bool = True,
) -> Paperwork:
    """The rules about a profile's records, checked for each record of their subject.

    `known` are the findings about the profile itself, which waivers are about. Waivers and what is
    to be said of several motors are left out where the motor is not `alone`.
    """
    profile, book = hearing.profile, hearing.books[BASE]
    rulings = hearing.rulings[BASE].values()
    piles: dict[Subject, list[Paper]] = {
        "override": [_override(item, book) for item in profile.overrides],
        "twice": [_twice(item, book) for item in known_twice(book)],
        "required": [_required(name, book, profile) for name in profile.house.require],
        "document": [_document(profile, book, catalogue, rulings)],
    }
    piles["entered"], held = _entered(hearing, catalogue)
    if alone:
        piles["waiver"] = [
            waiver_paper(item, catalogue, judged_on, known) for item in profile.waivers
        ]
        piles["motors"] = []
    return of_papers(piles, hearing, catalogue)._replace(held=held)


def of_papers(
    piles: Mapping[Subject, Sequence[Paper]], hearing: Hearing, catalogue: Catalogue
) -> Paperwork:
    """The rules about the subjects of some records, checked for each record."""
    profile, book = hearing.profile, hearing.books[BASE]
    findings: list[Finding] = []
    unjudged: dict[str, NotChecked] = {}
    rules = [
        (rule, papers) for subject, papers in piles.items() for rule in catalogue.about(subject)
    ]
    told: dict[str, Outcome] = {}
    for rule, papers in rules:
        outcomes: set[Outcome] = set()
        for paper in papers:
            if paper.about not in (None, rule.points_at):
                continue
            about = book.changed(facts_given(paper))
            decided = ruling(rule, about)
            outcomes.add(decided.outcome)
            if decided.outcome == "flagged":
                severity = catalogue.at_least(rule, decided.severity)
                finding = finding_of(decided, severity, paper.modes, about, profile)
                findings.append(_placed(finding, paper, rule.of or rule.at))
            elif decided.outcome == "not_checked":
                missing = tuple(sorted(map(entered_under, decided.missing)))
                severity = catalogue.severity(rule)
                gate = gate_of(rule, about)
                unjudged[rule.id] = NotChecked(
                    rule, severity, paper.modes, missing, decided.reason, gate
                )
        nothing = outcomes <= {"out_of_scope"}
        told[rule.id] = (
            "not_checked" if rule.id in unjudged else "out_of_scope" if nothing else "clear"
        )
    return Paperwork(tuple(findings), tuple(unjudged.values()), told)


def facts_given(paper: Paper) -> dict[str, Given]:
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
        related=paper.related,
        working=paper.working or finding.working,
    )


def _override(override: Override, book: Book) -> Paper:
    given = book.given(override.quantity)
    entered_as = given.entered_as if given else override.quantity
    facts = override_facts(override, book)
    related = (Related(override.quantity, override.part_place),)
    return Paper(facts, override.quantity, entered_as, override.place, {}, related)


def _twice(known: KnownTwice, book: Book) -> Paper:
    """An entry beside others that give it too, with these and how they do."""
    entered = known.entered
    related = tuple(
        Related(name, given.place)
        for name in roots_given(book, known.other.inputs)
        if (given := book.given(name)) is not None and given.place.file
    )
    working = (working_line(known.other, book),)
    facts = twice_facts(known, book)
    return Paper(facts, entered.name, entered.entered_as, entered.place, {}, related, working)


def _entered(hearing: Hearing, catalogue: Catalogue) -> tuple[list[Paper], HeldCount | None]:
    """Each field that was read back beside what the profile says, and how many hold that."""
    if READ_BACK_ENTRIES.isdisjoint(hearing.profile.givens):
        return [], None
    from .read_back import held_count, read_back_facts, read_backs  # late: few are read back
    from .read_back_danger import brings_danger

    read = read_backs(hearing, catalogue)
    papers = []
    for one in read:
        danger = {"entered.danger": brings_danger(one, hearing, catalogue)}
        facts = {**read_back_facts(one, read, hearing), **danger}
        papers.append(Paper(facts, one.entered_as, one.entered_as, one.place, {}))
    return papers, held_count(hearing, read)


def _required(name: str, book: Book, profile: Profile) -> Paper:
    facts: dict[str, Value] = {
        "required.name": name,
        "required.given": book.is_given(name) or book.is_absent(name),
    }
    return Paper(facts, name, name, section_place(name, profile), {})


def waiver_paper(
    waiver: Waiver, catalogue: Catalogue, judged_on: str, findings: Sequence[Finding]
) -> Paper:
    """A waiver with what rules may ask of it; `findings` are those that it may be about."""
    keys = {"waiver.left_days": "until", "waiver.reason_length": "reason"}
    keys |= {"waiver.beyond_bound": "accepts"}
    places = waiver.places
    return Paper(
        facts_of(waiver, catalogue, judged_on, findings),
        "waivers",
        waiver.entered_as,
        places.get("rule", waiver.place),
        {name: places[key] for name, key in keys.items() if key in places},
    )


def _document(
    profile: Profile, book: Book, catalogue: Catalogue, rulings: Iterable[Ruling]
) -> Paper:
    """The document as a whole: the typical values on which a danger rule was judged."""
    used = typical_below(_told_under_danger(catalogue, rulings), book)
    given = book.given("pack.cell.chemistry")
    place = given.place if given is not None else section_place("pack.cell", profile)
    facts: dict[str, Value] = {
        "document.typical_under_danger": tuple(sorted(used)),
        "document.typical_count": float(len(used)),
    }
    return Paper(facts, "pack.cell.chemistry", "pack.cell.chemistry", place, {})


def _told_under_danger(catalogue: Catalogue, rulings: Iterable[Ruling]) -> Iterator[str]:
    """The names that dangers were judged by."""
    for decided in rulings:
        rule = decided.rule
        if decided.outcome in ("clear", "flagged") and (
            rule.gravest == "danger" or catalogue.severity(rule) == "danger"
        ):
            yield from rule.tells


def typical_below(names: Iterable[str], book: Book) -> set[str]:
    """The typical values that some entries depend on, as they were worked out."""
    if not any(book.entry(name).origin == "typical" for name in TYPICAL):
        return set()
    typicals: set[str] = set()
    waiting = list(dict.fromkeys(names))
    seen = set(waiting)
    while waiting:
        name = waiting.pop()
        entry = book.entry(name)
        if entry.origin == "typical":
            typicals.add(name)
        elif entry.worked is not None and entry.given is None:
            below = [one for one in entry.inputs if one not in seen]
            seen.update(below)
            waiting += [one for one in below if not rests_on(one).isdisjoint(TYPICAL)]
    return typicals
