"""What one check came to: each profile's share of the report, its headline, and the totals."""

from __future__ import annotations

import posixpath
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from ..documents.identity import Identity, identity_in
from ..documents.text import so_many
from ..judgement.finding import Judgement, Verdict
from ..judgement.rule import SEVERITIES, Severity, Stage
from ..judgement.verdict import ask_of, fitness, open_gates, reached, short_of
from .finding_words import missing_words
from .section import Tone
from .surroundings import Other, houses_in_words, others_in_words

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
    rules = so_many(checked, "rule")
    words = f"{rules} checked, {not_checked} not checked, {out_of_scope} out of scope"
    return words + (f", {waived} waived" if waived else "")


def coverage(share: Share) -> str:
    """How much the verdict rests on: `140 of 146 rules`, and `held 12 of 30` once read back."""
    rules = f"{share.checked} of {so_many(share.checked + share.not_checked, 'rule')}"
    return rules if share.held is None else f"{rules} · held {share.held[0]} of {share.held[1]}"


def coverage_share(share: Share) -> str:
    """The same for a column: `140/146`."""
    return f"{share.checked}/{share.checked + share.not_checked}"


def verdict_note(share: Share) -> str:
    """What of a GO is only waived: `1 danger until 2027-06-30`; empty where nothing is."""
    if share.verdict == "go-with-waivers":
        return f"{counted(_dangers(share))} until {share.waived_until}"
    return f"{counted(share.waived_by)} waived" if share.verdict == "go" and share.waived else ""


def verdict_words(share: Share) -> str:
    """The verdict with its note: `GO WITH WAIVERS (1 danger until 2027-06-30)`."""
    note = verdict_note(share)
    return VERDICT_WORDS[share.verdict] + (f" ({note})" if note else "")


def _dangers(share: Share) -> dict[Severity, int]:
    return {"danger": share.waived_by.get("danger", 0)}


def waived_danger(share: Share) -> str:
    """That a danger is only waived, and until when; empty where none is, or the verdict says so."""
    if not share.waived_until or share.verdict == "go-with-waivers":
        return ""
    return f"{counted(_dangers(share))} waived until {share.waived_until}"


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
        parts.append(f"{so_many(len(checked.shares) + waiting, 'profile')}: {', '.join(counts)}")
    if others:
        parts.append(f"{so_many(others, 'other file' if counts else 'file')} {UNREAD}")
    if checked.shares:
        parts += [scope(checked.shares), houses_in_words(checked.shares)]
    if checked.others:
        parts.append(others_in_words(checked.others))
    return " · ".join(parts)


WORST_FIRST: tuple[Verdict, ...] = ("no-go", "incomplete", "go-with-waivers", "go")
VERDICT_WORDS: dict[Verdict, str] = {
    "go": "GO",
    "go-with-waivers": "GO WITH WAIVERS",
    "no-go": "NO-GO",
    "incomplete": "INCOMPLETE",
}
TONES: dict[Verdict, Tone] = {
    "go": "go",
    "go-with-waivers": "incomplete",
    "no-go": "no-go",
    "incomplete": "incomplete",
}


class Share(NamedTuple):
    """One profile's share of a report: its verdict with its scope, and the body its format gave.

    `stages` has the verdict of each stage, `fitness` what they come to in words. `checked`,
    `not_checked` and `out_of_scope` count rules. `found` counts the findings that no waiver covers,
    `waived_by` those that one does; `waived_until` is the first day on which a waived danger comes
    back; `worst` says in few words what decided the verdict. Plain data throughout, so that
    another process can hand it over. `house` is the house file that held, "" for none, and
    `house_rules` how many of the shop's own rules did. `held` counts the settings that the controller was
    seen to hold, and all to enter; None where nothing was read back. `identity` is the vehicle's id.
    `seconds` is how long this run took over the profile, however it came by the verdict.
    """

    file: str
    name: str
    stage: Stage
    stages: dict[Stage, Verdict]
    fitness: str
    checked: int
    not_checked: int
    out_of_scope: int
    found: dict[Severity, int]
    waived_by: dict[Severity, int]
    waived_until: str | None
    worst: str
    body: Any
    house: str = ""
    house_rules: int = 0
    held: tuple[int, int] | None = None
    identity: Identity | None = None
    seconds: float = 0.0

    @property
    def verdict(self) -> Verdict:
        """The verdict of the stage asked for."""
        return self.stages[self.stage]

    @property
    def waived(self) -> int:
        """How many findings a waiver covers."""
        return sum(self.waived_by.values())


class Unread(NamedTuple):
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


class Checked(NamedTuple):
    """Everything that a report says, in the order of the files."""

    judged_on: str
    tool: str
    catalogue: str
    shares: tuple[Share, ...]
    unread: tuple[Unread, ...]
    others: tuple[Other, ...] = ()

    @property
    def verdict(self) -> Verdict | None:
        """The worst verdict of all profiles; None where nothing could be read, or not all is GO."""
        verdicts = {share.verdict for share in self.shares}
        worst = next((verdict for verdict in WORST_FIRST if verdict in verdicts), None)
        return None if self.unread and worst in ("go", "go-with-waivers") else worst

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
    standing = Counter(finding.severity for finding in judgement.findings if not finding.waived)
    waived = Counter(finding.severity for finding in judgement.findings if finding.waived)
    until = [
        finding.waived.until
        for finding in judgement.findings
        if finding.waived and finding.severity == "danger"
    ]
    return Share(
        file=judgement.profile.file,
        name=judgement.profile.name,
        stage=judgement.stage,
        stages=dict(judgement.stages),
        fitness=fitness(judgement),
        checked=judgement.checked,
        not_checked=len(_unchecked(judgement)),
        out_of_scope=judgement.out_of_scope,
        found={severity: standing[severity] for severity in SEVERITIES if standing[severity]},
        waived_by={severity: waived[severity] for severity in SEVERITIES if waived[severity]},
        waived_until=min(until, default=None),
        worst=_worst(judgement),
        body=body,
        house=judgement.profile.house.file,
        house_rules=judgement.house_rules,
        held=judgement.held,
        identity=identity_in(judgement.profile),
    )


def _unchecked(judgement: Judgement) -> set[str]:
    """The rules that count for the stage asked for and are not checked."""
    return {
        entry.rule.id
        for entry in judgement.not_checked
        if reached(entry.rule.stage, judgement.stage)
    }


def _worst(judgement: Judgement) -> str:
    """The finding, or what has to be done first, that decided the verdict, in a few words."""
    if judgement.verdict == "incomplete":
        gates = open_gates(judgement.not_checked, judgement.stage)
        asked = short_of(judgement.not_checked, judgement.stage)
        if asked:
            return ask_of(asked[0])
        return f"{gates[0].rule.id}: {missing_words(gates[0])}"
    if judgement.verdict == "go" or not judgement.findings:
        return ""
    worst = judgement.findings[0]
    return f"{worst.rule.id}, line {worst.place.line}"
