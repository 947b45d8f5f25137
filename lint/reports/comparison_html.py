"""The comparison as one page of HTML that stands alone: for a phone, a mail or the printer."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape
from importlib.resources import files
from string import Template

from ..comparison.comparison import Comparison
from ..comparison.finding_change import Matter, Way
from ..judgement.finding import Judgement
from .check_totals import modes_in_words
from .comparison_totals import Compared, Revised, final, news, passage, scope_words, summed_up
from .comparison_words import (
    WAY_TITLES,
    Chapter,
    change_movement,
    chapters,
    difference,
    entry_steps,
    key,
    limit_words,
    margin_movement,
    margin_way,
    notes,
    percentage,
    respelling,
    was,
    worked_movement,
)
from .finding_words import amount, details, found_against, working
from .html import code, excerpt, listed, safe
from .layout import Page

Cells = Sequence[str]


def body(comparison: Comparison, page: Page) -> str:
    """The inside of a vehicle's tag; `page` decides nothing here."""
    if comparison.new is None:
        return ""
    parts = [_findings(comparison, way) for way in ("introduced", "worsened")]
    parts.append(_not_judged(comparison))
    parts += [_short(comparison, way) for way in ("resolved", "standing")]
    parts += [_chapter(chapter) for chapter in chapters(comparison.changes)]
    parts += [_same(comparison), _consequences(comparison), _margins(comparison)]
    parts.append(_follow_ups(comparison))
    return "\n".join(part for part in parts if part)


def _block(title: str, inside: str) -> str:
    return f'<section class="block"><h3>{title}</h3>{inside}</section>' if inside else ""


def _table(head: Cells, rows: Iterable[Cells]) -> str:
    """A table; on a phone its rows become lines below each other."""
    lines = ["".join(f"<td>{cell}</td>" for cell in cells) for cells in rows]
    if not lines:
        return ""
    names = "".join(f"<th>{escape(name)}</th>" for name in head)
    inside = "".join(f"<tr>{line}</tr>" for line in lines)
    return f"<table><thead><tr>{names}</tr></thead><tbody>{inside}</tbody></table>"


def _findings(comparison: Comparison, way: Way) -> str:
    assert comparison.new is not None
    parts = [_finding(matter, comparison.new) for matter in comparison.of_way(way)]
    return _block(WAY_TITLES[way], "".join(parts))


def _finding(matter: Matter, judgement: Judgement) -> str:
    finding = matter.finding
    place = finding.place
    said = [("when", safe(modes_in_words(matter.modes, matter.everywhere)))]
    if place.file != judgement.profile.file:
        said.append(("file", code(place.file)))
    line = judgement.profile.line(place)
    said.append((f"line {place.line}", excerpt(line, place.column)))
    said.append(("found", safe(found_against(finding))))
    said.append(("from", "<br>".join(code(working(line)) for line in finding.working)))
    said += [("before", safe(was(matter))), ("why", safe(finding.because))]
    said += [("do", safe(finding.remedy)), ("rule", code(finding.rule.id))]
    if finding.waived:
        said.append(("waived", safe(f"until {finding.waived.until}: {finding.waived.reason}")))
    head = f'<span class="severity">{finding.severity.upper()}</span> {safe(finding.message)}'
    return f'<section class="finding {finding.severity}"><h4>{head}</h4>{listed(said)}</section>'


def _short(comparison: Comparison, way: Way) -> str:
    rows = []
    for matter in comparison.of_way(way):
        finding = matter.finding
        severity = f'<span class="{finding.severity}"><span class="severity">'
        severity += f"{finding.severity.upper()}</span></span>"
        said = [finding.message, modes_in_words(matter.modes, matter.everywhere)]
        said += [f"But {note}" for note in notes(matter)]
        what = "<br>".join(safe(part) for part in said if part)
        rows.append((severity, what, code(finding.rule.id)))
    return _block(WAY_TITLES[way], _table(("severity", "what", "rule"), rows))


def _not_judged(comparison: Comparison) -> str:
    lost = comparison.waiting.lost
    if not lost:
        return ""
    said = [(label, safe(text)) for label, text in details(lost, len(lost))]
    return _block("Not judged any more", f"<p>{safe(amount(lost))}</p>{listed(said)}")


def _chapter(chapter: Chapter) -> str:
    rows = [
        (
            safe(change.subsystem),
            code(key(change.entered_as)),
            safe(change_movement(change)),
            safe(_how_far(difference(change.by), entry_steps(change), percentage(change.share))),
        )
        for change in chapter.changes
    ]
    return _block(safe(chapter.title), _table(("part", "value", "old → new", "by"), rows))


def _how_far(*parts: str) -> str:
    return ", ".join(part for part in parts if part)


def _same(comparison: Comparison) -> str:
    lines = [respelling(change) for change in comparison.respelt]
    if comparison.is_empty and not lines:
        lines = [
            "Only spelling, order, comments or places differ: every value is the same."
            if comparison.rewritten
            else "Both sides say the same."
        ]
    return _block("No change", "".join(f"<p>{safe(line)}</p>" for line in lines))


def _consequences(comparison: Comparison) -> str:
    rows = [
        (
            code(one.quantity) + (f" in mode {safe(one.mode)}" if one.mode else ""),
            safe(worked_movement(one)),
            safe(_how_far(difference(one.by), percentage(one.share))),
        )
        for one in comparison.consequences
        if not one.restates
    ]
    title = f"Worked values that moved by more than {percentage(comparison.threshold)[1:]}"
    return _block(title, _table(("value", "old → new", "by"), rows))


def _margins(comparison: Comparison) -> str:
    rows = [
        (
            margin_way(margin),
            code(margin.rule.id) + (f" in mode {safe(margin.mode)}" if margin.mode else ""),
            safe(margin_movement(margin)),
            safe(limit_words(margin)),
        )
        for margin in comparison.margins
    ]
    return _block("Margins, the tightest first", _table(("way", "rule", "room", "limit"), rows))


def _follow_ups(comparison: Comparison) -> str:
    parts = [
        f"<li><strong>{safe(one.do)}</strong> {safe(one.because)} "
        f'<span class="about">After {", ".join(code(key(name)) for name in one.changed)}.</span></li>'
        for one in comparison.follow_ups
    ]
    return _block("Work that this makes necessary", f"<ul>{''.join(parts)}</ul>" if parts else "")


def _tag(one: Revised) -> str:
    sides = [("old", one.old), ("new", one.new)]
    about = [f"{word} {code(side.file)}" for word, side in sides if side]
    about += [safe(text) for text in (one.unread, news(one)) if text]
    scopes = [f"{word}: {safe(scope_words(side))}" for word, side in sides if side]
    return (
        f'<article class="tag {final(one)}">'
        f'<h2><span class="verdict">{safe(passage(one))}</span>{safe(one.side.name)}</h2>'
        f'<p class="about">{"<br>".join(about)}</p>\n{one.body}\n'
        f'<p class="about">{"<br>".join(scopes)}</p></article>'
    )


def report(compared: Compared, page: Page) -> str:
    """The whole page: the sum first, then a tag for each vehicle."""
    parts = [_tag(one) for one in compared.revised]
    for file in dict.fromkeys(error.file for error in compared.unread):
        errors = [error for error in compared.unread if error.file == file]
        said = [(f"line {error.line}", safe(error.message)) for error in errors]
        parts.append(
            f'<article class="tag not-read"><h2><span class="verdict">NOT READ</span>{code(file)}'
            f"</h2>{listed(said)}</article>"
        )
    here = files(__package__)
    style = [here.joinpath(name).read_text("utf-8") for name in ("report.css", "comparison.css")]
    if compared.since is not None:
        summary = summed_up(compared)
    else:
        summary = "Two revisions side by side: what changed, what it does, is it still safe?"
    return Template(here.joinpath("report.html").read_text("utf-8")).substitute(
        title="gonogo diff",
        style="\n".join(style),
        summary=safe(summary),
        judged_on=safe(compared.judged_on),
        tool=safe(compared.tool),
        body="\n".join(parts),
    )
