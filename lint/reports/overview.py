"""The overview of a report for a terminal: a line for each card, in columns while they have room."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.text import Text

from ..documents.text import clean
from .column_widths import GAP
from .layout import Page
from .prose import STYLES, beside, indented, names_apart, prose, shortened
from .section import Card

LEAST_CELL = 8
LONGEST_HEAD = 20  # of a line in a list: a longer one has its row to itself


def overview(cards: Sequence[Card], page: Page) -> Iterator[Text]:
    """Cards in columns: verdict, name, what decided it, rules checked; in a quiet report a line each."""
    heads = [verdict_mark(card) for card in cards]
    page = page._replace(width=page.widest)
    lengths = [head.cell_len for head in heads]
    short = [one for one in lengths if one <= LONGEST_HEAD]
    margin = max(short or lengths, default=0) + GAP
    room = page.width - margin
    if page.quiet:
        rows = [[Text(clean(cell)) for cell in card.brief] for card in cards]
    else:
        rows = [[prose([(cell,)], room) for cell in card.brief] for card in cards]
    longest, middle, last = (max((row[at].cell_len for row in rows), default=0) for at in range(3))
    if page.quiet:
        most = max(room - last - 2 * GAP, LEAST_CELL)
        names = names_apart([row[0].plain for row in rows], max(most // 2, most - middle), most)
        rows = [[Text(name), *row[1:]] for name, row in zip(names, rows, strict=True)]
        wide = max((row[0].cell_len for row in rows), default=0)
    else:
        wide = min(longest, max(room // 3, LEAST_CELL))
    middle = max(min(middle, room - wide - (last + GAP if last else 0) - GAP), 0)
    for head, row in zip(heads, rows, strict=True):
        if page.quiet and head.cell_len + GAP > margin:
            line = _in_one_line(row, (wide, max(middle - head.cell_len - GAP + margin, 0), last))
            yield head.append(" " * GAP).append_text(line)
        elif head.cell_len + GAP > margin:  # a few long ones shall not take the room of all
            name, *rest = (cell for cell in (head, *row) if cell.plain)
            yield from _below_its_head(name, rest, margin, page)
        elif page.quiet or (row[0].cell_len <= wide and row[1].cell_len <= middle):
            line = _in_one_line(row, (wide, middle, last))
            yield head.append(" " * (margin - head.cell_len)).append_text(line)
        else:
            name, about, checked = row
            yield from beside(head, name.append(" " * GAP).append_text(checked), margin, page)
            yield from indented(about, margin + GAP, page)


def _below_its_head(head: Text, cells: Sequence[Text], margin: int, page: Page) -> Iterator[Text]:
    """A card with a long head, in one line if it fits; else what is told of it stands indented below."""
    apart = Text(" " * GAP)
    whole = apart.join([head, *cells])
    if whole.cell_len <= page.width:
        yield whole
        return
    first = apart.join([head, *cells[:1]])
    short = [first, *cells[1:]] if first.cell_len <= page.width else [head, *cells]
    yield from indented(short[0], 0, page)
    yield from indented(apart.join(short[1:]), margin + GAP, page)


def _in_one_line(row: Sequence[Text], widths: Sequence[int]) -> Text:
    """The cells of a row, each cut to its column's width; the last is set to its right edge."""
    line = Text()
    for cell, width in zip(row[:2], widths, strict=False):
        if width:
            cell = shortened(cell, width)
            line.append_text(cell).append(" " * (width - cell.cell_len + GAP))
    return line.append(" " * (widths[2] - row[2].cell_len)).append_text(row[2])


def verdict_mark(card: Card) -> Text:
    """The verdicts of a card, the last one coloured."""
    return Text(f" {card.passage}").append(card.verdict, STYLES[card.tone])
