"""The format for a change's discussion: any page as Markdown, with its findings in a table."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any

from ..documents.text import clean
from .excerpt import marked
from .layout import Page
from .markdown_cut import BLOCK_BREAK, LARGEST_COMMENT, CommentPiece, fitted_comment
from .section import (
    Card,
    Code,
    Detail,
    Excerpt,
    Form,
    Fragment,
    Line,
    Notice,
    Passage,
    Report,
    Row,
    Section,
    Table,
    Verbatim,
    behind,
    in_list,
)

MARGINS_SHOWN = 12
MOST_INDEXED = 100
LONGEST_CUT_NAME = 60  # characters of a name among those that were cut
EXCERPT_WIDTH = 60
LABELLED = ("was", "note", "waived", "inputs")  # rows that are not understood without their label
MARKUP = re.compile(r"([\\`*_{}\[\]<>#|!~&$])")
AT_START = re.compile(r"^(\s*)([-+=]|\d+(?=[.)]))")
LINKS = re.compile(r"(?i)(https?|ftp)://|www\.|@")


def detail(page: Page) -> Detail:
    """A discussion has room for all but the wide margins."""
    return Detail(margins=MARGINS_SHOWN)


def escaped(text: object) -> str:
    """Text that shows as it stands, whatever marks it holds.

    >>> escaped("a|b <b>*c*</b> www.example.org")
    'a\\\\|b \\\\<b\\\\>\\\\*c\\\\*\\\\</b\\\\> www\\\\.example.org'
    """
    marks = MARKUP.sub(r"\\\1", clean(text))
    return LINKS.sub(lambda link: _unlinked(link.group()), marks)


def _unlinked(mark: str) -> str:
    """The start of an address, so that no reader turns it into a link."""
    return "&#64;" if mark == "@" else re.sub(r"([.:])", r"\\\1", mark)


def paragraph(text: object) -> str:
    """Escaped text at the beginning of a line, where a number or a dash would begin a list."""
    return AT_START.sub(_unlisted, escaped(text))


def _unlisted(start: re.Match[str]) -> str:
    space, mark = start.groups()
    return f"{space}\\{mark}" if not mark.isdigit() else f"{space}&#{ord(mark[0])};{mark[1:]}"


def in_code(text: object) -> str:
    """A name in a code span, safe inside a table's cell."""
    inside = clean(text).replace("|", "\\|")
    longest = max((len(run) for run in re.findall("`+", inside)), default=0)
    fence = "`" * (longest + 1)
    pad = " " if inside.startswith("`") or inside.endswith("`") else ""
    return f"{fence}{pad}{inside}{pad}{fence}" if inside else ""


def _line(line: Line) -> str:
    return "".join(map(_piece, line))


def _piece(piece: Fragment) -> str:
    if isinstance(piece, Excerpt):
        return in_code("".join(marked(piece.line, piece.column, EXCERPT_WIDTH)))
    if isinstance(piece, Code):
        return in_code(piece.text)
    return escaped(piece if isinstance(piece, str) else piece.text)


def _lines(lines: Iterable[Line]) -> str:
    return "<br>".join(map(_line, lines))


def _start(line: Line) -> str:
    """A line as a paragraph of its own."""
    first = line[0]
    return paragraph(first) + _line(line[1:]) if isinstance(first, str) else _line(line)


def inside(sections: Sequence[Section], page: Page) -> str:
    """The sections of a card, each a heading with tables and lists."""
    parts = []
    for section in sections:
        parts += [f"### {escaped(section.title)}"] if section.title else []
        for kind, blocks in groupby(section.blocks, type):
            parts += _SETTERS[kind](list(blocks), section.form)
    return "\n\n".join(parts)


def _rows(rows: Sequence[Row], form: Form) -> Iterator[str]:
    yield "\n".join(map(_item, rows))


def _item(row: Row) -> str:
    """A row as an item of a list; the points of a group stand under its title."""
    before = "  - " if row.role == "point" else "- "
    named = f"{escaped(row.label)}: " if row.label else ""
    return f"{before}{named}{_lines(row.lines)}"


def _tables(tables: Sequence[Table], form: Form) -> Iterator[str]:
    for table in tables:
        yield _table(table.heads, ([_line(cell) for cell in cells] for cells in table.rows))


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table; its cells are safe already."""
    lines = [f"| {' | '.join(heads)} |", f"|{'---|' * len(heads)}"]
    return "\n".join([*lines, *(f"| {' | '.join(cells)} |" for cells in rows)])


def _notices(notices: Sequence[Notice], form: Form) -> Iterator[str]:
    if form == "full":
        yield _table(("", "where", "what", "do"), map(_cells, notices))
    elif form == "brief":
        yield _table(("", "what", "rule"), map(_brief_cells, notices))
    elif form == "work":
        yield "\n".join(map(_task, notices))
    else:
        for notice in notices:
            yield f"{notice.label.capitalize()}: {_line(notice.text)}"
            yield from _rows(notice.rows, form)


def _cells(notice: Notice) -> Sequence[str]:
    """A notice in one row: where it stands, what is the matter, what to do."""
    facts = [_named(row) for row in notice.rows if row.role in ("", "working", "aside")]
    acts = [_lines(row.lines) for row in notice.rows if row.role == "act"]
    waived = "<br>waived" if any(row.label == "waived" for row in notice.rows) else ""
    what = "<br>".join([f"**{_line(notice.text)}**", *facts])
    return f"{notice.label}{waived}", _lines(notice.where), what, "<br>".join(acts)


def _named(row: Row) -> str:
    label = f"{row.label.capitalize()}: " if row.label in LABELLED else ""
    return label + _lines(row.lines)


def _brief_cells(notice: Notice) -> Sequence[str]:
    rule = [_lines(row.lines) for row in notice.rows if row.label == "rule"]
    notes = [_named(row) for row in notice.rows if row.label != "rule"]
    return notice.label, "<br>".join([_line(notice.text), *notes]), "".join(rule)


def _task(notice: Notice) -> str:
    """Work to tick off, with its reason."""
    why = [_lines(row.lines) for row in notice.rows if row.label == "why"]
    return " ".join(["- [ ]", _line(notice.text), *why])


def _passages(passages: Sequence[Passage], form: Form) -> Iterator[str]:
    for is_point, some in groupby(passages, lambda passage: bool(passage.mark)):
        if is_point:
            yield "\n".join(f"- {_line(point.text)}" for point in some)
        else:
            yield from (_start(passage.text) for passage in some)


def _verbatim(blocks: Sequence[Verbatim], form: Form) -> Iterator[str]:
    for block in blocks:
        lines = [clean(line) for line in block.lines]
        longest = max((len(run) for line in lines for run in re.findall("`+", line)), default=0)
        fence = "`" * max(longest + 1, 3)
        yield "\n".join([f"{fence}{block.language}", *lines, fence])


_SETTERS: Mapping[type, Callable[[Any, Form], Iterable[str]]] = {
    Row: _rows,
    Table: _tables,
    Notice: _notices,
    Passage: _passages,
    Verbatim: _verbatim,
}


def report(report: Report, page: Page) -> str:
    """All cards in order, and what they come to: of what was judged no more than fits in a comment."""
    blocks = [f"# {escaped(report.title)}"]
    blocks += [f"{report.judged_on}."] if report.judged_on else []
    cards = [card for card in report.cards if not (report.fleet and card.short)]
    if report.tally:
        index = _index(cards, report.folded)
        blocks += [paragraph(report.tally), inside(report.summary, page), *index]
    head = BLOCK_BREAK.join(block for block in blocks if block)
    pieces = [CommentPiece(_named_card(card), _card(card, page, report.title)) for card in cards]
    tail = paragraph(report.closing) if report.closing else ""
    is_comment = report.judged_on and not page.whole  # what was judged, and not a page of the help
    return fitted_comment(head, pieces, tail, LARGEST_COMMENT if is_comment else sys.maxsize)


def _index(cards: Sequence[Card], folded: Sequence[Card]) -> Iterator[str]:
    """A line for each card, before they follow in full, and for those that were folded into one."""
    columns = 3 if any(card.brief[2] for card in cards) else 2
    listed = [card for card in cards if not card.in_fold]
    rows = [
        (f"{card.passage}{card.verdict}", *map(escaped, card.brief[:columns]))
        for card in in_list(listed[:MOST_INDEXED], folded)
    ]
    yield _table(("verdict", "vehicle", "what decided it", "rules checked")[: columns + 1], rows)
    if listed[MOST_INDEXED:]:
        yield f"And {len(listed) - MOST_INDEXED} more, which follow as far as there is room."


def _named_card(card: Card) -> str:
    """What a card goes by among those that were cut: as in the list of all."""
    name = clean(card.brief[0] if card.brief else card.name)
    short = name if len(name) <= LONGEST_CUT_NAME else f"{name[:LONGEST_CUT_NAME]}…"
    return escaped(f"{card.passage}{card.verdict} {short}".strip())


def _card(card: Card, page: Page, title: str) -> str:
    """A card; an only one that has the report's title needs no heading."""
    verdict = f"{card.passage}{card.verdict}{behind(card)} · " if card.verdict else ""
    blocks = [f"## {verdict}{escaped(card.name)}"] if card.name != title else []
    blocks += ["<br>".join(map(_start, card.about))] if card.about else []
    blocks += [part for part in (card.inside, inside(card.sections, page)) if part]
    closing = [
        f"{escaped(line.label)}: {_lines(line.lines)}" if isinstance(line, Row) else _start(line)
        for line in card.closing
    ]
    blocks += ["<br>".join(closing)] if closing else []
    return "\n\n".join(blocks)
