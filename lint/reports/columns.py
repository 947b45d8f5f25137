"""Tables, charts and trees for a terminal: in columns while they have room, else below each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.cells import cell_len
from rich.text import Text

from ..documents.text import clean
from .column_widths import GAP, Columns
from .layout import Page
from .prose import STYLES, beside, indented, label, prose, words_of, wrapped
from .section import Chart, Line, Table, Tone, Toned, TreeRow

LEAST_WIRE = 8
LEAST_BRANCH = 24
WIRE, BEAD, EMPTY = "·", "◆", " "


def table_lines(table: Table, margin: int, page: Page) -> Iterator[Text]:
    """Rows in columns as wide as they need to be; a row that has no room goes on below.

    What has no room beside the others in a headed table is said below each row, with its head.
    """
    indent = margin if table.labels else 1
    page = page._replace(width=page.widest)
    columns = Columns(table, page.width - indent)
    behind = columns.room_behind(table.below)
    last = ""
    if table.headed:
        heads = columns.joined([Text(head, STYLES["faint"]) for head in columns.heads])
        yield from beside(Text(), heads, indent, page)
    for number, whole in enumerate(columns.rows):
        words, tone = _row_label(table, number)
        cells, left_over = columns.split(whole)
        below = table.below[number] if table.below else ()
        begins_group = table.headed and not any(cell.plain for cell in whole[1:])
        if begins_group or (below and number and not table.headed):
            yield Text()
        # A label is said once for all rows that have it in common, unless it is a word on each.
        head = label("" if words == last and tone is None else words, tone or "faint")
        yield from _row_lines(head, cells, columns, indent, page, below if behind else ())
        yield from indented(left_over, indent + GAP, page) if left_over.plain else ()
        if below and not (behind and columns.hold(cells)):
            yield from indented(prose([below], columns.room - 3), indent + 3, page)
        last = words


def _row_lines(
    head: Text, cells: Sequence[Text], columns: Columns, indent: int, page: Page, behind: Line
) -> Iterator[Text]:
    """A row in its columns; a long name on a line of its own, a long end wrapped in its column."""
    if columns.hold(cells):
        line = columns.joined(cells)
        if behind:
            line.pad_right(sum(columns.widths) + GAP * len(columns.widths) - line.cell_len)
            line.append_text(prose([behind], page.width))
        yield from beside(head, line, indent, page)
        return
    cells = columns.said_last(cells)
    if columns.wraps and columns.hold([*cells[:-1], Text()]):
        yield from _wrapped_end(head, cells, columns, indent, page)
        return
    if columns.headed and columns.wraps:
        others = [Text(), *cells[1:]]
        if columns.hold([*others[:-1], Text()]):
            yield from beside(head, cells[0], indent, page)
            yield from _wrapped_end(Text(), others, columns, indent, page)
            return
    for line in columns.placed(cells):
        yield from beside(head, line, indent, page)
        head = Text()


def _wrapped_end(
    head: Text, cells: Sequence[Text], columns: Columns, indent: int, page: Page
) -> Iterator[Text]:
    """A row whose last cell is wrapped in its column."""
    before = columns.joined([*cells[:-1], Text("·")])
    before.truncate(columns.room - columns.wraps)
    start = Text().append_text(head).append(" " * (indent - head.cell_len)).append_text(before)
    return beside(start, cells[-1], indent + columns.room - columns.wraps, page)


def _row_label(table: Table, number: int) -> tuple[str, Tone | None]:
    line: Line = table.rows[number][0] if table.labels else ()
    tones = [fragment.tone for fragment in line if isinstance(fragment, Toned)]
    return words_of(line), tones[0] if tones else None


def chart_lines(chart: Chart, page: Page) -> Iterator[Text]:
    """A bead for each value, with its label before it and its mark behind it."""
    before = max(cell_len(clean(words)) for words in chart.labels) + 1 + GAP
    room = page.width - before - max(map(len, chart.marks)) - 2 * GAP
    width = max(room, LEAST_WIRE)
    if chart.low:
        yield Text(" " * before + chart.low + chart.high.rjust(width - len(chart.low)))
    for words, bar, mark in zip(chart.labels, wires(chart.values, width), chart.marks, strict=True):
        line = Text(f" {clean(words)}")
        line.pad_right(before - line.cell_len)
        yield line.append(f"{bar}{' ' * GAP}{mark}")


def wires(values: Sequence[float | None], width: int) -> list[str]:
    """Each value as a bead on a wire of so many columns; an empty wire where there is none.

    The left end is the least value and the right end the most, so that small steps are seen.

    >>> wires([1.0, 2.0, None, 3.0], 5)
    ['◆····', '··◆··', '     ', '····◆']
    """
    known = [value for value in values if value is not None]
    low, high = min(known, default=0.0), max(known, default=0.0)
    return [_wire(value, low, high, width) for value in values]


def _wire(value: float | None, low: float, high: float, width: int) -> str:
    if value is None:
        return EMPTY * width
    place = round((value - low) / (high - low) * (width - 1)) if high > low else (width - 1) // 2
    return WIRE * place + BEAD + WIRE * (width - 1 - place)


def tree_lines(branch: TreeRow, page: Page) -> Iterator[Text]:
    """A node, what is said about it, and the branches below it."""
    yield from _branch(branch, "", "", page)


def _branch(branch: TreeRow, before: str, below: str, page: Page) -> Iterator[Text]:
    """`before` stands before a node's first line, `below` before the others."""
    yield from _grown((branch.head,), before, below, page)
    bar = below + ("│" if branch.branches else " ")
    for line in branch.about:
        yield from _grown(line, f"{bar} ", f"{bar}   ", page)
    for number, under in enumerate(branch.branches, start=1):
        last = number == len(branch.branches)
        knot, stem = ("└─ ", "   ") if last else ("├─ ", "│  ")
        yield from _branch(under, below + knot, below + stem, page)


def _grown(line: Line, first: str, others: str, page: Page) -> Iterator[Text]:
    width = max(page.width - len(others) - 1, LEAST_BRANCH)
    for number, words in enumerate(wrapped(prose([line], width), width)):
        yield Text(f" {others if number else first}").append_text(words)
