"""The comparison as text: a tag with the verdict of each side, what passed, and what it does."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..comparison.change import Change
from ..comparison.comparison import Comparison
from ..comparison.consequence import Consequence
from ..comparison.finding_change import Way
from ..comparison.margin import Margin
from ..documents.text import clean
from .check_text import finding_rows
from .check_totals import NOT_READ, VERDICT_WORDS, Unread, modes_in_words
from .comparison_totals import (
    MOST_MARGINS,
    Compared,
    Revised,
    final,
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
from .finding_words import amount, details
from .layout import INDENT, Moved, Page, Paint, in_columns, painted, row, set_beside


def body(comparison: Comparison, page: Page) -> str:
    """The inside of a vehicle's tag."""
    if page.quiet or comparison.new is None:
        return ""
    parts = [_findings(comparison, way, page) for way in ("introduced", "worsened")]
    parts.append(_not_judged(comparison, page))
    parts += [_short_findings(comparison, way, page) for way in ("resolved", "standing")]
    parts += [_chapter(chapter, page) for chapter in chapters(comparison.changes)]
    parts.append(_respelt(comparison, page))
    parts += [
        _consequences(comparison, page),
        _margins(comparison.margins, page),
        _follow_ups(comparison, page),
    ]
    return "\n".join(line for part in parts if part for line in ("", *part))


def _heading(title: str, page: Page) -> list[str]:
    """A title that starts where the text does; what belongs to it has its labels in the margin."""
    lines = set_beside("", clean(title), page, INDENT)
    return [f"{' ' * INDENT}{painted(line.lstrip(), 'bold', page.colour)}" for line in lines]


def _findings(comparison: Comparison, way: Way, page: Page) -> list[str]:
    """Findings in full, each with what it was before."""
    lines: list[str] = []
    for matter in comparison.of_way(way):
        assert matter.new is not None and comparison.new is not None
        block = finding_rows(matter.new, comparison.new.profile, page)
        lines += ["", *block[:-1], *row("before", was(matter), page), block[-1]]
    return [*_heading(WAY_TITLES[way], page), *lines] if lines else []


def _short_findings(comparison: Comparison, way: Way, page: Page) -> list[str]:
    """Findings that are gone or stand, by their sentence and rule."""
    lines: list[str] = []
    for matter in comparison.of_way(way):
        finding = matter.finding
        said = finding.message
        modes = modes_in_words(matter.modes, matter.everywhere)
        if modes:
            said = f"{modes[0].upper()}{modes[1:]}: {said}"
        lines += row(finding.severity.upper(), said, page, finding.severity)
        for note in notes(matter):
            lines += row("but", note, page)
        lines += row("rule", finding.rule.id, page)
    return [*_heading(WAY_TITLES[way], page), *lines] if lines else []


def _not_judged(comparison: Comparison, page: Page) -> list[str]:
    """Rules that lack a value now: what is not looked at is not safe."""
    lines: list[str] = []
    lost, gained = comparison.waiting.lost, comparison.waiting.gained
    if lost:
        lines += [*_heading("Not judged any more", page)]
        lines += row("NOT JUDGED", amount(lost), page, "bold")
        for label, text in details(lost):
            lines += row(label, text, page)
    if gained:
        names = ", ".join(one.rule.id for one in gained)
        lines += [*([""] if lines else []), *_heading("Judged now, not before", page)]
        lines += row("rules", names, page)
    return lines


def _chapter(chapter: Chapter, page: Page) -> list[str]:
    moved = [_of_change(change) for change in chapter.changes]
    return [*_heading(chapter.title, page), *in_columns(moved, page)]


def _of_change(change: Change) -> Moved:
    steps = entry_steps(change) if change.sort == "setting" else ""
    return Moved(
        change.subsystem,
        clean(key(change.entered_as)),
        clean(change_movement(change)),
        (difference(change.by), steps, percentage(change.share)),
    )


def _respelt(comparison: Comparison, page: Page) -> list[str]:
    """What looks like a change in the document and is none."""
    lines: list[str] = []
    for change in comparison.respelt:
        lines += row("same", respelling(change), page)
    if comparison.rewritten and not comparison.made and not lines:
        said = "Only spelling, order, comments or places differ: every value is the same."
        lines += row("same", said, page)
    if comparison.is_empty and not comparison.rewritten:
        lines += row("same", "Both sides say the same.", page)
    return [*_heading("No change", page), *lines] if lines else []


def _consequences(comparison: Comparison, page: Page) -> list[str]:
    told = [one for one in comparison.consequences if not one.restates]
    if not told:
        return []
    title = f"What that does: worked values that moved by more than {_percent(comparison)}"
    return [*_heading(title, page), *in_columns([_of_consequence(one) for one in told], page)]


def _percent(comparison: Comparison) -> str:
    return percentage(comparison.threshold).lstrip("+")


def _of_consequence(one: Consequence) -> Moved:
    label = clean(f"in {one.mode}")[: INDENT - 2] if one.mode else ""
    how_far = (difference(one.by), percentage(one.share))
    return Moved(label, one.quantity, worked_movement(one), how_far)


def _margins(margins: Sequence[Margin], page: Page) -> list[str]:
    """The tightest margins of those that moved; the wider ones only counted."""
    if not margins:
        return []
    lines = [*_heading("Margins that shrank or grew, the tightest first", page)]
    for margin in margins[:MOST_MARGINS]:
        name = f"{margin.rule.id}{f' in {margin.mode}' if margin.mode else ''}"
        said = f"room {margin_movement(margin)}, {limit_words(margin)}"
        way = margin_way(margin)
        paint: Paint = margin.severity if margin.new.room < 0 else "faint"
        lines += [*row(way, name, page, paint), *set_beside("", said, page, INDENT + 2)]
    more = len(margins) - MOST_MARGINS
    return lines + row("more", f"{more} with more room than these", page) if more > 0 else lines


def _follow_ups(comparison: Comparison, page: Page) -> list[str]:
    if not comparison.follow_ups:
        return []
    lines = [*_heading("Work that this makes necessary", page)]
    for one in comparison.follow_ups:
        lines += row("do", one.do, page, "bold")
        lines += row("why", one.because, page)
        lines += row("after", ", ".join(key(name) for name in one.changed), page)
    return lines


def report(compared: Compared, page: Page) -> str:
    """The whole report: a tag for each vehicle, what could not be read, the sum of a tree."""
    lines: list[str] = []
    for one in compared.revised:
        if page.quiet or (compared.since is not None and one.empty):
            lines += _line(one, page)
        else:
            lines += ["", *_tag(one, page), ""]
    lines += _unread(compared.unread, page)
    if compared.since is not None:
        end = summed_up(compared).replace(" ", "\u00a0").replace("\u00a0·\u00a0", "\u00a0· ")
        lines += ["", painted("─" * page.width, "faint", page.colour)]
        lines += set_beside("", clean(end), page, 1)
    return _joined(lines)


def _joined(lines: Iterable[str]) -> str:
    kept: list[str] = []
    for line in lines:
        if line or (kept and kept[-1]):
            kept.append(line)
    return "\n".join(kept).rstrip("\n") + "\n"


def _line(one: Revised, page: Page) -> list[str]:
    said = " · ".join(part for part in (one.side.file, news(one)) if part)
    lines = set_beside(passage(one), clean(said), page, max(INDENT, len(passage(one)) + 3))
    return [_painted(lines[0], one, page), *lines[1:]]


def _painted(line: str, one: Revised, page: Page) -> str:
    """The line with the words of the last verdict in its colour."""
    words = VERDICT_WORDS[final(one)]
    start = line.rfind(words, 0, len(passage(one)) + 3)
    if start < 0:
        return line
    end = start + len(words)
    return f"{line[:start]}{painted(words, final(one), page.colour)}{line[end:]}"


def _tag(one: Revised, page: Page) -> list[str]:
    """Head, body and a closing line for each side; the ring is the hole that a tag hangs by."""
    label = f"▐ {passage(one)}"
    head = set_beside(label, clean(one.side.name), page, len(label) + 4)
    lines = [_painted(head[0], one, page), *head[1:]]
    for side, word in ((one.old, "old"), (one.new, "new")):
        if side is not None:
            lines += set_beside("", clean(f"{word} {side.file}"), page, 3)
    if one.unread:
        lines += set_beside("", clean(one.unread), page, 3)
    lines += set_beside("", clean(news(one)), page, 3)
    lines.append(painted("─" * page.width, "faint", page.colour))
    if one.body:
        lines += [*one.body.split("\n")[1:], ""]
    for side, word in ((one.old, "old"), (one.new, "new")):
        if side is not None:
            lines += row(word, scope_words(side), page)
    return lines


def _unread(errors: Sequence[Unread], page: Page) -> list[str]:
    lines: list[str] = []
    for file in dict.fromkeys(error.file for error in errors):
        lines += ["", *set_beside(f"▐ {NOT_READ}", clean(file), page, len(NOT_READ) + 6)]
        for error in errors:
            if error.file == file:
                lines += row(f"line {error.line}", error.message, page)
    return lines
