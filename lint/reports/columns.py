"""Tables, charts and trees for a terminal: in columns while they have room, else below each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.cells import cell_len
from rich.text import Text

from ..documents.text import clean
from .layout import Page
from .prose import STYLES, beside, indented, label, prose, words_of, wrapped
from .section import Chart, Line, Table, Tone, Toned, TreeRow

GAP = 2
LEAST_NAME, ENOUGH_NAME = 8, 20
LEAST_END, END = 16, 30
LONG_ROWS = 8  # of so many rows one may be longer than its columns
VALUE_SHARE = 5  # of the room: what is usual between the name and the words at the end
RAGGED = 4  # what a line that wraps leaves free at its end
LEAST_WIRE = 8
LEAST_BRANCH = 24
WIRE, BEAD, EMPTY = "·", "◆", " "


def table_lines(table: Table, margin: int, page: Page) -> Iterator[Text]:
    """Rows in columns as wide as they need to be; a row that has no room goes on below.

    What has no room beside the others in a headed table is said below each row, with its head.
    """
    indent = margin if table.labels else 1
    page = page._replace(width=page.widest)
    columns = _Columns(table, page.width - indent)
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
    head: Text, cells: Sequence[Text], columns: _Columns, indent: int, page: Page, behind: Line
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
    if columns.headed and not columns.wraps and (shifted := columns.shifted(cells)) is not None:
        yield from beside(head, shifted, indent, page)
        return
    yield from beside(head, cells[0], indent, page)
    others = [Text(), *cells[1:]]
    if columns.headed and columns.hold(others):
        yield from indented(columns.joined(others), indent, page)
        return
    if columns.headed and columns.wraps and columns.hold([*others[:-1], Text()]):
        yield from _wrapped_end(Text(), others, columns, indent, page)
        return
    rest = Text(" " * GAP).join(cell for cell in cells[1:] if cell.plain)
    yield from indented(rest, indent + GAP, page) if rest.plain else ()


def _wrapped_end(
    head: Text, cells: Sequence[Text], columns: _Columns, indent: int, page: Page
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


def _stripped(cell: Text) -> Text:
    """A cell without the blanks that set it off in its column."""
    line = cell[len(cell.plain) - len(cell.plain.lstrip()) :]
    line.rstrip()
    return line


def _others(widths: Sequence[int]) -> int:
    return sum(widths[1:])


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
        self.heads = table.heads[first:]
        self.headed = table.headed
        self.wraps = 0
        self.widths = (table.headed and self._below_heads()) or self._widths()
        if not self.flush and not (self._all_kept() and all(map(self.hold, self.rows))):
            self.wraps = self._room_at_the_end()
        if self.wraps:
            for row, cells in zip(self.rows, table.rows, strict=True):
                row[-1] = prose([cells[-1]], self.wraps)

    def _below_heads(self) -> list[int]:
        """As many columns as there is room for, as wide as they need to be.

        Better a few rows longer than their columns, and names too long for theirs on lines of their
        own, than a column less.
        """
        whole = [row for row in self.rows if any(cell.plain for cell in row[1:])]
        longest = max((row[0].cell_len for row in self.rows), default=0)
        for least in (min(longest, ENOUGH_NAME), LEAST_NAME):
            for kept in range(len(self.heads), 1, -1):
                wide = sorted(
                    ([cell.cell_len for cell in row[:kept]] for row in whole), key=_others
                )
                for usual in (wide, wide[: len(wide) - len(wide) // LONG_ROWS]):
                    columns = zip(*usual, self.heads_wide[:kept], strict=True)
                    others = [max(column) for column in columns][1:]
                    left = self.room - sum(others) - GAP * len(others)
                    if left >= least:
                        return [min(longest, left), *others]
        return []

    def _all_kept(self) -> bool:
        return len(self.widths) == len(self.heads)

    @property
    def heads_wide(self) -> list[int]:
        """How wide each head is."""
        return [len(head) for head in self.heads]

    def split(self, cells: Sequence[Text]) -> tuple[Sequence[Text], Text]:
        """The cells that have a column, and the others in words, each with its head."""
        if not self.headed or not self.widths:
            return cells, Text()
        kept = len(self.widths)
        others = zip(self.heads[kept:], cells[kept:], strict=False)
        said = [
            Text(f"{head}: " if head else "").append_text(_stripped(cell))
            for head, cell in others
            if cell.plain
        ]
        return cells[:kept], Text(" · ").join(said)

    def said_last(self, cells: Sequence[Text]) -> Sequence[Text]:
        """A row whose middle cells are too wide for their columns, said behind its wrapped end instead."""
        if not (self.headed and self.wraps):
            return cells
        *before, last = cells
        for number in range(1, len(before)):
            if before[number].cell_len > self.widths[number]:
                last = Text(": ").join([last, before[number]])
                before[number] = Text()
        return [*before, last]

    def _room_at_the_end(self) -> int:
        """The room of the last column where it holds words that wrap, and the others leave it enough."""
        columns = zip(*([cell.cell_len for cell in row] for row in self._usual()), strict=True)
        *before, last = (max(column) for column in columns)
        if self.headed:
            end = min(last, max(LEAST_END, self.room // 3))
            least = self.room - sum(before[1:]) - end - GAP * len(before)
            before[0] = self._name_room(min(before[0], max(least, LEAST_NAME)), before[1:])
        left: int = self.room - sum(before) - GAP * len(before)
        if not before or last <= (END if self.headed else LEAST_END) or left < LEAST_END:
            return 0
        self.widths = [*before, left]
        return left

    def _name_room(self, most: int, others: Sequence[int]) -> int:
        """The room of the names with which the table is shortest.

        A long name on a line of its own costs one; words that have more room wrap less.
        """
        left = self.room - sum(others) - GAP * (len(others) + 1)

        def lines(room: int) -> int:
            end = max(left - room - RAGGED, 1)
            return sum(-(-row[-1].cell_len // end) + (row[0].cell_len > room) for row in self.rows)

        return min(range(most, min(ENOUGH_NAME, most) - 1, -1), key=lines)

    def _usual(self) -> list[list[Text]]:
        """The rows that decide how wide columns are: in a headed table without those of long values."""
        if not self.headed:
            return self.rows
        usual = self.room // VALUE_SHARE
        whole = [row for row in self.rows if any(cell.plain for cell in row[1:])]
        short = [row for row in whole if sum(cell.cell_len for cell in row[1:-1]) <= usual]
        return short or self.rows

    def _widths(self) -> list[int]:
        fitting = [self._needed(cells) for cells in self.rows]
        while fitting:
            widths = [max(column) for column in zip(*fitting, strict=True)]
            if sum(widths) + GAP * (len(widths) - 1) <= self.room:
                return widths
            fitting.remove(max(fitting, key=sum))
        return []

    def room_behind(self, below: Sequence[Line]) -> bool:
        """Whether what stands below the rows has room behind them instead."""
        longest = max((cell_len(clean(words_of(line))) for line in below), default=0)
        return sum(self.widths) + GAP * len(self.widths) + longest <= self.room

    def _needed(self, cells: Sequence[Text]) -> list[int]:
        widths = [cell.cell_len for cell in cells]
        if self.flush:
            last = widths.pop()
            widths[-1] += GAP + last if last else 0
        return widths

    def hold(self, cells: Sequence[Text]) -> bool:
        """Whether a row fits on one line."""
        widths = zip(self._needed(cells), self.widths, strict=False)
        return bool(self.widths) and all(needed <= width for needed, width in widths)

    def shifted(self, cells: Sequence[Text]) -> Text | None:
        """A row with a cell too wide for its column, which begins further left; None without room."""
        if self.right or len(cells) > len(self.widths):
            return None
        line, begins = Text(), 0
        for cell, width in zip(cells, self.widths, strict=False):
            gap = min(begins, begins + width - cell.cell_len) - line.cell_len
            line.append(" " * max(gap, GAP if line.plain else 0)).append_text(cell)
            begins += width + GAP
        line.rstrip()
        return line if line.cell_len <= self.room else None

    def joined(self, cells: Sequence[Text]) -> Text:
        """A row's cells, each in its column."""
        line = Text()
        for number, (cell, width) in enumerate(zip(cells, self.widths, strict=False)):
            gap = " " * (width - cell.cell_len)
            before, after = (gap, "") if number in self.right else ("", gap)
            line.append(before).append_text(cell).append(after + " " * GAP)
        line.rstrip()
        if self.flush and cells[-1].plain:
            line.append(" " * (self.room - line.cell_len - cells[-1].cell_len))
            line.append_text(cells[-1])
        return line


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
