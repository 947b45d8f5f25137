"""The comparison as Markdown, fit for a review comment: a heading and tables for each vehicle."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..comparison.comparison import Comparison
from ..comparison.finding_change import Matter, Way
from .check_totals import modes_in_words
from .comparison_totals import (
    MOST_MARGINS,
    Compared,
    Revised,
    news,
    passage,
    scope_words,
    summed_up,
)
from .comparison_words import (
    WAY_TITLES,
    Chapter,
    change_movement,
    chapters,
    difference,
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
from .finding_words import details, found_against
from .layout import Page
from .markdown import code, plain

NO_LIST = "·"  # any mark that begins no list
Cells = Sequence[str]


def cell(text: str) -> str:
    """Text inside a table, where a number at its beginning starts no list.

    >>> cell("+20"), cell("3. gear")
    ('+20', '3. gear')
    """
    return plain(f"{NO_LIST}{text}").removeprefix(NO_LIST)


def table(head: Cells, rows: Iterable[Cells]) -> list[str]:
    """A table; its cells are safe already."""
    lines = [f"| {' | '.join(head)} |", f"|{'---|' * len(head)}"]
    return [*lines, *(f"| {' | '.join(cells)} |" for cells in rows)]


def body(comparison: Comparison, page: Page) -> str:
    """The inside of a vehicle's section; `page` decides nothing here."""
    if comparison.new is None:
        return ""
    blocks = [_findings(comparison, way) for way in ("introduced", "worsened")]
    blocks.append(_not_judged(comparison))
    blocks += [_short(comparison, way) for way in ("resolved", "standing")]
    blocks += [_chapter(chapter) for chapter in chapters(comparison.changes)]
    blocks += [_same(comparison), _consequences(comparison), _margins(comparison)]
    blocks.append(_follow_ups(comparison))
    return "\n\n".join("\n".join(block) for block in blocks if block)


def _findings(comparison: Comparison, way: Way) -> list[str]:
    rows = [_finding(matter) for matter in comparison.of_way(way)]
    if not rows:
        return []
    return [f"### {WAY_TITLES[way]}", "", *table(("", "where", "what", "do"), rows)]


def _finding(matter: Matter) -> Cells:
    finding = matter.finding
    where = f"{code(finding.entered_as or finding.quantity)}<br>{code(finding.place.file)}"
    where += f" line {finding.place.line}"
    modes = modes_in_words(matter.modes, matter.everywhere)
    if modes:
        where += f"<br>{plain(modes)}"
    what = [f"**{plain(finding.message)}**", plain(found_against(finding)), plain(finding.because)]
    what += [f"Before: {plain(was(matter))}", code(finding.rule.id)]
    severity = finding.severity.upper()
    if finding.waived:
        severity += f"<br>waived until {plain(finding.waived.until)}"
        what.append(f"Waived: {plain(finding.waived.reason)}")
    return severity, where, "<br>".join(part for part in what if part), plain(finding.remedy)


def _short(comparison: Comparison, way: Way) -> list[str]:
    rows = []
    for matter in comparison.of_way(way):
        modes = modes_in_words(matter.modes, matter.everywhere)
        what = [plain(matter.finding.message), plain(modes)]
        what += [f"But {plain(note)}" for note in notes(matter)]
        said = "<br>".join(part for part in what if part)
        rows.append((matter.finding.severity.upper(), said, code(matter.finding.rule.id)))
    if not rows:
        return []
    return [f"### {WAY_TITLES[way]}", "", *table(("", "what", "rule"), rows)]


def _not_judged(comparison: Comparison) -> list[str]:
    lost = comparison.waiting.lost
    if not lost:
        return []
    lines = [f"- {label}: {plain(text)}" for label, text in details(lost, len(lost))]
    return ["### Not judged any more", "", *lines]


def _chapter(chapter: Chapter) -> list[str]:
    rows = [
        (
            change.subsystem,
            code(key(change.entered_as)),
            cell(change_movement(change)),
            cell(difference(change.by)),
            cell(percentage(change.share)),
        )
        for change in chapter.changes
    ]
    return [f"### {plain(chapter.title)}", "", *table(("", "value", "old → new", "by", ""), rows)]


def _same(comparison: Comparison) -> list[str]:
    lines = [f"- {plain(respelling(change))}" for change in comparison.respelt]
    if comparison.is_empty and not lines:
        lines = [
            "Only spelling, order, comments or places differ: every value is the same."
            if comparison.rewritten
            else "Both sides say the same."
        ]
    return ["### No change", "", *lines] if lines else []


def _consequences(comparison: Comparison) -> list[str]:
    rows = [
        (
            code(one.quantity) + (f" in mode {plain(one.mode)}" if one.mode else ""),
            cell(worked_movement(one)),
            cell(difference(one.by)),
            cell(percentage(one.share)),
        )
        for one in comparison.consequences
        if not one.restates
    ]
    if not rows:
        return []
    title = f"### Worked values that moved by more than {percentage(comparison.threshold)[1:]}"
    return [title, "", *table(("value", "old → new", "by", ""), rows)]


def _margins(comparison: Comparison) -> list[str]:
    margins = comparison.margins
    rows = [
        (
            margin_way(margin),
            code(margin.rule.id) + (f" in mode {plain(margin.mode)}" if margin.mode else ""),
            cell(margin_movement(margin)),
            cell(limit_words(margin)),
        )
        for margin in margins[:MOST_MARGINS]
    ]
    if not rows:
        return []
    more = len(margins) - MOST_MARGINS
    end = ["", f"And {more} with more room than these."] if more > 0 else []
    return [
        "### Margins, the tightest first",
        "",
        *table(("", "rule", "room", "limit"), rows),
        *end,
    ]


def _follow_ups(comparison: Comparison) -> list[str]:
    """Work as a list to tick off."""
    if not comparison.follow_ups:
        return []
    lines = [f"- [ ] {plain(one.do)} {plain(one.because)}" for one in comparison.follow_ups]
    return ["### Work that this makes necessary", "", *lines]


def report(compared: Compared, page: Page) -> str:
    """All vehicles in order, what could not be read, and the sum of a tree."""
    blocks = ["# gonogo diff", f"Both sides judged as of {compared.judged_on}."]
    blocks += [_revised(one) for one in compared.revised]
    if compared.unread:
        rows = [
            (f"{code(error.file)} line {error.line}", plain(error.message))
            for error in compared.unread
        ]
        blocks.append("\n".join(["## NOT READ", "", *table(("where", "what"), rows)]))
    if compared.since is not None:
        blocks.append(plain(summed_up(compared)))
    return "\n\n".join(blocks) + "\n"


def _revised(one: Revised) -> str:
    sides = [("old", one.old), ("new", one.new)]
    lines = [f"## {passage(one)} · {plain(one.side.name)}", "", plain(news(one)), ""]
    lines += [f"- {word}: {code(side.file)} · {scope_words(side)}" for word, side in sides if side]
    if one.unread:
        lines.append(f"- {plain(one.unread)}")
    return "\n".join(lines) + (f"\n\n{one.body}" if one.body else "")
