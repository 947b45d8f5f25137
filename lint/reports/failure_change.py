"""What a change makes of single failures, in words and as plain data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from .finding_words import modes_in_words
from .section import Notice, Row, Section, row

if TYPE_CHECKING:
    from ..comparison.failure_change import FailureChange, FailureWay
    from ..rehearsal.rehearse import Failure

FAILURE_TITLES: Mapping[FailureWay, str] = {
    "uncovered": "Failures that nothing catches any more",
    "not known": "Failures of which it is no longer known what catches them",
    "covered": "Failures that are caught, or cannot happen, now",
}


def failure_sections(changes: Sequence[FailureChange]) -> Iterator[Section]:
    """The failures by what a change made of them; what it covers in a line each."""
    for way, title in FAILURE_TITLES.items():
        told = [one for one in changes if one.way == way]
        if told and way == "covered":
            yield Section(title, tuple(map(_covered, told)))
        elif told:
            yield Section(title, tuple(map(_opened, told)))


def _covered(change: FailureChange) -> Row:
    """What catches a failure now, in a line."""
    new = change.new
    by = f"caught by {new.caught}" if new is not None else "not possible on the vehicle now"
    return row("covered", f"{_title(change)}: {by}")


def _opened(change: FailureChange) -> Notice:
    """A failure that something caught before: what it does now, and what to do."""
    from .failure_groups import FailureGroup, group_notice  # late: most changes uncover nothing

    notice = group_notice(FailureGroup((change.failure,)))
    rows = [*notice.rows, row("before", _before(change.old))]
    if change.modes:
        rows.append(row("modes", modes_in_words(change.modes, False)))
    return notice._replace(rows=tuple(rows))


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
