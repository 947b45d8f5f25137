"""The waivers of a vehicle: what each accepts, of what was found, and until when."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal, NamedTuple

from ..documents.day import days_between
from ..documents.profile import Waiver
from ..expressions.formatting import shown
from ..quantities.book import IN_BASE
from .catalogue import Catalogue
from .evaluation import book_of
from .finding import Finding, Judgement
from .sentences import entered_in
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


def listed_waivers(judgement: Judgement, catalogue: Catalogue) -> tuple[ListedWaiver, ...]:
    """Every waiver of a vehicle, the first to run out first."""
    told = [_listed(waiver, judgement, catalogue) for waiver in judgement.profile.waivers]
    return tuple(sorted(told, key=lambda one: (one.waiver.until, one.waiver.rule)))


def size_unit(rule: str, motor: str | None, judgement: Judgement, catalogue: Catalogue) -> str:
    """The unit in which a waiver of a rule says its size: that of the key as entered.

    It is that of the finding; where nothing is found, of what the rule would judge. "" where there is none.
    """
    found = [one.unit for one in judgement.findings if one.rule.id == rule]
    if found:
        return found[0]
    known = catalogue.rules.get(rule)
    if known is None or known.of is None or known.subject != "profile":
        return ""
    profile = judgement.profile
    own = profile.motors.get(motor or "", next(iter(profile.motors.values()), profile))
    book = book_of(own, judgement.judged_on)
    return entered_in(known.of.removeprefix(IN_BASE), book).unit_of_numbers


def size_words(waiver: Waiver, judgement: Judgement, catalogue: Catalogue) -> str:
    """The size of a waiver with its unit; "" without a size."""
    if waiver.accepts is None:
        return ""
    return shown(waiver.accepts, size_unit(waiver.rule, waiver.motor, judgement, catalogue))


def _listed(waiver: Waiver, judgement: Judgement, catalogue: Catalogue) -> ListedWaiver:
    named = [one for one in judgement.findings if names_finding(waiver, one)]
    covered = [one for one in named if one.waived is not None and one.waived.rule == waiver.rule]
    left = days_between(judgement.judged_on, waiver.until)
    about = next(iter(covered or named), None)
    return ListedWaiver(
        waiver,
        "covers" if covered and left >= 0 else _why_not(waiver, named, left),
        size_words(waiver, judgement, catalogue),
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
