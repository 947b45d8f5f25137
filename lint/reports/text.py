"""The format for a terminal: any page at a given width, in colour or without."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from rich.cells import cell_len
from rich.text import Text

from ..documents.text import clean
from .column_widths import GAP
from .columns import chart_lines, table_lines, tree_lines
from .layout import Page
from .overview import LEAST_CELL, overview, verdict_mark
from .prose import (
    EDGE,
    EDGES,
    STYLES,
    beside,
    indented,
    label,
    parts,
    printed,
    prose,
    words_of,
)
from .sample import narrowed
from .section import (
    SEVERE,
    Block,
    Card,
    Chart,
    Detail,
    Form,
    Notice,
    Passage,
    Plot,
    Report,
    Role,
    Row,
    Scale,
    Section,
    Table,
    Tone,
    Toned,
    Verbatim,
    behind,
    in_list,
)

MARGIN = 13  # where the text begins, if no label is longer
# How the words of a row are set by what they say: the act stands out, the working stands back.
ROLE_TONES: dict[Role, Tone] = {
    "act": "bold",
    "working": "faint",
    "aside": "faint",
    "group": "bold",
}
_APART: tuple[Role, ...] = ("group", "apart")
_POINT = "• "
MOST_WAITING = 6
MOST_MARGINS = 12


def detail(page: Page) -> Detail:
    """What a screen has room for."""
    told = not (page.quiet or page.fleet)
    return Detail(MOST_WAITING, MOST_MARGINS, inside=told, passed=page.alone or page.whole)


# ── sections ──────────────────────────────────────────────────────────────────────────────────


def inside(sections: Sequence[Section], page: Page) -> str:
    """Sections below each other, with one margin for all their labels."""
    margin = _margin(block for section in sections for block in section.blocks)
    lines: list[Text] = []
    for section in sections:
        told = any(isinstance(block, Passage | Verbatim) for block in section.blocks)
        lines += [Text(), *_heading(section.title, 1 if told else margin, page)]
        before: Block | None = None
        for number, block in enumerate(section.blocks):
            lines += [Text()] if told and not (_is_point(block) and _is_point(before)) else []
            before = block
            lines += _block(block, section.form, number, margin, page)
    return "\n".join(_squeezed(printed(lines, page)))


def _margin(blocks: Iterable[Block]) -> int:
    labels = [""]
    for block in blocks:
        if isinstance(block, Row):
            labels.append(block.label)
        elif isinstance(block, Notice):
            before = " " * _room_for_bar(block)
            labels += [before + words for words in (block.label, *_labels(block.rows))]
        elif isinstance(block, Table) and block.labels:
            labels += [words_of(cells[0]) for cells in block.rows]
    return max(MARGIN, max(cell_len(clean(words)) for words in labels) + 1 + GAP)


def _heading(title: str, margin: int, page: Page) -> Iterator[Text]:
    """A title begins where the text does; what belongs to it has its labels in the margin."""
    text = prose([(Toned(title, "bold"),)], page.width - margin)
    return indented(text, margin, page) if title else iter(())


def _block(block: Block, form: Form, number: int, margin: int, page: Page) -> Iterator[Text]:
    if isinstance(block, Notice):
        if form == "full" or (form == "list" and number):
            yield Text()
        yield from _notice(block, margin, page)
    elif isinstance(block, Row):
        yield from _row(block, margin, page)
    elif isinstance(block, Table):
        yield from table_lines(block, margin, page)
    elif isinstance(block, Chart):
        yield from chart_lines(block, page)
    elif isinstance(block, Passage | Verbatim):
        yield from _told(block, page)
    elif not isinstance(block, Plot | Scale):
        yield from tree_lines(block, page)


def _is_point(block: Block | None) -> bool:
    return isinstance(block, Passage) and bool(block.mark)


def _told(block: Passage | Verbatim, page: Page) -> Iterator[Text]:
    """A paragraph, a point of a list, or lines as they stand, which nobody cuts or wraps."""
    if isinstance(block, Verbatim):
        lines = [clean(line) for line in block.lines]
        lines = lines if block.language else narrowed(lines, page.width)
        room = page.width - max(map(cell_len, lines), default=0)
        yield from (Text(" " * max(min(room, 3), 0) + line, STYLES["faint"]) for line in lines)
        return
    head = Text(f" {block.mark}")
    indent = head.cell_len + len(block.mark)
    yield from beside(head, prose([block.text], page.width - indent), indent, page)


def _labels(rows: Iterable[Row]) -> list[str]:
    return [row.label for row in rows]


def _room_for_bar(notice: Notice) -> int:
    return 2 if notice.tone in SEVERE else 0


def _notice(notice: Notice, margin: int, page: Page) -> Iterator[Text]:
    """A notice with its rows; the colour of a finding runs down beside it."""
    room = _room_for_bar(notice)
    narrower = page._replace(width=page.width - room)
    for row in (Row(notice.label, (notice.text,), notice.tone), *notice.rows):
        if row.role in _APART:
            yield Text()
        for line in _row(row, margin - room, narrower):
            yield Text(" ").append(EDGE, EDGES[notice.tone]).append_text(line) if room else line


def _row(row: Row, margin: int, page: Page) -> Iterator[Text]:
    head = label(row.label, row.tone)
    if row.role == "point":
        head.pad_right(margin - head.cell_len)
        head.append(_POINT)
        margin += len(_POINT)
    text = prose(row.lines, page.width - margin)
    if row.role in ROLE_TONES:
        text.stylize(STYLES[ROLE_TONES[row.role]])
    return beside(head, text, margin, page)


# ── cards and reports ─────────────────────────────────────────────────────────────────────────


def report(report: Report, page: Page) -> str:
    """The whole report: its cards in order, and what they come to."""
    lines = [f" in {clean(report.folder)}", ""] if report.folder else []
    if report.tally and not page.quiet:
        text = parts(report.tally.split(" · "), page.width - 1)
        summed = printed(indented(text, 1, page), page)
        lines += [*summed, ""]
    whole = [card for card in report.cards if not _is_listed(card, report, page)]
    first = report.first if report.tally else 0
    for card in whole[:first]:
        lines += ["", *_tag(card, page), ""]
    if report.tally and not page.quiet:
        lines += ["", *inside(report.summary, page).split("\n"), ""]
    for card in whole[first:]:
        lines += ["", *_tag(card, page), ""]
    listed = [card for card in report.cards if _is_listed(card, report, page)]
    if report.fleet:
        listed = in_list([card for card in listed if not card.short], report.folded)
    lines += ["", *printed(overview(listed, page), page)]
    if not report.alone:
        text = parts(report.closing.split(" · "), page.width - 1)
        lines += ["", *printed([_rule_off(page), *indented(text, 1, page)], page)]
    return "\n".join(_squeezed(lines)) + "\n"


def _is_listed(card: Card, report: Report, page: Page) -> bool:
    """Whether a card is a line of the list; of a fleet all are but what could not be read."""
    return page.quiet or card.short or (report.fleet and not card.sections)


def _squeezed(lines: Iterable[str]) -> list[str]:
    """The lines without empty ones at either end, or two of them in a row."""
    kept: list[str] = []
    for line in lines:
        if line or (kept and kept[-1]):
            kept.append(line)
    return kept[:-1] if kept and not kept[-1] else kept


def _rule_off(page: Page) -> Text:
    return Text("─" * page.width, STYLES["faint"])


def _tag(card: Card, page: Page) -> list[str]:
    """Head, body and closing lines; its bar is what an inspector's tag hangs by."""
    if not card.verdict:
        name = prose([(Toned(card.name, "bold"),)], page.width - 1)
        head_lines = printed([*indented(name, 1, page), _rule_off(page)], page)
        return [*head_lines, *inside(card.sections, page).split("\n")]
    edge = Text(" ").append(EDGE, EDGES.get(card.tone, ""))
    head = edge.append_text(verdict_mark(card)) if card.stamped else label(card.verdict, card.tone)
    head.append(behind(card))
    room = head.cell_len + 3 if card.stamped else MARGIN
    indent = 3 if card.stamped else MARGIN
    name = prose([(card.name,)], max(page.width - room, 1))
    lines = [*beside(head, name, room, page)]
    if card.stamped and page.width - room < min(cell_len(card.name), LEAST_CELL):
        whole = verdict_mark(card)[1:].append(behind(card)).append(" " * 3).append(card.name)
        lines = [*beside(Text(" ").append(EDGE, EDGES.get(card.tone, "")), whole, 3, page)]
    for line in card.about:
        lines += indented(prose([line], page.width - indent), indent, page)
    set_lines = printed([*lines, _rule_off(page)], page)
    body = card.inside or inside(card.sections, page)
    set_lines += body.split("\n") if body else []
    return [*set_lines, "", *printed(_closing(card, page), page)] if card.closing else set_lines


def _closing(card: Card, page: Page) -> Iterator[Text]:
    for line in card.closing:
        if isinstance(line, Row):
            yield from _row(line, MARGIN, page)
        else:
            text = parts(words_of(line).split(" · "), page.width - 1)
            if isinstance(line[0], Toned):
                text.stylize(STYLES[line[0].tone], 0, len(line[0].text))
            yield from indented(text, 1, page)
