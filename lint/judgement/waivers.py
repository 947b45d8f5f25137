"""Waivers: which findings one covers, how much of them, and what is to be said of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from ..documents.day import days_between
from ..documents.given import Value
from ..documents.profile import Profile, Waiver
from ..documents.schema import allowances
from ..documents.text import nearest
from ..documents.units import FAHRENHEIT_K
from ..expressions.formatting import shown
from ..quantities.number import is_number, noise
from .catalogue import Catalogue
from .finding import Finding

# How far past its limit a finding can be accepted: half as much again of an upper limit, two thirds
# of a lower one, 10 K of a temperature. Further out it is another risk than the one that was looked at.
MOST_OVER = 0.5
LEAST_OF = 2 / 3
MOST_K = 10.0
MOST_APART = {"degC": MOST_K, "degF": MOST_K / FAHRENHEIT_K}
LONGEST_DAYS = 366  # a year, and a leap day; the rule about it says why


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
        and 0 <= days_between(judged_on, waiver.until) <= LONGEST_DAYS
        and len(waiver.reason.strip()) >= letters
    )


def _marked(finding: Finding, in_force: list[Waiver]) -> Finding:
    """The finding with the waiver that covers it; of one waiver a mode, the first to run out.

    A waiver without a mode covers all; those with a mode cover it once each of its modes has one.
    Of several that cover the same, the last to run out says until when.
    """
    fitting = [waiver for waiver in in_force if fits(waiver, finding)]
    fitting.sort(key=lambda waiver: waiver.until)
    whole = [waiver for waiver in fitting if waiver.mode is None]
    if whole:
        return replace(finding, waived=whole[-1])
    by_mode = {waiver.mode: waiver for waiver in fitting}
    if finding.modes and by_mode.keys() >= set(finding.modes):
        first = min((by_mode[mode] for mode in finding.modes), key=lambda waiver: waiver.until)
        return replace(finding, waived=first)
    return finding


def fits(waiver: Waiver, finding: Finding) -> bool:
    """Whether a waiver, were it in force, covers a finding or the part of it in its mode."""
    return (
        names_finding(waiver, finding)
        and finding.waivable
        and not worse_than_accepted(finding, waiver.accepts)
        and not accepts_too_much(finding, waiver.accepts)
    )


def names_finding(waiver: Waiver, finding: Finding) -> bool:
    """Whether a waiver is meant for a finding, covered or not."""
    return (
        waiver.rule == finding.rule.id
        and waiver.mode in (None, *finding.modes)
        and waiver.motor in (None, *finding.motors)
    )


def last_day_of_waiver(waivers: Iterable[Waiver], finding: Finding, today: str) -> str:
    """The last day of the waivers that were meant for a finding and have all run out; "" of any other."""
    meant = [waiver.until for waiver in waivers if names_finding(waiver, finding)]
    last = max(meant, default="")
    return last if last < today and finding.waived is None else ""


def worse_than_accepted(finding: Finding, accepts: float | None) -> bool:
    """Whether the finding is further out than the waiver accepts.

    Without a bound there is no further out: any other value than the accepted one is worse. So is
    what is no number, where a number is accepted.
    """
    value = finding.value
    if accepts is None or not is_number(value):
        return accepts is not None or is_number(value)
    slack = noise(accepts, value)
    if finding.high is not None and value > finding.high - slack:
        return value > accepts + slack
    if finding.low is not None and value < finding.low + slack:
        return value < accepts - slack
    return abs(value - accepts) > slack


def most_accepted(finding: Finding) -> float | None:
    """How much of a finding can be accepted, in its unit; None where no number was judged.

    Of a limit of nought there is no half, so that only the value itself can be accepted.
    """
    value = finding.value
    if not is_number(value) or (finding.low, finding.high) == (None, None):
        return value if is_number(value) else None
    low, high = finding.low, finding.high
    upper = low is None or (high is not None and value >= high)
    limit = high if upper else low
    if not limit:
        return value
    if finding.unit in MOST_APART:
        return limit + (MOST_APART[finding.unit] if upper else -MOST_APART[finding.unit])
    return limit + (MOST_OVER if upper else LEAST_OF - 1.0) * abs(limit)


def accepts_too_much(finding: Finding, accepts: float | None) -> bool:
    """Whether a waiver accepts more of a finding than anybody can have looked at."""
    most = most_accepted(finding)
    if accepts is None or most is None:
        return False
    slack = noise(accepts, most)
    value = finding.value
    assert is_number(value)
    if most == value and (finding.high or finding.low) in (None, 0.0):
        return abs(accepts - most) > slack
    upper = finding.low is None or (finding.high is not None and value >= finding.high)
    return accepts > most + slack if upper else accepts < most - slack


def spare_percent(finding: Finding, accepts: float | None) -> float:
    """By how much a waiver accepts more than was found, in percent of all that could be accepted."""
    most, value = most_accepted(finding), finding.value
    limit = finding.low if finding.high is None else finding.high
    if accepts is None or most is None or limit is None or not is_number(value) or most == value:
        return 0.0
    upper = most > limit
    beyond = accepts - value if upper else value - accepts
    return max(100.0 * beyond / abs(most - limit), 0.0)


def facts_of(
    waiver: Waiver, catalogue: Catalogue, judged_on: str, findings: Sequence[Finding]
) -> dict[str, Value]:
    """What rules about waivers may ask of one."""
    rule = catalogue.rules.get(waiver.rule)
    named = [finding for finding in findings if names_finding(waiver, finding)]
    large = [finding for finding in named if accepts_too_much(finding, waiver.accepts)]
    facts: dict[str, Value] = {
        "waiver.rule": waiver.rule,
        "waiver.known": rule is not None,
        "waiver.waivable": rule is None
        or (rule.waivable and all(finding.waivable for finding in named)),
        "waiver.left_days": float(days_between(judged_on, waiver.until)),
        "waiver.reason_length": float(len(waiver.reason.strip())),
        "waiver.beyond_bound": bool(large),
        "waiver.covers": any(fits(waiver, finding) for finding in named),
        "waiver.coverage": _coverage(waiver, named),
        "waiver.nearest": _nearest(waiver.rule, catalogue.rules),
    }
    spare = max(
        (
            (spare_percent(finding, waiver.accepts), finding)
            for finding in named
            if fits(waiver, finding)
        ),
        key=lambda pair: pair[0],
        default=None,
    )
    if spare is not None:
        share, widest = spare
        facts["waiver.spare_percent"] = share
        facts["waiver.accepts"] = shown(waiver.accepts, widest.unit)
        facts["waiver.found"] = shown(widest.value, widest.unit)
    if large:
        unit = large[0].unit
        facts["waiver.accepts"] = shown(waiver.accepts, unit)
        facts["waiver.most"] = shown(most_accepted(large[0]), unit)
    return facts


def _coverage(waiver: Waiver, named: Sequence[Finding]) -> str:
    """What a waiver covers of the findings that it is meant for, after `The waiver of RULE`."""
    if any(fits(waiver, finding) for finding in named):
        return "covers a finding"
    worse = [one for one in named if worse_than_accepted(one, waiver.accepts)]
    if not worse:
        return "covers no finding"
    finding = worse[0]
    if not is_number(finding.value):
        return "covers no finding: it accepts a value, and what was found has none"
    found = shown(finding.value, finding.unit)
    if waiver.accepts is None:
        return f"accepts no value, but {found} was found"
    accepts = shown(waiver.accepts, finding.unit)
    return (
        f"accepts no more than {accepts}, but {found} was found"
        if _is_bound(finding)
        else (f"accepts {accepts}, but {found} was found")
    )


def _is_bound(finding: Finding) -> bool:
    """Whether what was found is beyond an upper limit."""
    value, high = finding.value, finding.high
    return is_number(value) and high is not None and value >= high


def _nearest(name: str, rules: Mapping[str, object]) -> str:
    """The rule that a name may stand for, in words."""
    meant = None if name in rules else nearest(name, rules)
    return f"; the nearest is {meant}" if meant else ""
