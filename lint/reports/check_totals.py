"""What one check came to: each profile's share of the report, its headline, and the totals."""

from __future__ import annotations

import posixpath
from collections import Counter
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from ..documents.text import so_many
from ..judgement.finding import Verdict
from ..judgement.rule import SEVERITIES, Severity
from .profile_share import Share
from .section import Tone
from .surroundings import Other, houses_in_words, others_in_words, tried_anywhere

UNREAD = "NOT READ"
GONE = "GONE"
LEFT_OUT_LABEL = "LEFT OUT"
AS_TRIED = "as tried"  # stands with a verdict that no file has
NOTHING_CHECKED = "No profile was checked, so there is no verdict"
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
    known = f"{known_counts([share])} · " if share.known is not None else ""
    held = "" if share.held is None else f" · held {share.held[0]} of {share.held[1]}"
    return f"{known}{rules}{held}"


def known_counts(shares: Sequence[Share]) -> str:
    """What a list of known findings comes to: `3 recorded, 1 new, 2 gone`."""
    words = _known_amounts(shares)
    always = ("recorded", "new")
    return ", ".join(f"{count} {word}" for word, count in words.items() if count or word in always)


def known_words(share: Share) -> str:
    """The same of one vehicle of many, without noughts; empty without a list or with nothing on it."""
    words = _known_amounts([share])
    return ", ".join(f"{count} {word}" for word, count in words.items() if count)


def _known_amounts(shares: Sequence[Share]) -> dict[str, int]:
    told = [share.known for share in shares if share.known is not None]
    return {
        "recorded": sum(one.recorded for one in told),
        "new": sum(one.new for one in told),
        "worse": sum(one.worse for one in told),
        "no longer checked": sum(len(one.unchecked) for one in told),
        "gone": sum(len(one.mended) + len(one.off) + len(one.waived) for one in told),
        "asks recorded": sum(one.waiting for one in told),
        "asks new": sum(one.waiting_new for one in told),
    }


def coverage_share(share: Share) -> str:
    """The same for a column: `140/146`."""
    return f"{share.checked}/{share.checked + share.not_checked}"


def verdict_note(share: Share) -> str:
    """What of a GO is only waived: `1 danger until 2027-06-30`; empty where nothing is.

    A verdict with values tried is none of the file's, and says so first.
    """
    note = f"{counted(share.waived_by)} waived" if share.verdict == "go" and share.waived else ""
    if share.verdict == "go-with-waivers":
        note = f"{counted(_dangers(share))} until {share.waived_until}"
    return "; ".join(words for words in (AS_TRIED if share.tried else "", note) if words)


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


def tally(checked: Checked) -> str:
    """How many profiles came to which verdict, the worst first: what could not be read."""
    verdicts = Counter(share.verdict for share in checked.shares)
    waiting, others = checked.unread_profiles, checked.unread_others
    counts = [f"{waiting} {UNREAD}"] if waiting else []
    counts += [f"{verdicts[key]} {VERDICT_WORDS[key]}" for key in WORST_FIRST if verdicts[key]]
    parts = [words] if (words := tried_anywhere([share.tried for share in checked.shares])) else []
    if counts:
        parts.append(f"{so_many(len(checked.shares) + waiting, 'profile')}: {', '.join(counts)}")
    if others:
        parts.append(f"{so_many(others, 'other file' if counts else 'file')} {UNREAD}")
    if checked.gone:
        parts.append(f"{so_many(checked.gone, 'vehicle')} of the known list {GONE}")
    if any(share.known is not None for share in checked.shares):
        parts.append(known_counts(checked.shares))
    return " · ".join(parts)


def summed_up(checked: Checked) -> str:
    """How many profiles came to which verdict, and the scope of it all, in one line."""
    if not (checked.shares or checked.unread):
        told = others_in_words(checked.others).removeprefix("besides ")
        return f"{NOTHING_CHECKED}: {told}" if checked.others else NOTHING_CHECKED
    parts = [tally(checked)]
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


class Unread(NamedTuple):
    """A place in a document that cannot be read, and the profiles that wait for it.

    `is_gone` marks the profile of a vehicle that a list of known findings has and that is not there,
    `became` the word for one that the last commit has and that was named for a check, or for a house
    file that a change took away.
    """

    file: str
    line: int
    column: int
    found: str
    wanted: str
    message: str
    affects: tuple[str, ...]
    nearest: str | None = None
    text: str = ""
    is_gone: bool = False
    became: str = ""

    @property
    def label(self) -> str:
        """What stands before it: `NOT READ`, or `GONE`."""
        return self.became or (GONE if self.is_gone else UNREAD)

    @property
    def words(self) -> str:
        """The message, with its label where it is not that of an error."""
        return self.message if self.label == UNREAD else f"{self.label}: {self.message}"


class Named(NamedTuple):
    """What a call named: the files that stand for no profile, and whether a folder was among it.

    `vanished` are profiles of the last commit that are none any more.
    """

    passed: tuple[Other, ...] = ()
    has_folder: bool = True
    vanished: tuple[Unread, ...] = ()


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
        return len(
            {
                error.file
                for error in self.unread
                if not error.is_gone and waiting.isdisjoint(error.affects)
            }
        )

    @property
    def gone(self) -> int:
        """How many vehicles of a list of known findings have no profile any more."""
        return sum(error.is_gone for error in self.unread)

    def _waiting(self) -> set[str]:
        checked = {share.file for share in self.shares}
        return {file for error in self.unread for file in error.affects} - checked
