"""The rehearsal as plain data and as a page: what each failure does, and what catches it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any

from ..documents.given import Value
from ..documents.profile import BASE
from ..documents.text import so_many
from ..expressions.formatting import shown
from ..judgement.finding import Judgement
from ..judgement.verdict import ask_of
from ..quantities.number import is_number
from ..quantities.operand import NO_LESS, NO_MORE
from ..rehearsal.failure_file import Class, failure_classes
from ..rehearsal.rehearse import Failure, FailureEffect
from .check_totals import TONES, VERDICT_WORDS
from .record import exact
from .ride_verdict import gravest_record, verdict_rows
from .section import Card, Line, Notice, Report, Row, Section, Table, Tone, Toned, row

REHEARSAL_EDITION = "rehearsal/1"
CLASS_TONES: Mapping[Class, Tone] = {
    "catastrophic": "danger",
    "critical": "fault",
    "marginal": "advice",
}
SIDES = {NO_MORE: "at most ", NO_LESS: "at least "}
THOUSAND_ms = 1000.0
REHEARSED = (
    "One failure at a time, everything else sound. Worked out, not tried: what is to act has to be "
    "tried on the stand. Severity in classes in the manner of IEC 60812, by what happens if nothing "
    "catches it; severity and detection stand side by side and are not multiplied."
)


def record(rehearsed: Mapping[str, Sequence[Failure]], judgement: Judgement) -> dict[str, Any]:
    """The failures of each mode as plain data, with the profile's verdict."""
    return {
        "gonogo": REHEARSAL_EDITION,
        "file": judgement.profile.file,
        "name": judgement.profile.name,
        "verdict": judgement.stages["ride"],
        "gravest": gravest_record(judgement),
        "failures": [
            failure_record(failure) for failures in rehearsed.values() for failure in failures
        ],
    }


def failure_record(failure: Failure) -> dict[str, Any]:
    """One failure: what it does, what catches it within what time, how grave it is."""
    return {
        "failure": failure.failure,
        "title": failure.title,
        "mode": failure.mode or None,
        "motor": failure.motor or None,
        "happens": failure.happens,
        "effect": [_effect_record(one) for one in failure.effect],
        "caught_by": failure.caught_by,
        "caught": failure.caught or None,
        "within_ms": _rounded(failure.within_ms),
        "basis": failure.basis or None,
        "assumed": failure.assumed or None,
        "severity": failure.severity,
        "grounds": failure.grounds,
        "detection": failure.detection,
        "covered": failure.covered,
        "missing": list(failure.missing),
        "do": None if failure.covered else next_step(failure),
        "source": failure.source,
    }


def _effect_record(effect: FailureEffect) -> dict[str, Any]:
    return {
        "quantity": effect.quantity,
        "title": effect.title,
        "value": _rounded(effect.value),
        "unit": effect.unit,
        "after_ms": _rounded(effect.after_ms),
        "side": effect.side,
        "missing": list(effect.missing),
        "why": effect.reason or None,
    }


def _rounded(value: Value | None) -> Any:
    """A number as far as it says anything: six digits."""
    return exact(float(f"{value:.6g}")) if is_number(value) else exact(value)


def next_step(failure: Failure) -> str:
    """What to do about a failure that nothing is known to catch."""
    if failure.covered is False or not failure.missing:
        return failure.do
    asks = "; ".join(map(ask_of, failure.missing))
    return f"{asks[0].upper()}{asks[1:]}."


def rehearsal_page(
    rehearsed: Mapping[str, Sequence[Failure]], judgement: Judgement, tool: str = ""
) -> Report:
    """A card a mode: what nothing catches first, then what nobody knows, then what is caught."""
    profile, verdict = judgement.profile, judgement.stages["ride"]
    cards = tuple(
        Card(
            verdict=VERDICT_WORDS[verdict],
            tone=TONES[verdict],
            name=profile.name,
            passage="REHEARSAL · ",
            about=(
                (f"{profile.file}{f', mode {mode}' if mode else ''}",),
                (failures_in_short(failures),),
            ),
            sections=(
                Section("", tuple(verdict_rows(judgement, profile.file))),
                *rehearsal_sections(failures, rehearsed.get(BASE, ()) if mode else ()),
                *_grounds(mode == list(rehearsed)[-1]),
            ),
        )
        for mode, failures in rehearsed.items()
    )
    return Report("gonogo rehearse", cards, tool=tool)


def _grounds(last: bool) -> Iterator[Section]:
    """What the page rests on, once."""
    if last:
        yield Section("", (row("grounds", REHEARSED),))


def failures_in_short(failures: Sequence[Failure]) -> str:
    """How many of the failures are caught: `27 failures: 2 uncovered, 3 not known, 22 caught`."""
    amounts = [sum(one.covered is state for one in failures) for state in (False, None, True)]
    words = (f"{count} {word}" for count, word in zip(amounts, STATES, strict=True) if count)
    return f"{so_many(len(failures), 'failure')}: {', '.join(words)}"


STATES = ("uncovered", "not known", "caught")
MATRIX = "How grave, and how it shows"


def rehearsal_sections(
    failures: Sequence[Failure], base: Sequence[Failure] = ()
) -> Iterator[Section]:
    """The failures of one mode by what catches them, then the matrix of their classes.

    Of a mode beside the base settings only what is not as in the `base` is told.
    """
    told = [one for one in failures if not _is_as_before(one, base)]
    uncovered = [one for one in told if one.covered is False]
    unknown = [one for one in told if one.covered is None]
    caught = [one for one in told if one.covered]
    if uncovered:
        yield Section("Nothing catches", tuple(map(failure_notice, uncovered)))
    if unknown:
        yield Section("Not known what catches", tuple(map(failure_notice, unknown)))
    if caught:
        yield Section("Caught", (_caught_table(caught),))
    if base:
        same = so_many(len(failures) - len(told), "failure")
        yield Section("", (row("others", f"{same} as in the base settings"),))
    elif failures:
        yield Section(MATRIX, (_matrix(failures), *_classes(failures)), "whole")


def _is_as_before(failure: Failure, base: Sequence[Failure]) -> bool:
    """Whether a failure of a mode ends as in the base settings, with the same numbers."""
    return any(_settled(one) == _settled(failure) for one in base)


def _settled(failure: Failure) -> tuple[object, ...]:
    """What tells how a failure ends, and what it comes to in numbers."""
    caught = failure.covered, failure.caught_by, failure.missing, time_words(failure.within_ms)
    does = tuple(map(str, effect_lines(failure)))
    return failure.failure, failure.motor, failure.severity, *caught, does


def failure_notice(failure: Failure, brief: bool = False) -> Notice:
    """A failure that nothing is known to catch: what to do, what it does, how grave it is.

    Of one that is not known, also what to do should nothing catch it. A `brief` one says in numbers only what it does.
    """
    does = effect_lines(failure)
    rows = [
        row("do", next_step(failure), tone="bold", role="act"),
        row("else", failure.do if failure.missing and not brief else ""),
        row("does", *(does if brief else ((failure.happens,), *does))),
    ]
    if not brief:
        rows.append(row("grave", failure.grounds, role="aside"))
    title = f"{failure.title[0].upper()}{failure.title[1:]}"
    whole = f"{title}, motor {failure.motor}" if failure.motor else title
    told = (one for one in rows if one.lines)
    return Notice(failure.severity, (f"{whole}.",), tuple(told), CLASS_TONES[failure.severity])


def effect_lines(failure: Failure) -> list[Line]:
    """What a failure comes to in numbers, a line each; what is not known is left out."""
    return [(effect_words(one),) for one in failure.effect if one.value is not None]


def effect_words(effect: FailureEffect) -> str:
    """A quantity with its value and the time after which it is there.

    >>> effect_words(FailureEffect("controller.max_V", "bus voltage", 100.0, "V", 1.6))
    'bus voltage 100 V after 1.6 ms'
    """
    side = SIDES.get(effect.side, "")
    value = effect.value
    number = shown(float(f"{value:.3g}") if is_number(value) else value, effect.unit)
    return f"{effect.title} {side}{number}{time_words(effect.after_ms, ' after ')}"


def time_words(time_ms: float | None, before: str = "") -> str:
    """A time as people say it; empty where there is none.

    >>> time_words(0.2934), time_words(1500.0), time_words(0.0), time_words(None)
    ('0.29 ms', '1.5 s', '', '')
    """
    if not time_ms:
        return ""
    if time_ms >= THOUSAND_ms:
        return f"{before}{shown(float(f'{time_ms / THOUSAND_ms:.2g}'), 's')}"
    return f"{before}{shown(float(f'{time_ms:.2g}'), 'ms')}"


def _caught_table(failures: Sequence[Failure]) -> Table:
    """A group a class, a row a failure; what catches it, and what it does, stands below each."""
    rows: list[tuple[Line, ...]] = []
    below: list[Line] = []
    for severity, group in groupby(failures, lambda one: one.severity):
        rows.append(((Toned(severity, CLASS_TONES[severity]),), (), ()))
        below.append(())
        for one in group:
            motor = f", {one.motor}" if one.motor else ""
            rows.append(((f"{one.title}{motor}",), (time_words(one.within_ms),), (one.caught,)))
            does = ", ".join(words for line in effect_lines(one) for words in map(str, line))
            otherwise = "" if one.detection == "withstood" else "otherwise "
            below.append((f"{otherwise}{does}" if does else "",))
    heads = ("failure", "within", "caught by")
    return Table(heads, tuple(rows), labels=False, below=tuple(below), headed=True)


def _matrix(failures: Sequence[Failure]) -> Table:
    """How many failures of each class of severity show in which way."""
    classes = failure_classes()
    shows = [one for one in classes.detections if any(each.detection == one for each in failures)]
    rows = tuple(
        (
            (severity,),
            *(
                (str(count) if (count := _count(failures, severity, one)) else "–",)
                for one in shows
            ),
        )
        for severity in classes.severities
    )
    right = tuple(range(1, len(shows)))
    return Table(("severity", *shows), rows, labels=False, right=right, headed=True)


def _count(failures: Sequence[Failure], severity: str, detection: str) -> int:
    return sum(one.severity == severity and one.detection == detection for one in failures)


def _classes(failures: Sequence[Failure]) -> Iterator[Row]:
    """What each class means, where the vehicle has a failure of it."""
    classes = failure_classes()
    for severity, says in classes.severities.items():
        if any(one.severity == severity for one in failures):
            yield row("", (f"{severity}: {says}",), role="aside")
    for detection, says in classes.detections.items():
        if any(one.detection == detection for one in failures):
            yield row("", (f"{detection}: {says}",), role="aside")


def hand_over_failures(rehearsed: Mapping[str, Sequence[Failure]]) -> Iterator[Section]:
    """What catches a failure, for the record: what is open first, the others in a table; modes apart."""
    for mode, failures in rehearsed.items():
        base = rehearsed.get(BASE, ()) if mode else ()
        if mode and all(_is_as_before(one, base) for one in failures):
            continue
        for section in rehearsal_sections(failures, base):
            title = f"{OF_RECORD}{f', mode {mode}' if mode else ''}: {section.title}"
            yield section._replace(title=title.removesuffix(": "))


OF_RECORD = "What catches a failure"
