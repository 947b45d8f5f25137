"""What one check came to: each profile's share of the report, its headline, and the totals."""

from __future__ import annotations

import posixpath
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..documents.text import clean
from ..judgement.finding import Judgement, Verdict
from ..judgement.rule import SEVERITIES, Severity
from .layout import Page, Paint, painted, set_beside

NOT_READ = "NOT READ"
PLURALS: dict[Severity, str] = {"danger": "dangers", "fault": "faults", "caution": "cautions"}


def counted(found: Mapping[Severity, int]) -> str:
    """Findings in words, the worst first: `1 danger, 2 cautions`.

    >>> counted({"caution": 2, "danger": 1})
    '1 danger, 2 cautions'
    """
    return ", ".join(
        f"{found[one]} {one if found[one] == 1 else PLURALS[one]}"
        for one in SEVERITIES
        if found.get(one)
    )


def scope(shares: Sequence[Share]) -> str:
    """What the verdicts rest on: `71 rules judged, 9 not judged, 14 out of scope`."""
    judged, not_judged, out_of_scope, waived = (
        sum(share.judged for share in shares),
        sum(share.not_judged for share in shares),
        sum(share.out_of_scope for share in shares),
        sum(share.waived for share in shares),
    )
    said = f"{_amount(judged, 'rule')} judged, {not_judged} not judged, {out_of_scope} out of scope"
    return said + (f", {waived} waived" if waived else "")


def waived_danger(share: Share) -> str:
    """That a danger is only waived, and until when; empty where none is."""
    return f"a danger is waived until {share.waived_until}" if share.waived_until else ""


def closing(share: Share, page: Page) -> list[str]:
    """The last line of a tag: the verdict with its scope."""
    said = [scope([share]), waived_danger(share)]
    return _line(VERDICT_WORDS[share.verdict], said, page)


def one_line(share: Share, folder: str, page: Page, worst: str = "") -> list[str]:
    """A profile in one line, its file named from the folder that all have in common."""
    file = clean(posixpath.relpath(share.file, folder) if folder else share.file)
    short = scope([share]).replace(" rules judged", " judged").replace(" rule judged", " judged")
    said = [file, counted(share.found), waived_danger(share), worst, short]
    return _line(VERDICT_WORDS[share.verdict], said, page, 12 if page.quiet else 4)


def _line(word: str, said: Sequence[str], page: Page, indent: int = 0) -> list[str]:
    """A verdict word and what belongs to it; a part is not broken where it can be helped."""
    parts = [part.replace(" ", "\u00a0") for part in said if part]
    if not indent:
        text = "\u00a0· ".join([word, *parts])
        lines = set_beside("", text, page, 1)
    else:
        lines = set_beside(word, "\u00a0· ".join(parts), page, indent)
    return stamped(lines, word, page)


def stamped(lines: Sequence[str], word: str, page: Page) -> list[str]:
    """The lines with the verdict word in the first one in its colour."""
    paint: Paint = next((one for one, shown in VERDICT_WORDS.items() if shown == word), "no-go")
    return [lines[0].replace(word, painted(word, paint, page.colour), 1), *lines[1:]]


def folder_of(files: Sequence[str]) -> str:
    """The folder that all files have in common; empty where they have none."""
    folders = {posixpath.dirname(file) for file in files}
    if not folders or len({folder.startswith("/") for folder in folders}) > 1:
        return ""
    return posixpath.commonpath(list(folders))


def summed_up(checked: Checked) -> str:
    """How many profiles came to which verdict, and the scope of it all, in one line."""
    verdicts = Counter(share.verdict for share in checked.shares)
    said = [f"{verdicts[one]} {word}" for one, word in VERDICT_WORDS.items() if verdicts[one]]
    waiting, others = checked.unread_profiles, checked.unread_others
    if waiting:
        said.append(f"{waiting} {NOT_READ}")
    parts = []
    if said:
        parts.append(f"{_amount(len(checked.shares) + waiting, 'profile')}: {', '.join(said)}")
    if others:
        parts.append(f"{_amount(others, 'other file' if said else 'file')} {NOT_READ}")
    if checked.shares:
        parts.append(scope(checked.shares))
    return " · ".join(parts)


def _amount(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"


def tally(checked: Checked, page: Page) -> list[str]:
    """The last line of all."""
    parts = summed_up(checked).replace(" ", "\u00a0").replace("\u00a0·\u00a0", "\u00a0· ")
    return set_beside("", parts, page, 1)


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
