"""The report as Markdown, for a change's discussion: a heading and a table for each profile."""

from __future__ import annotations

import re

from ..documents.text import clean
from ..judgement.finding import Finding, Judgement
from .check_totals import (
    VERDICT_WORDS,
    Checked,
    Share,
    counted,
    modes_in_words,
    scope,
    summed_up,
    waived_danger,
)
from .finding_words import amount, details, found_against, working
from .layout import Page

MARKUP = re.compile(r"([\\`*_{}\[\]<>#|!~&$])")
AT_START = re.compile(r"^(\s*)([-+=]|\d+(?=[.)]))")
LINKS = re.compile(r"(?i)(https?|ftp)://|www\.|@")


def plain(text: object) -> str:
    """Text that shows as it stands, whatever marks it holds.

    >>> plain("a|b <b>*c*</b> www.example.org")
    'a\\\\|b \\\\<b\\\\>\\\\*c\\\\*\\\\</b\\\\> www\\\\.example.org'
    """
    escaped = MARKUP.sub(r"\\\1", clean(text))
    escaped = LINKS.sub(lambda link: _unlinked(link.group()), escaped)
    return AT_START.sub(_unlisted, escaped)


def _unlinked(mark: str) -> str:
    """The start of an address, so that no reader turns it into a link."""
    return "&#64;" if mark == "@" else re.sub(r"([.:])", r"\\\1", mark)


def _unlisted(start: re.Match[str]) -> str:
    space, mark = start.groups()
    return f"{space}\\{mark}" if not mark.isdigit() else f"{space}&#{ord(mark[0])};{mark[1:]}"


def code(text: object) -> str:
    """A name in a code span, safe inside a table's cell."""
    inside = clean(text).replace("|", "\\|")
    longest = max((len(run) for run in re.findall("`+", inside)), default=0)
    fence = "`" * (longest + 1)
    pad = " " if inside.startswith("`") or inside.endswith("`") else ""
    return f"{fence}{pad}{inside}{pad}{fence}" if inside else ""


def body(judgement: Judgement, page: Page) -> str:
    """A profile's findings as a table, and what was not judged; `page` decides nothing here."""
    lines: list[str] = []
    if judgement.findings:
        lines += ["", "| | where | what | do |", "|---|---|---|---|"]
        lines += [_finding(finding) for finding in judgement.findings]
    waiting = judgement.not_judged
    if waiting:
        lines += ["", f"Not judged: {amount(waiting)}", ""]
        lines += [f"- {label}: {plain(text)}" for label, text in details(waiting, len(waiting))]
    return "\n".join(lines)


def _finding(finding: Finding) -> str:
    where = f"{code(finding.entered_as or finding.quantity)}<br>{code(finding.place.file)}"
    where += f" line {finding.place.line}"
    modes = modes_in_words(finding.modes, finding.everywhere)
    if modes:
        where += f"<br>{plain(modes)}"
    what = [f"**{plain(finding.message)}**", plain(finding.because)]
    figures = found_against(finding)
    if figures:
        what.insert(1, plain(figures))
    what += [code(working(line)) for line in finding.working]
    what.append(code(finding.rule.id))
    severity = finding.severity.upper()
    if finding.waived:
        severity += f"<br>waived until {plain(finding.waived.until)}"
        what.append(f"Waived: {plain(finding.waived.reason)}")
    return f"| {severity} | {where} | {'<br>'.join(what)} | {plain(finding.remedy)} |"


def report(checked: Checked, page: Page) -> str:
    """All profiles in order, what could not be read, and the tally as the last line."""
    blocks = [_profile(share) for share in checked.shares]
    if checked.unread:
        lines = ["## NOT READ", "", "| where | what |", "|---|---|"]
        for error in checked.unread:
            place = f"{code(error.file)} line {error.line}"
            lines.append(f"| {place} | {plain(error.message)} |")
        blocks.append("\n".join(lines))
    head = "# gonogo check\n\n" + f"Judged as of {checked.judged_on}."
    return "\n\n".join([head, *blocks, plain(summed_up(checked))]) + "\n"


def _profile(share: Share) -> str:
    about = [code(share.file), counted(share.found), waived_danger(share)]
    head = f"## {VERDICT_WORDS[share.verdict]} · {plain(share.name)}"
    lines = [head, "", " · ".join(part for part in about if part)]
    inside = [share.body] if share.body else []
    return "\n".join([*lines, *inside, "", f"{VERDICT_WORDS[share.verdict]} · {scope([share])}"])
