"""What a change makes of single failures, in words and as plain data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from ..documents.text import so_many
from ..expressions.formatting import listed
from .comparison_words import change_movement, short_key
from .finding_words import modes_in_words
from .section import Notice, Row, Section, row

if TYPE_CHECKING:
    from ..comparison.failure_causes import FailureCause
    from ..comparison.failure_change import FailureChange, FailureWay
    from ..rehearsal.rehearse import Failure

FAILURE_TITLES: Mapping[FailureWay, str] = {
    "uncovered": "Failures that nothing catches any more",
    "not known": "Failures of which it is no longer known what catches them",
    "covered": "Failures that are caught, or cannot happen, now",
}


def failure_sections(changes: Sequence[FailureChange]) -> Iterator[Section]:
    """The failures by what a change made of them: first its causes, a line each, then what they uncover.

    What is covered now stands in a line each.
    """
    for way, title in FAILURE_TITLES.items():
        told = [one for one in changes if one.way == way]
        if told and way == "covered":
            yield Section(title, tuple(map(_covered, told)))
        elif told:
            causes = _by_cause(told)
            lines = tuple(_cause_rows(causes))
            if lines:
                yield Section(title, lines)
            several = len(causes) > 1
            notices = tuple(one for of_cause in causes for one in _opened(of_cause, several))
            yield Section("" if lines else title, notices, "list")


def _covered(change: FailureChange) -> Row:
    """What catches a failure now, in a line."""
    new = change.new
    by = f"caught by {new.caught}" if new is not None else "not possible on the vehicle now"
    return row("covered", f"{_title(change)}: {by}")


def _by_cause(changes: Sequence[FailureChange]) -> list[list[FailureChange]]:
    causes: dict[tuple[object, ...], list[FailureChange]] = {}
    for one in changes:
        causes.setdefault(one.cause.key, []).append(one)
    return list(causes.values())


def _cause_rows(causes: Sequence[Sequence[FailureChange]]) -> Iterator[Row]:
    for of_cause in causes:
        cause = of_cause[0].cause
        if cause.changes:
            count = so_many(len(of_cause), "failure")
            yield row("cause", f"{cause_words(cause)}: {count}", tone="bold")


def cause_words(cause: FailureCause) -> str:
    """The changed entries: `max_rpm 4000 → 6400 rpm or field_weakening_A_rms 0 → 60 A rms`."""
    moved = [f"{short_key(one.entered_as)} {change_movement(one)}".strip() for one in cause.changes]
    names = listed(moved, "and" if cause.together else "or")
    return f"{names}{' together' if cause.together else ''}"


def _opened(changes: Sequence[FailureChange], several: bool) -> Iterator[Notice]:
    """Failures of one cause: what they do now, what to do, what caught them; of `several` also the cause."""
    from .failure_groups import failure_groups, group_notice  # late: most changes uncover nothing

    cause = changes[0].cause
    by_modes: dict[tuple[str, ...], list[FailureChange]] = {}
    for one in changes:
        by_modes.setdefault(one.modes, []).append(one)
    for modes, of_modes in by_modes.items():
        old = {id(one.failure): one.old for one in of_modes}
        for group in failure_groups(one.failure for one in of_modes):
            notice = group_notice(group, brief=True)
            before = dict.fromkeys(_before(old[id(one)]) for one in group.failures)
            rows = [*notice.rows, row("before", "; ".join(before))]
            if several and cause.changes:
                rows.append(row("cause", cause_words(cause)))
            if modes:
                rows.append(row("modes", modes_in_words(modes, False)))
            yield notice._replace(rows=tuple(rows))


def _before(old: Failure | None) -> str:
    """What caught a failure before the change."""
    if old is None:
        return "not possible on the vehicle"
    return f"caught by {old.caught}" if old.covered else "not known what caught it"


def _title(change: FailureChange) -> str:
    failure = change.failure
    motor = f", motor {failure.motor}" if failure.motor else ""
    modes = f", {modes_in_words(change.modes, False)}" if change.modes else ""
    return f"{failure.title}{motor}{modes}"


def failures_record(changes: Sequence[FailureChange]) -> dict[str, Any]:
    """The failures that a change uncovers, leaves unknown or covers; nothing where it does neither."""
    if not changes:
        return {}
    return {"failures": list(map(_change_record, changes))}


def _change_record(change: FailureChange) -> dict[str, Any]:
    failure = change.failure
    return {
        "failure": failure.failure,
        "title": failure.title,
        "motor": failure.motor or None,
        "modes": list(change.modes),
        "severity": failure.severity,
        "way": change.way,
        "harms": change.harms,
        "causes": [one.entered_as for one in change.cause.changes],
        "together": change.cause.together,
        "old": _side(change.old),
        "new": _side(change.new),
    }


def _side(failure: Failure | None) -> dict[str, Any] | None:
    if failure is None:
        return None
    return {
        "covered": failure.covered,
        "caught_by": failure.caught_by,
        "missing": list(failure.missing),
    }
