"""The format for a terminal: any page, laid out, wrapped and coloured by rich, at a given width."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import groupby
from typing import Any

from rich.cells import cell_len
from rich.console import Console, Group, RenderableType
from rich.padding import Padding
from rich.table import Table as Grid
from rich.text import Text

from ..judgement.formatting import unit_word
from ..judgement.unit import UNITS
from .chart import wires
from .excerpt import marked
from .layout import Page, clean
from .section import (
    Block,
    Branch,
    Card,
    Chart,
    Code,
    Detail,
    Excerpt,
    Form,
    Line,
    Notice,
    Report,
    Row,
    Section,
    Table,
    Tone,
    Toned,
)

STYLES: dict[Tone, str] = {
    "danger": "bold red",
    "fault": "bold magenta",
    "caution": "bold yellow",
    "go": "bold black on green",
    "no-go": "bold bright_white on red",
    "incomplete": "bold black on yellow",
    "value": "bold underline",
    "faint": "dim",
    "bold": "bold",
}
MARGIN = 12  # where the text begins, if no label is longer
GAP = 2  # columns between those of a table
MOST_WAITING = 6
MOST_MARGINS = 12
LEAST_WIRE = 8
LEAST_BRANCH = 24

# Rich breaks lines at white space only. What stands for a blank at which no line ends, and for a
# place in a long word at which one may; neither is left in what is shown.
TIE, SOFT = "\ue000", "\x1f"
SHOWN = str.maketrans({TIE: " ", SOFT: None})
SPOKEN_UNITS = sorted({unit_word(unit) for unit in UNITS if unit}, key=len, reverse=True)
WITH_UNIT = re.compile(rf"(?<=\d) ({'|'.join(map(re.escape, SPOKEN_UNITS))})(?![\w/])")
MARK = re.compile(r"(?<=[/._-])(?=.)")


def detail(page: Page) -> Detail:
    """What a screen has room for."""
    return Detail(MOST_WAITING, MOST_MARGINS, inside=not page.quiet, passed=page.alone)


# ── words ─────────────────────────────────────────────────────────────────────────────────────


def prose(lines: Sequence[Line], width: int) -> Text:
    """Lines ready to be wrapped at a width: numbers keep their units, long names break at marks."""
    text = Text()
    for number, line in enumerate(lines):
        if number:
            text.append("\n")
        for piece in line:
            if isinstance(piece, Excerpt):
                start, value, end = marked(piece.line, piece.column, width)
                text.append(start).append(value, STYLES["value"]).append(end)
            elif isinstance(piece, Toned):
                text.append(_knit(piece.text, width), STYLES[piece.tone])
            else:
                text.append(_knit(piece.text if isinstance(piece, Code) else piece, width))
    return text


def _knit(text: str, width: int) -> str:
    text = WITH_UNIT.sub(lambda unit: unit[0].replace(" ", TIE), clean(text))
    text = text.replace("\u00a0", TIE)
    if len(text) <= width:
        return text
    too_long = rf"\S{{{max(width, 1) + 1},}}"
    return re.sub(too_long, lambda word: MARK.sub(SOFT, word[0].replace(TIE, " ")), text)


def _label(text: str, tone: Tone = "faint") -> Text:
    return Text(" ").append(clean(text), STYLES[tone])


def _beside(label: Text, text: Text, indent: int, page: Page) -> Grid:
    """A label in the margin and the text beside it, hanging under itself."""
    grid = _grid(indent, page.width - indent)
    grid.add_row(label, text)
    return grid


def _grid(*widths: int) -> Grid:
    grid = Grid.grid()
    for width in widths:
        grid.add_column(width=max(width, 1))
    return grid


@lru_cache(maxsize=4)
def _console(width: int, colour: bool) -> Console:
    """What sets all; it knows nothing of the real terminal."""
    return Console(
        file=io.StringIO(),
        width=width,
        height=25,
        color_system="standard" if colour else None,
        force_terminal=colour,
        force_jupyter=False,
        no_color=not colour,
        legacy_windows=False,
        markup=False,
        emoji=False,
        highlight=False,
    )


def printed(parts: Iterable[RenderableType], page: Page) -> list[str]:
    """The lines that come out of it, without blanks at their ends."""
    console = _console(page.width, page.colour)
    with console.capture() as capture:
        console.print(Group(*parts))
    return [line.rstrip() for line in capture.get().translate(SHOWN).rstrip("\n").split("\n")]


# ── sections ──────────────────────────────────────────────────────────────────────────────────


def inside(sections: Sequence[Section], page: Page) -> str:
    """Sections below each other, with one margin for all their labels."""
    margin = _margin(block for section in sections for block in section.blocks)
    parts: list[RenderableType] = []
    for section in sections:
        parts += ["", *_heading(section.title, margin, page)]
        for kind, blocks in groupby(section.blocks, type):
            parts += _SETTERS[kind](list(blocks), section.form, margin, page)
    return "\n".join(_squeezed(printed(parts, page)))


def _margin(blocks: Iterable[Block]) -> int:
    labels = [""]
    for block in blocks:
        if isinstance(block, Row):
            labels.append(block.label)
        elif isinstance(block, Notice):
            labels += [block.label, *(row.label for row in block.rows)]
        elif isinstance(block, Table) and block.labels:
            labels += [_plain(cells[0]) for cells in block.rows]
    return max(MARGIN, max(cell_len(clean(label)) for label in labels) + 2)


def _heading(title: str, margin: int, page: Page) -> list[RenderableType]:
    """A title begins where the text does; what belongs to it has its labels in the margin."""
    text = prose([(Toned(title, "bold"),)], page.width - margin)
    return [_indented(text, margin)] if title else []


def _rows(rows: Sequence[Row], form: Form, margin: int, page: Page) -> list[RenderableType]:
    grid = _grid(margin, page.width - margin)
    for row in rows:
        grid.add_row(_label(row.label, row.tone), prose(row.lines, page.width - margin))
    return [grid]


def _notices(
    notices: Sequence[Notice], form: Form, margin: int, page: Page
) -> list[RenderableType]:
    parts: list[RenderableType] = []
    for number, notice in enumerate(notices):
        head = Row(notice.label, (notice.text,), notice.tone)
        parts += [""] if form == "full" or (form == "list" and number) else []
        parts += _rows([head, *notice.rows], form, margin, page)
    return parts


# ── tables ────────────────────────────────────────────────────────────────────────────────────


def _tables(tables: Sequence[Table], form: Form, margin: int, page: Page) -> list[RenderableType]:
    return [part for table in tables for part in _table(table, margin, page)]


def _table(table: Table, margin: int, page: Page) -> Iterator[RenderableType]:
    """Rows in columns as wide as they need to be; a row that has no room goes on below."""
    indent = margin if table.labels else 1
    first = int(table.labels)
    columns = _Columns(table, page.width - indent)
    last = ""
    for number, cells in enumerate(columns.rows):
        line = table.rows[number][0] if first else ()
        tone = next((piece.tone for piece in line if isinstance(piece, Toned)), None)
        label = _plain(line)
        below = table.below[number] if table.below else ()
        if below and number:
            yield ""
        # A label is said once for all rows that have it in common, unless it is a word on each.
        margin_text = _label("" if label == last and tone is None else label, tone or "faint")
        if columns.hold(cells):
            yield _beside(margin_text, columns.joined(cells), indent, page)
        else:
            yield _beside(margin_text, cells[0], indent, page)
            yield _indented(_spaced(cell for cell in cells[1:] if cell.plain), indent + 2)
        if below:
            yield _indented(prose([below], columns.room - 3), indent + 3)
        last = label


class _Columns:
    """The widths of a table's columns, made for as many rows as fit on one line each.

    A last column that is set to the right shares its room with the one before it.
    """

    def __init__(self, table: Table, room: int) -> None:
        self.room = room
        first = int(table.labels)
        self.rows = [[prose([cell], room) for cell in cells[first:]] for cells in table.rows]
        self.right = {number - first for number in table.right}
        self.flush = len(table.heads) - 1 in table.right
        self.widths = self._widths()

    def _widths(self) -> list[int]:
        fitting = [self._merged(cells) for cells in self.rows]
        while fitting:
            widths = [max(column) for column in zip(*fitting, strict=True)]
            if sum(widths) + GAP * (len(widths) - 1) <= self.room:
                return widths
            fitting.remove(max(fitting, key=sum))
        return []

    def _merged(self, cells: Sequence[Text]) -> list[int]:
        widths = [cell.cell_len for cell in cells]
        if self.flush:
            last = widths.pop()
            widths[-1] += GAP + last if last else 0
        return widths

    def hold(self, cells: Sequence[Text]) -> bool:
        """Whether a row fits on one line."""
        widths = zip(self._merged(cells), self.widths, strict=False)
        return bool(self.widths) and all(own <= width for own, width in widths)

    def joined(self, cells: Sequence[Text]) -> Text:
        """A row's cells, each in its column."""
        line = Text()
        for number, (cell, width) in enumerate(zip(cells, self.widths, strict=False)):
            cell = cell.copy()
            cell.align("right" if number in self.right else "left", max(width, cell.cell_len))
            line.append_text(cell).append(" " * GAP)
        line.rstrip()
        if self.flush and cells[-1].plain:
            line.append(" " * (self.room - line.cell_len - cells[-1].cell_len))
            line.append_text(cells[-1])
        return line


def _spaced(cells: Iterable[Text]) -> Text:
    return Text(" " * GAP).join(cells)


def _plain(line: Line) -> str:
    return "".join(
        piece if isinstance(piece, str) else str(getattr(piece, "text", "")) for piece in line
    )


def _indented(text: Text, indent: int) -> Padding:
    return Padding(text, (0, 0, 0, indent))


# ── charts and trees ──────────────────────────────────────────────────────────────────────────


def _charts(charts: Sequence[Chart], form: Form, margin: int, page: Page) -> list[RenderableType]:
    return [part for chart in charts for part in _chart(chart, page)]


def _chart(chart: Chart, page: Page) -> Iterator[RenderableType]:
    labels = max(cell_len(clean(label)) for label in chart.labels)
    marks = max(cell_len(mark) for mark in chart.marks)
    width = max(page.width - labels - marks - 7, LEAST_WIRE)
    grid = Grid.grid(padding=(0, GAP, 0, 0))
    for column in (labels + 1, width, marks):
        grid.add_column(width=column)
    if chart.low:
        grid.add_row("", Text(chart.low + chart.high.rjust(width - len(chart.low))), "")
    for label, bar, mark in zip(chart.labels, wires(chart.values, width), chart.marks, strict=True):
        grid.add_row(Text(f" {clean(label)}"), Text(bar), Text(mark))
    yield grid


def _trees(trees: Sequence[Branch], form: Form, margin: int, page: Page) -> list[RenderableType]:
    return [line for tree in trees for line in _branch(tree, "", "", page)]


def _branch(branch: Branch, before: str, below: str, page: Page) -> Iterator[Text]:
    """A node's lines and those below it: `before` stands before the first, `below` the others."""
    yield from _hanging([(branch.head,)], before, below, page)
    bar = below + ("│" if branch.branches else " ")
    for line in branch.about:
        yield from _hanging([line], f"{bar} ", f"{bar}   ", page)
    for number, under in enumerate(branch.branches, start=1):
        last = number == len(branch.branches)
        knot, wire = ("└─ ", "   ") if last else ("├─ ", "│  ")
        yield from _branch(under, below + knot, below + wire, page)


def _hanging(lines: Sequence[Line], first: str, others: str, page: Page) -> Iterator[Text]:
    width = max(page.width - cell_len(others) - 1, LEAST_BRANCH)
    wrapped = prose(lines, width).wrap(_console(page.width, page.colour), width)
    for number, line in enumerate(wrapped):
        line.rstrip()
        yield Text(f" {others if number else first}").append_text(line)


_SETTERS: Mapping[type, Callable[[Any, Form, int, Page], list[RenderableType]]] = {
    Row: _rows,
    Notice: _notices,
    Table: _tables,
    Chart: _charts,
    Branch: _trees,
}


# ── cards and reports ─────────────────────────────────────────────────────────────────────────


def report(report: Report, page: Page) -> str:
    """The whole report: its cards in order, and what they come to."""
    lines = [f" in {clean(report.folder)}", ""] if report.folder else []
    for card in report.cards:
        if page.quiet or card.short:
            lines += printed([_brief(card, page)], page)
        else:
            lines += ["", *_tag(card, page), ""]
    if not report.alone:
        closing = printed(
            [_rule_off(page), _indented(_parts(report.closing.split(" · "), page), 1)], page
        )
        lines += ["", *closing]
    return "\n".join(_squeezed(lines)) + "\n"


def _squeezed(lines: Iterable[str]) -> list[str]:
    """The lines without empty ones at either end, or two of them in a row."""
    kept: list[str] = []
    for line in lines:
        if line or (kept and kept[-1]):
            kept.append(line)
    return kept[:-1] if kept and not kept[-1] else kept


def _rule_off(page: Page) -> Text:
    return Text("─" * page.width, STYLES["faint"])


def _parts(parts: Iterable[str], page: Page) -> Text:
    """Parts of a line with a point between them; none is broken where it can be helped."""
    tied = [part.replace(" ", "\u00a0") for part in parts if part]
    return prose([("\u00a0· ".join(tied),)], page.width - 1)


def _brief(card: Card, page: Page) -> Grid:
    verdict = _verdict(card, " ")
    indent = max(MARGIN if page.quiet else 4, verdict.cell_len + 1)
    return _beside(verdict, _parts(card.brief, page), indent, page)


def _verdict(card: Card, mark: str) -> Text:
    return Text(f"{mark}{card.passage}").append(card.verdict, STYLES[card.tone])


def _tag(card: Card, page: Page) -> list[str]:
    """Head, body and closing lines; its bar is what an inspector's tag hangs by."""
    name = prose([(card.name,)], page.width - MARGIN)
    if card.stamped:
        words, indent = _verdict(card, " ▐ "), 3
        head: list[RenderableType] = [_beside(words, name, words.cell_len + 3, page)]
    else:
        head, indent = [_beside(_label(card.verdict, card.tone), name, MARGIN, page)], MARGIN
    head += [_indented(prose([line], page.width - indent), indent) for line in card.about]
    lines = printed([*head, _rule_off(page)], page)
    body = card.inside or inside(card.sections, page)
    lines += body.split("\n") if body else []
    return [*lines, "", *printed(_closing(card, page), page)] if card.closing else lines


def _closing(card: Card, page: Page) -> Iterator[RenderableType]:
    for line in card.closing:
        if isinstance(line, Row):
            yield from _rows([line], "list", MARGIN, page)
        else:
            text = _parts(_plain(line).split(" · "), page)
            if isinstance(line[0], Toned):
                text.stylize(STYLES[line[0].tone], 0, len(line[0].text))
            yield _indented(text, 1)
