"""The verdict in a line, with its scope, and the tally over many profiles."""

from __future__ import annotations

import posixpath
from collections import Counter
from collections.abc import Mapping, Sequence

from ..judgement.rule import SEVERITIES, Severity
from .checked import VERDICT_WORDS, Checked, Share
from .page import Page, clean, set_beside
from .palette import Paint, painted

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
