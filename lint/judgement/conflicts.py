"""Settings that no value fits: conflicting rules, reported as a finding of their own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from ..documents.given import Given, Value
from ..documents.profile import BASE
from .catalogue import Catalogue
from .clause import Clause, clauses_of, in_force, names_read
from .evaluation import Hearing, ruling
from .explanation import finding_of, roots_given, section_place
from .finding import Finding
from .frame import Frame, frame_of, settings_of
from .rule import STOPS


def without_window(
    findings: Iterable[Finding], hearing: Hearing, catalogue: Catalogue
) -> list[Finding]:
    """A finding for each setting that a danger or fault points at and that no value would fit.

    A waived rule is left aside, and so is one that another setting could satisfy: that one has its
    own finding. Without a danger or fault nothing is swept, so that it costs nothing.
    """
    known = list(findings)
    waived = frozenset(finding.rule.id for finding in known if finding.waived)
    empty: list[Finding] = []
    for name, mode in _flagged_settings(known, hearing):
        without = waived | _movable(name, mode, hearing, catalogue)
        empty += empty_window(frame_of(name, mode, hearing, catalogue, without), hearing, catalogue)
    return empty


def _movable(name: str, mode: str, hearing: Hearing, catalogue: Catalogue) -> set[str]:
    """The rules on a setting whose bound depends on another setting too, be that one given or not."""
    modes = in_force(name, mode, hearing)

    def made() -> list[tuple[Clause, bool]]:
        clauses = clauses_of(name, modes, hearing, catalogue)
        return [(clause, _reads_another(name, clause, hearing)) for clause in clauses]

    if hearing.common is None:
        found = made()
    else:
        key = ("movable", name, mode, tuple(modes))
        found = hearing.common.made(
            key, lambda told: names_read(name, [clause for clause, _ in told]), made
        )
    return {clause.rule.id for clause, movable in found if movable}


def _reads_another(name: str, clause: Clause, hearing: Hearing) -> bool:
    """Whether a rule depends on a setting besides this one."""
    reads = sorted(clause.rule.reads)
    reached = {*roots_given(hearing.books[clause.mode], reads), *reads}
    return any(other.startswith("settings.") and other != name for other in reached)


def _flagged_settings(findings: Iterable[Finding], hearing: Hearing) -> Iterator[tuple[str, str]]:
    """The settings that dangers and faults point at, each in the mode that sets it."""
    seen: set[tuple[str, str]] = set()
    for finding in findings:
        if finding.severity not in STOPS or finding.waived:
            continue
        for mode in finding.modes or (BASE,):
            own = mode if finding.entered_as.startswith(f"modes.{mode}.") else BASE
            asked = (finding.quantity, own)
            if asked not in seen and finding.quantity in settings_of(hearing, own):
                seen.add(asked)
                yield asked


def empty_window(frame: Frame, hearing: Hearing, catalogue: Catalogue) -> Iterator[Finding]:
    """The finding about a window that rules leave empty."""
    conflict, key, today = frame.conflict, frame.key, frame.given
    if not conflict:
        return
    book = hearing.books[frame.mode]
    given = book.given(key.name)
    place = given.place if given else section_place(key.name, hearing.profile)
    severities = {catalogue.severity(catalogue.rules[name]) for name in conflict}
    facts: dict[str, Value] = {
        "window.setting": key.entered_as,
        "window.rules": conflict,
        "window.empty": True,
        "window.danger": "danger" in severities,
    }
    about = book.changed(
        {name: Given(name, fact, name, fact, 1.0, place) for name, fact in facts.items()}
    )
    modes = (frame.mode,) if frame.mode else ()
    for rule in catalogue.about("window"):
        decided = ruling(rule, about)
        if decided.outcome == "flagged":
            severity = catalogue.at_least(rule, decided.severity)
            finding = finding_of(decided, severity, modes, about, hearing.profile)
            yield replace(
                finding,
                quantity=key.name,
                entered_as=key.entered_as,
                place=place,
                related=(),
                value=float(today.entered) if today is not None else None,
                unit=key.unit,
                conflict=tuple(conflict),
            )
