"""What one check came to: each profile's share of the report, and what could not be read."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from typing import Any

from ..documents.dataclass import dataclass
from ..judgement.finding import Judgement, Verdict
from ..judgement.rule import SEVERITIES, Severity

WORST_FIRST: tuple[Verdict, ...] = ("no-go", "incomplete", "go")
VERDICT_WORDS: dict[Verdict, str] = {"go": "GO", "no-go": "NO-GO", "incomplete": "INCOMPLETE"}


@dataclass(frozen=True, slots=True)
class Share:
    """One profile's share of a report: its verdict with its scope, and the body its format gave.

    `found` counts the findings that no waiver covers; `waived_until` is the first day on which a
    waived danger comes back. Plain data throughout, so that another process can hand it over.
    """

    file: str
    name: str
    verdict: Verdict
    judged: int
    not_judged: int
    out_of_scope: int
    waived: int
    found: dict[Severity, int]
    waived_until: str | None
    body: Any


@dataclass(frozen=True, slots=True)
class Unread:
    """A place in a document that cannot be judged, and the profiles that wait for it."""

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
        given = {share.verdict for share in self.shares}
        return next((verdict for verdict in WORST_FIRST if verdict in given), None)

    @property
    def unread_profiles(self) -> int:
        """How many profiles wait for an error to be put right before they can be judged."""
        return len(self._waiting())

    @property
    def unread_others(self) -> int:
        """How many other files hold an error: an own rule, a part that no profile takes."""
        waiting = self._waiting()
        return len({error.file for error in self.unread if waiting.isdisjoint(error.affects)})

    def _waiting(self) -> set[str]:
        judged = {share.file for share in self.shares}
        return {file for error in self.unread for file in error.affects} - judged


def share(judgement: Judgement, body: Callable[[Judgement], Any]) -> Share:
    """A judgement cut down to what the report keeps of it."""
    found = Counter(finding.severity for finding in judgement.findings if not finding.waived)
    until = [
        finding.waived.until
        for finding in judgement.findings
        if finding.waived and finding.severity == "danger"
    ]
    return Share(
        file=judgement.profile.file,
        name=judgement.profile.name,
        verdict=judgement.verdict,
        judged=judgement.judged,
        not_judged=len(judgement.not_judged),
        out_of_scope=judgement.out_of_scope,
        waived=judgement.waived,
        found={severity: found[severity] for severity in SEVERITIES if found[severity]},
        waived_until=min(until, default=None),
        body=body(judgement),
    )


def modes_in_words(modes: tuple[str, ...], everywhere: bool) -> str:
    """Where a finding holds: empty for the base settings alone.

    >>> modes_in_words(("trail", "street"), False)
    'in modes trail and street'
    """
    if everywhere:
        return "in all modes"
    if len(modes) < 2:
        return f"in mode {modes[0]}" if modes else ""
    return f"in modes {', '.join(modes[:-1])} and {modes[-1]}"
