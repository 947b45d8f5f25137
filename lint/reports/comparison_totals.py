"""What a comparison came to: each vehicle's share of the report, and what could not be read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ..comparison.comparison import Comparison
from ..comparison.finding_change import WAYS, Matter, Way
from ..judgement.finding import Judgement, Verdict
from ..judgement.rule import SEVERITIES, Severity
from .check_totals import VERDICT_WORDS, Share, Unread, counted, scope, share

MOST_MARGINS = 12  # told one by one; the others have more room

WAY_WORDS: Mapping[Way, str] = {
    "introduced": "introduced",
    "worsened": "made worse",
    "resolved": "resolved",
    "standing": "standing",
}


@dataclass(frozen=True, slots=True)
class Revised:
    """One vehicle's share of a comparison; plain data, so that another process can hand it over.

    `old` and `new` are None where a side is not there; `unread` says why the old side could not be
    read. `found` counts findings by way and severity, waived ones left out.
    """

    old: Share | None
    new: Share | None
    found: Mapping[Way, Mapping[Severity, int]]
    changed: int
    empty: bool
    harms: bool
    hides: bool
    unread: str
    body: Any

    @property
    def side(self) -> Share:
        """The new side, or the old one of a vehicle that is gone."""
        side = self.new or self.old
        assert side is not None
        return side


@dataclass(frozen=True, slots=True)
class Compared:
    """Everything that a report of a comparison says.

    `since` is the revision of a whole tree's comparison, None for two sides; `unchanged` counts
    the profiles that were looked at and left out.
    """

    judged_on: str
    tool: str
    catalogue: str
    since: str | None
    threshold: float
    revised: tuple[Revised, ...]
    unchanged: int
    unread: tuple[Unread, ...]


def revised(comparison: Comparison, body: Any, unread: str = "") -> Revised:
    """A comparison cut down to what the report keeps of it."""
    return Revised(
        old=_share(comparison.old),
        new=_share(comparison.new),
        found={way: severities(comparison.of_way(way)) for way in WAYS},
        changed=len(comparison.made),
        empty=comparison.is_empty,
        harms=comparison.harms,
        hides=comparison.hides,
        unread=unread,
        body=body,
    )


def _share(judgement: Judgement | None) -> Share | None:
    return None if judgement is None else share(judgement, _nothing)


def _nothing(judgement: Judgement) -> None:
    """A side has no body of its own: the comparison has one for both."""


def severities(matters: tuple[Matter, ...]) -> dict[Severity, int]:
    """Findings by severity, waived ones left out."""
    found = Counter(one.finding.severity for one in matters if one.finding.waived is None)
    return {severity: found[severity] for severity in SEVERITIES if found[severity]}


def passage(one: Revised) -> str:
    """The verdict of each side: `GO → NO-GO`, `NEW, GO`, `GONE, was GO`."""
    if one.new is None:
        assert one.old is not None
        return f"GONE, was {VERDICT_WORDS[one.old.verdict]}"
    new = VERDICT_WORDS[one.new.verdict]
    if one.old is None:
        return new if one.unread else f"NEW, {new}"
    return f"{VERDICT_WORDS[one.old.verdict]} → {new}"


def final(one: Revised) -> Verdict:
    """The verdict that decides the colour."""
    return one.side.verdict


def news(one: Revised) -> str:
    """What a person asks first: what came, what went, how much was changed."""
    said = [
        f"{counted(one.found[way])} {WAY_WORDS[way]}"
        for way in WAYS
        if way != "standing" and one.found[way]
    ]
    if one.empty:
        said.append("no value changed")
    elif one.changed:
        said.append(f"{one.changed} value{'' if one.changed == 1 else 's'} changed")
    if one.hides:
        said.append("a gate is not judged any more")
    if one.unread:
        said.append("the old side could not be read")
    return " · ".join(said)


def scope_words(one: Share) -> str:
    """A side's verdict with what it rests on."""
    return f"{VERDICT_WORDS[one.verdict]} · {scope([one])}"


def summed_up(compared: Compared) -> str:
    """The comparison of a whole tree in one line."""
    count = len(compared.revised)
    said = [f"{count} profile{'' if count == 1 else 's'} changed since {compared.since}"]
    harmed = sum(one.harms for one in compared.revised)
    hidden = sum(one.hides for one in compared.revised)
    said.append(
        f"{harmed} with a danger or fault brought in or made worse" if harmed
        else "no danger or fault brought in or made worse"
    )  # fmt: skip
    if hidden:
        said.append(f"{hidden} with a gate that is not judged any more")
    if compared.unread:
        files = len({error.file for error in compared.unread})
        said.append(f"{files} file{'' if files == 1 else 's'} NOT READ")
    said.append(f"{compared.unchanged} unchanged")
    return " · ".join(said)
