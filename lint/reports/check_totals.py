"""What one check came to: each profile's share of the report, its headline, and the totals."""

from __future__ import annotations

import posixpath
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..judgement.finding import Judgement, Verdict
from ..judgement.rule import SEVERITIES, Severity
from .finding_words import missing_words

UNREAD = "NOT READ"
PLURALS: dict[Severity, str] = {"danger": "dangers", "fault": "faults", "advice": "advice"}


def counted(amounts: Mapping[Severity, int]) -> str:
    """Findings in words, the worst first: `1 danger, 2 advice`.

    >>> counted({"advice": 2, "danger": 1})
    '1 danger, 2 advice'
    """
    return ", ".join(
        f"{amounts[severity]} {severity if amounts[severity] == 1 else PLURALS[severity]}"
        for severity in SEVERITIES
        if amounts.get(severity)
    )


def scope(shares: Sequence[Share]) -> str:
    """What the verdicts rest on: `71 rules checked, 9 not checked, 14 out of scope`."""
    checked, not_checked, out_of_scope, waived = (
        sum(share.checked for share in shares),
        sum(share.not_checked for share in shares),
        sum(share.out_of_scope for share in shares),
        sum(share.waived for share in shares),
    )
    rules = _amount(checked, "rule")
    words = f"{rules} checked, {not_checked} not checked, {out_of_scope} out of scope"
    return words + (f", {waived} waived" if waived else "")


def coverage(share: Share) -> str:
    """How many of the rules that apply were checked: `71 of 80`."""
    return f"{share.checked} of {share.checked + share.not_checked}"


def waived_danger(share: Share) -> str:
    """That a danger is only waived, and until when; empty where none is."""
    return f"a danger is waived until {share.waived_until}" if share.waived_until else ""


def folder_of(files: Sequence[str]) -> str:
    """The folder that all files have in common; empty where they have none."""
    folders = {posixpath.dirname(file) for file in files}
    if not folders or len({folder.startswith("/") for folder in folders}) > 1:
        return ""
    return posixpath.commonpath(list(folders))


def summed_up(checked: Checked) -> str:
    """How many profiles came to which verdict, and the scope of it all, in one line."""
    verdicts = Counter(share.verdict for share in checked.shares)
    counts = [f"{verdicts[key]} {word}" for key, word in VERDICT_WORDS.items() if verdicts[key]]
    waiting, others = checked.unread_profiles, checked.unread_others
    if waiting:
        counts.append(f"{waiting} {UNREAD}")
    parts = []
    if counts:
        parts.append(f"{_amount(len(checked.shares) + waiting, 'profile')}: {', '.join(counts)}")
    if others:
        parts.append(f"{_amount(others, 'other file' if counts else 'file')} {UNREAD}")
    if checked.shares:
        parts.append(scope(checked.shares))
    return " · ".join(parts)


def _amount(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


WORST_FIRST: tuple[Verdict, ...] = ("no-go", "incomplete", "go")
VERDICT_WORDS: dict[Verdict, str] = {"go": "GO", "no-go": "NO-GO", "incomplete": "INCOMPLETE"}


@dataclass(frozen=True, slots=True)
class Share:
    """One profile's share of a report: its verdict with its scope, and the body its format gave.

    `found` counts the findings that no waiver covers; `waived_until` is the first day on which a
    waived danger comes back; `worst` says in few words what decided the verdict. Plain data
    throughout, so that another process can hand it over.
    """

    file: str
    name: str
    verdict: Verdict
    checked: int
    not_checked: int
    out_of_scope: int
    waived: int
    found: dict[Severity, int]
    waived_until: str | None
    worst: str
    body: Any


@dataclass(frozen=True, slots=True)
class Unread:
    """A place in a document that cannot be read, and the profiles that wait for it."""

    file: str
    line: int
    column: int
    found: str
    wanted: str
    message: str
    affects: tuple[str, ...]
    nearest: str | None = None
    text: str = ""


@dataclass(frozen=True, slots=True)
class Checked:
    """Everything that a report says, in the order of the files."""

    judged_on: str
    tool: str
    catalogue: str
    shares: tuple[Share, ...]
    unread: tuple[Unread, ...]

    @property
    def verdict(self) -> Verdict | None:
        """The worst verdict of all profiles; None where nothing could be read."""
        verdicts = {share.verdict for share in self.shares}
        return next((verdict for verdict in WORST_FIRST if verdict in verdicts), None)

    @property
    def unread_profiles(self) -> int:
        """How many profiles wait for an error to be put right before they can be checked."""
        return len(self._waiting())

    @property
    def unread_others(self) -> int:
        """How many other files hold an error: an own rule, a part that no profile takes."""
        waiting = self._waiting()
        return len({error.file for error in self.unread if waiting.isdisjoint(error.affects)})

    def _waiting(self) -> set[str]:
        checked = {share.file for share in self.shares}
        return {file for error in self.unread for file in error.affects} - checked


def share(judgement: Judgement, body: Any = None) -> Share:
    """A judgement cut down to what the report keeps of it; `body` is what its format made of it."""
    amounts = Counter(finding.severity for finding in judgement.findings if not finding.waived)
    until = [
        finding.waived.until
        for finding in judgement.findings
        if finding.waived and finding.severity == "danger"
    ]
    return Share(
        file=judgement.profile.file,
        name=judgement.profile.name,
        verdict=judgement.verdict,
        checked=judgement.checked,
        not_checked=len(judgement.not_checked),
        out_of_scope=judgement.out_of_scope,
        waived=judgement.waived,
        found={severity: amounts[severity] for severity in SEVERITIES if amounts[severity]},
        waived_until=min(until, default=None),
        worst=_worst(judgement),
        body=body,
    )


def _worst(judgement: Judgement) -> str:
    """The finding or the missing reading that decided the verdict, in a few words."""
    if judgement.verdict == "incomplete":
        gate = next((rule for rule in judgement.not_checked if rule.rule.gate), None)
        return f"required: {missing_words(gate)}" if gate else ""
    if judgement.verdict == "go" or not judgement.findings:
        return ""
    worst = judgement.findings[0]
    return f"{worst.rule.id}, line {worst.place.line}"
