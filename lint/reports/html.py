"""The report as one page of HTML that stands alone: for a phone, a mail or the printer."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape
from importlib.resources import files
from string import Template

from ..documents.text import clean
from ..judgement.finding import Finding, Judgement
from .check_totals import (
    VERDICT_WORDS,
    Checked,
    Share,
    Unread,
    counted,
    modes_in_words,
    scope,
    summed_up,
    waived_danger,
)
from .excerpt import LEFT, RIGHT, marked
from .finding_words import amount, details, found_against, waived, working
from .layout import Page

LONGEST_EXCERPT = 160


def safe(text: object) -> str:
    """Text that cannot be taken for markup.

    >>> safe("<b>Larch</b>")
    '&lt;b&gt;Larch&lt;/b&gt;'
    """
    return escape(clean(text))


def code(text: object) -> str:
    """A name as it is written in a document."""
    return f"<code>{safe(text)}</code>"


def body(judgement: Judgement, page: Page) -> str:
    """The inside of a profile's tag; `page` decides nothing here."""
    parts = [_finding(finding, judgement) for finding in judgement.findings]
    waiting = judgement.not_judged
    if waiting:
        said = [(label, safe(text)) for label, text in details(waiting, len(waiting))]
        head = f'<h3><span class="severity">NOT JUDGED</span> {safe(amount(waiting))}</h3>'
        block = f'<section class="finding waiting">{head}{listed(said)}</section>'
        parts.insert(0 if judgement.verdict == "incomplete" else len(parts), block)
    return "\n".join(parts)


def _finding(finding: Finding, judgement: Judgement) -> str:
    profile = judgement.profile
    said = [("when", safe(modes_in_words(finding.modes, finding.everywhere)))]
    if finding.place.file != profile.file:
        said.append(("file", code(finding.place.file)))
    if finding.place == profile.place:
        said.append(("missing", code(finding.quantity)))
    else:
        line = profile.line(finding.place)
        said.append((f"line {finding.place.line}", excerpt(line, finding.place.column)))
    said.append(("found", safe(found_against(finding))))
    said.append(("from", "<br>".join(code(working(line)) for line in finding.working)))
    said += [("why", safe(finding.because)), ("do", safe(finding.remedy))]
    said += [("waived", safe(waived(finding))), ("rule", code(finding.rule.id))]
    head = f'<span class="severity">{finding.severity.upper()}</span> {safe(finding.message)}'
    return f'<section class="finding {finding.severity}"><h3>{head}</h3>{listed(said)}</section>'


def excerpt(line: str, column: int) -> str:
    """The document's line with its value underlined as well as marked."""
    start, _, rest = marked(line, column, LONGEST_EXCERPT).partition(LEFT)
    value, closed, after = rest.rpartition(RIGHT)
    if not closed:
        return code(start) if start else ""
    return f"<code>{safe(start)}<mark>{LEFT}{safe(value)}{RIGHT}</mark>{safe(after)}</code>"


def listed(said: Iterable[tuple[str, str]]) -> str:
    """Labels and what belongs to them; both are safe already. Empty ones are left out."""
    inside = "".join(f"<dt>{label}</dt><dd>{text}</dd>" for label, text in said if text)
    return f"<dl>{inside}</dl>"


def _tag(share: Share) -> str:
    about = " · ".join(
        part
        for part in (code(share.file), counted(share.found), safe(waived_danger(share)))
        if part
    )
    word = VERDICT_WORDS[share.verdict]
    return (
        f'<article class="tag {share.verdict}">'
        f'<h2><span class="verdict">{word}</span>{safe(share.name)}</h2>'
        f'<p class="about">{about}</p>\n{share.body}\n'
        f'<p class="about">{word} · {safe(scope([share]))}</p></article>'
    )


def _unread(file: str, errors: Iterable[Unread]) -> str:
    said = [(f"line {error.line}", safe(error.message)) for error in errors]
    return (
        f'<article class="tag not-read"><h2><span class="verdict">NOT READ</span>{code(file)}</h2>'
        f"{listed(said)}</article>"
    )


def report(checked: Checked, page: Page) -> str:
    """The whole page: the tally first, then a tag for each profile."""
    parts = [_tag(share) for share in checked.shares]
    for file in dict.fromkeys(error.file for error in checked.unread):
        parts.append(_unread(file, [error for error in checked.unread if error.file == file]))
    here = files(__package__)
    return Template(here.joinpath("report.html").read_text("utf-8")).substitute(
        title="gonogo check",
        style=here.joinpath("report.css").read_text("utf-8"),
        summary=safe(summed_up(checked)),
        judged_on=safe(checked.judged_on),
        tool=safe(checked.tool),
        body="\n".join(parts),
    )
