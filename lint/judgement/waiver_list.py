"""The waivers of a vehicle: what each accepts, of what was found, and until when."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal, NamedTuple

from ..documents.day import days_between
from ..documents.profile import Waiver
from ..expressions.formatting import shown
from .finding import Finding, Judgement
from .waivers import LONGEST_DAYS, accepts_too_much, names_finding, worse_than_accepted

WaiverState = Literal[
    "covers",
    "covers nothing",
    "too small",
    "too large",
    "too long",
    "without a size",
    "not waivable",
    "over",
]


class ListedWaiver(NamedTuple):
    """One waiver with its state; `size` and `found` are in words with their unit, "" without one."""

    waiver: Waiver
    state: WaiverState
    size: str
    found: str
    left_days: int


def listed_waivers(judgement: Judgement) -> tuple[ListedWaiver, ...]:
    """Every waiver of a vehicle, the first to run out first."""
    told = [_listed(waiver, judgement) for waiver in judgement.profile.waivers]
    return tuple(sorted(told, key=lambda one: (one.waiver.until, one.waiver.rule)))


def _listed(waiver: Waiver, judgement: Judgement) -> ListedWaiver:
    named = [one for one in judgement.findings if names_finding(waiver, one)]
    covered = [one for one in named if one.waived is not None and one.waived.rule == waiver.rule]
    left = days_between(judgement.judged_on, waiver.until)
    about = next(iter(covered or named), None)
    return ListedWaiver(
        waiver,
        "covers" if covered and left >= 0 else _why_not(waiver, named, left),
        "" if waiver.accepts is None else shown(waiver.accepts, about.unit if about else ""),
        _found(about),
        left,
    )


def _why_not(waiver: Waiver, named: Sequence[Finding], left_days: int) -> WaiverState:
    """Why a waiver covers nothing, although it names a finding; or that it names none."""
    if left_days < 0:
        return "over"
    if not named:
        return "covers nothing"
    if not any(one.waivable and one.rule.waivable for one in named):
        return "not waivable"
    if left_days > LONGEST_DAYS:
        return "too long"
    if any(accepts_too_much(one, waiver.accepts) for one in named):
        return "too large"
    if all(worse_than_accepted(one, waiver.accepts) for one in named):
        return "without a size" if waiver.accepts is None else "too small"
    return "covers nothing"


def _found(finding: Finding | None) -> str:
    return "" if finding is None or finding.value is None else shown(finding.value, finding.unit)


STATE_WORDS: Mapping[WaiverState, str] = {
    "covers": "in force",
    "covers nothing": "covers nothing",
    "too small": "too small",
    "too large": "too large",
    "too long": "too long",
    "without a size": "without a size",
    "not waivable": "cannot be waived",
    "over": "over",
}
