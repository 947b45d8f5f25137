"""How wide a table's columns are for a terminal, and where the cells of a row stand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from operator import le

from rich.cells import cell_len
from rich.text import Text

from ..documents.text import clean
from .prose import in_a_row, prose, words_of, wrapped
from .section import Line, Table

GAP = 2
LEAST_NAME, ENOUGH_NAME = 8, 20
LEAST_END, END = 16, 30
LONG_ROWS = 8  # of so many rows one may be longer than its columns
VALUE_SHARE = 5  # of the room: what is usual between the name and the words at the end
RAGGED = 4  # what a line that wraps leaves free at its end


def _stripped(cell: Text) -> Text:
    """A cell without the blanks that set it off in its column."""
    line = cell[len(cell.plain) - len(cell.plain.lstrip()) :]
    line.rstrip()
    return line


def _others(widths: Sequence[int]) -> int:
    return sum(widths[1:])


class Columns:
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
        longest = max(self.heads_wide[0], *(row[0].cell_len for row in self.rows))
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
                said = f" · {self.heads[number]} " if self.heads[number] else ": "
                last = Text(said).join([last, before[number]])
                before[number] = Text()
        return [*before, last]

    def _room_at_the_end(self) -> int:
        """The room of the last column where it holds words that wrap, and the others leave it enough."""
        columns = zip(*([cell.cell_len for cell in row] for row in self._usual()), strict=True)
        before = [max(column) for column in columns][:-1]
        last = max(row[-1].cell_len for row in self.rows)
        if self.headed:
            end = min(last, self._enough_end())
            least = self.room - sum(before[1:]) - end - GAP * len(before)
            before[0] = self._name_room(min(before[0], max(least, LEAST_NAME)), before[1:])
        left: int = self.room - sum(before) - GAP * len(before)
        if not before or last <= (END if self.headed else LEAST_END) or left < LEAST_END:
            return 0
        self.widths = [*before, left]
        return left

    def _enough_end(self) -> int:
        """The room in which words at the end wrap well."""
        return max(LEAST_END, self.room // 3)

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
        middles = zip(*([cell.cell_len for cell in row[1:-1]] for row in whole), strict=True)
        taken = sum(max(column) + GAP for column in middles) + GAP
        if self.room - taken - self._enough_end() >= ENOUGH_NAME:
            return whole
        short = [row for row in whole if sum(cell.cell_len for cell in row[1:-1]) <= usual]
        return short or self.rows

    def _widths(self) -> list[int]:
        """The widths with which most rows fit: those that the shortest rows need, or all but long names."""
        needed = [self._needed(cells) for cells in self.rows]
        least = self._least_widths(needed)
        others = [max(column) for column in zip(*(row[1:] for row in needed), strict=True)]
        left = self.room - sum(others) - GAP * len(others)
        if len(least) < 2 or left < ENOUGH_NAME:
            return least
        wide = [min(max(row[0] for row in needed), left), *others]

        def fit(widths: list[int]) -> int:
            return sum(all(map(le, row, widths)) for row in needed)

        return wide if fit(wide) >= fit(least) else least

    def _least_widths(self, needed: Sequence[list[int]]) -> list[int]:
        fitting = list(needed)
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

    def placed(self, cells: Sequence[Text]) -> Iterator[Text]:
        """A row that has no room on one line: each cell in its column, on the next line if need be."""
        widths = [*self.widths, 0] if self.flush else self.widths
        if len(widths) != len(cells):
            yield cells[0]
            rest = Text(" " * GAP).join(cell for cell in cells[1:] if cell.plain)
            if rest.plain:
                yield from (
                    Text(" " * GAP).append_text(line) for line in wrapped(rest, self.room - GAP)
                )
            return
        line, begins = Text(), 0
        for number, (cell, width) in enumerate(zip(cells, widths, strict=True)):
            if cell.plain:
                start = begins
                if number in self.right:
                    end = self.room if self.flush and number == len(cells) - 1 else begins + width
                    start = end - cell.cell_len
                start = max(min(start, self.room - cell.cell_len), GAP if number else 0)
                if line.plain and line.cell_len + GAP > start:
                    yield line
                    line = Text()
                line.append(" " * (start - line.cell_len)).append_text(cell)
            begins += width + GAP
        yield line

    def joined(self, cells: Sequence[Text]) -> Text:
        """A row's cells, each in its column."""
        pieces: list[str | Text] = []
        for number, (cell, width) in enumerate(zip(cells, self.widths, strict=False)):
            gap = " " * (width - cell.cell_len)
            before, after = (gap, "") if number in self.right else ("", gap)
            pieces += (before, cell, after + " " * GAP)
        while pieces and not str(pieces[-1]).strip():
            pieces.pop()
        line = in_a_row(pieces)
        if self.flush and cells[-1].plain:
            line.append(" " * (self.room - line.cell_len - cells[-1].cell_len))
            line.append_text(cells[-1])
        return line
