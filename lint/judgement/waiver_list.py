"""The waivers of a vehicle: what each accepts, of what was found, and until when."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, NamedTuple

from ..documents.day import days_between
from ..documents.profile import Waiver
from ..expressions.formatting import shown
from .finding import Finding, Judgement
from .waivers import names_finding

WaiverState = Literal["covers", "covers nothing", "over"]


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
        "over" if left < 0 else "covers" if covered else "covers nothing",
        "" if waiver.accepts is None else shown(waiver.accepts, about.unit if about else ""),
        _found(about),
        left,
    )


def _found(finding: Finding | None) -> str:
    return "" if finding is None or finding.value is None else shown(finding.value, finding.unit)


STATE_WORDS: Mapping[WaiverState, str] = {
    "covers": "in force",
    "covers nothing": "covers nothing",
    "over": "over",
}
