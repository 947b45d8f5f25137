"""The rehearsal as a page: what nothing catches first, and what does the same under one head."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from ..documents.profile import BASE
from ..documents.text import so_many
from ..judgement.finding import Judgement
from ..judgement.verdict import ask_of
from ..rehearsal.failure_file import LEAST_CLASS, failure_classes
from ..rehearsal.rehearse import Failure, RehearsalOutcome, rehearsal_outcome
from .check_totals import VERDICT_WORDS, verdict_note
from .failure_groups import (
    CLASS_TONES,
    FailureGroup,
    consequence_words,
    failure_groups,
    failure_titles,
    group_notice,
    names_and_numbers,
    worse_numbers,
)
from .profile_share import share
from .ride_verdict import verdict_rows
from .section import Card, Code, Notice, Report, Row, Section, Table, Tone, Toned, row

REHEARSED = (
    "One failure at a time, all else sound; worked out, not tried. Severity in the manner of IEC 60812, as if "
    "nothing caught it."
)
STATES = ("uncovered", "not known", "caught")
# The rehearsal's own word: the verdict is the check's, which judges the entries, not broken parts.
REHEARSED_WORDS: Mapping[RehearsalOutcome, str] = {
    "uncovered": "UNCOVERED",
    "not known": "NOT KNOWN",
    "covered": "COVERED",
}
REHEARSED_TONES: Mapping[RehearsalOutcome, Tone] = {
    "uncovered": "danger",
    "not known": "fault",
    "covered": "good",
}
IN_NUMBERS = "In numbers"
OF_RECORD = "What catches a failure"


def rehearsal_page(
    rehearsed: Mapping[str, Sequence[Failure]], judgement: Judgement, tool: str = ""
) -> Report:
    """One card: the base settings, or the first mode that is asked for, and what differs in the others."""
    profile, outcome = judgement.profile, rehearsal_outcome(rehearsed.values())
    waived = verdict_note(share(judgement))
    checked = f"gonogo check: {VERDICT_WORDS[judgement.stages['ride']]} for a ride"
    checked += f" ({waived})" if waived else ""
    first, *others = rehearsed
    base = rehearsed[first]
    shorts = [(failures_in_short(base),)]
    for mode in others:
        if failures_in_short(rehearsed[mode]) != failures_in_short(base):
            shorts.append((f"mode {mode}: {failures_in_short(rehearsed[mode])}",))
    trace = ("every number: ", Code(f"gonogo working {profile.file} failure"))
    card = Card(
        verdict=REHEARSED_WORDS[outcome],
        tone=REHEARSED_TONES[outcome],
        name=profile.name,
        passage="REHEARSAL · ",
        about=(
            (f"{profile.file}{f', mode {first}' if first else ''} · {checked}",),
            *shorts,
        ),
        sections=(
            Section("", tuple(verdict_rows(judgement, profile.file))),
            *rehearsal_sections(rehearsed),
            Section("", (row("grounds", REHEARSED, trace),)),
        ),
    )
    return Report("gonogo rehearse", (card,), tool=tool)


def failures_in_short(failures: Sequence[Failure]) -> str:
    """How many of the failures are caught: `27 failures: 2 uncovered, 3 not known, 22 caught`."""
    amounts = [sum(one.covered is state for one in failures) for state in (False, None, True)]
    words = (f"{count} {word}" for count, word in zip(amounts, STATES, strict=True) if count)
    return f"{so_many(len(failures), 'failure')}: {', '.join(words)}"


def rehearsal_sections(rehearsed: Mapping[str, Sequence[Failure]]) -> Iterator[Section]:
    """What the first mode comes to, then what is worse in the others, then what to enter."""
    first, *others = rehearsed
    base = rehearsed[first]
    uncovered, unknown = (tuple(_open_notices(rehearsed, state)) for state in (False, None))
    caught = failure_groups(one for one in base if one.covered)
    if uncovered:
        yield Section("Nothing catches", uncovered)
    asks = tuple(_asks([one for of_mode in rehearsed.values() for one in of_mode]))
    if unknown or asks:
        yield Section("Not known what catches", (*unknown, *asks))
    modes = [_mode_row(mode, rehearsed[mode], base) for mode in others]
    if caught or modes:
        yield Section("Caught", (*_caught_rows(caught), *modes))
    if base:
        yield Section("", (_matrix(base),), "whole")


def _open_notices(
    rehearsed: Mapping[str, Sequence[Failure]], state: bool | None
) -> Iterator[Notice]:
    """The failures of a state, the gravest first; of a further mode those that are better in the first."""
    first, *others = rehearsed
    was = {(one.failure, one.motor): one.covered for one in rehearsed[first]}
    told = [(first, group) for group in _groups_of(rehearsed[first], state)]
    for mode in others:
        worse = [
            one
            for one in rehearsed[mode]
            if was.get((one.failure, one.motor), True) not in (state, False)
        ]
        told += [(mode, group) for group in _groups_of(worse, state)]
    rank = list(CLASS_TONES)
    for mode, group in sorted(told, key=lambda one: rank.index(one[1].severity)):
        notice = group_notice(group)
        if mode != first:
            notice = notice._replace(rows=(*notice.rows, row("modes", f"only in mode {mode}")))
        yield notice


def _groups_of(failures: Iterable[Failure], state: bool | None) -> list[FailureGroup]:
    return failure_groups(one for one in failures if one.covered is state)


def _caught_rows(groups: Sequence[FailureGroup]) -> Iterator[Row]:
    """A row a group: within what time, which failures, what catches them, and what they would do."""
    says = failure_classes().severities
    for severity, tone in CLASS_TONES.items():
        of_class = [one for one in groups if one.severity == severity]
        if of_class and severity != LEAST_CLASS:
            yield row(severity, says[severity], tone=tone)
            yield from map(_caught_row, of_class)
        elif of_class:
            named = (f"{failure_titles(one)}: {one.first.caught}" for one in of_class)
            yield row(severity, "; ".join(named), tone=tone)


def _caught_row(group: FailureGroup) -> Row:
    """Failures with their first number, what catches them, and what may injure otherwise."""
    names = names_and_numbers(group, brief=True)
    caught = Toned(group.first.caught, "good")
    return row(group.within, (f"{names}: ", caught, consequence_words(group)))


def _mode_row(mode: str, failures: Sequence[Failure], base: Sequence[Failure]) -> Row:
    """What is worse in a mode than in the base settings, in numbers."""
    worse = worse_numbers(failures, base)
    return row(f"in {mode}", f"worse: {worse}" if worse else "no number is worse")


def _asks(failures: Sequence[Failure]) -> Iterator[Row]:
    """Each entry that is missing, once, with how many failures it would settle."""
    settles: dict[tuple[str, ...], list[str]] = {}
    assumed: dict[str, None] = {}
    for one in failures:
        if one.missing:
            settles.setdefault(one.missing, []).append(one.failure)
        if one.assumed:
            assumed[one.assumed] = None
    for missing, names in sorted(settles.items(), key=lambda item: -len(set(item[1]))):
        asks = "; ".join(map(ask_of, missing))
        count = so_many(len(set(names)), "failure")
        yield row("enter", f"{asks[0].upper()}{asks[1:]}: settles {count}.", role="act")
    for words in assumed:
        yield row("assumed", f"{words}, none being entered: the same with all of these")


def _matrix(failures: Sequence[Failure]) -> Table:
    """How many failures of each class of severity show in which way."""
    classes = failure_classes()
    shows = [one for one in classes.detections if any(each.detection == one for each in failures)]
    rows = tuple(
        ((severity,), *((_count(failures, severity, one),) for one in shows))
        for severity in classes.severities
    )
    right = tuple(range(1, len(shows)))
    return Table(("severity", *shows), rows, labels=False, right=right, headed=True)


def _count(failures: Sequence[Failure], severity: str, detection: str) -> str:
    count = sum(one.severity == severity and one.detection == detection for one in failures)
    return str(count) if count else "–"


def hand_over_failures(rehearsed: Mapping[str, Sequence[Failure]]) -> Iterator[Section]:
    """What catches a failure, for the record: what is open first; modes apart."""
    for section in rehearsal_sections(rehearsed) if rehearsed.get(BASE) else ():
        yield section._replace(title=f"{OF_RECORD}: {section.title or IN_NUMBERS}")
