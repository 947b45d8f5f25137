"""What a report says, apart from how it is set: cards with sections of rows, notices and tables.

Each subject (a check, a comparison, windows, …) makes its page of these once; `text`, `html` and
`markdown` set any page. Texts are as they came: whoever sets them makes them safe. The classes are
named tuples, since to make a dataclass takes a start eight times as long.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal, NamedTuple

Tone = Literal[
    "danger",
    "fault",
    "advice",
    "go",
    "no-go",
    "incomplete",
    "value",
    "faint",
    "bold",
    "good",
    "advised",
]


class Code(NamedTuple):
    """A name, or another piece of text, as it is written in a document."""

    text: str


class Toned(NamedTuple):
    """A piece of text that stands out."""

    text: str
    tone: Tone


class Excerpt(NamedTuple):
    """A document's line with the value that begins at a column; each format cuts it to its room."""

    line: str
    column: int


Fragment = str | Code | Toned | Excerpt
Line = tuple[Fragment, ...]  # pieces that follow each other

# What a row says of its notice: where it stands, what to do, what it was worked out from; an aside
# is left out where room is dear. A group is the title of the points that follow it; it stands apart
# from what is before it, as does what comes after the points.
Role = Literal["", "place", "act", "working", "aside", "group", "point", "apart"]
SEVERE = ("danger", "fault", "advice")  # the tones of a finding, whose bar runs down beside it


class Row(NamedTuple):
    """A label and what belongs to it, in one line or several; without a label the last one goes on."""

    label: str
    lines: tuple[Line, ...]
    tone: Tone = "faint"
    role: Role = ""


class Notice(NamedTuple):
    """Something to be shown under a label of its own, such as a finding, with rows below it.

    `where` says in few words where it stands, for a table that has no room for the document's line.
    """

    label: str
    text: Line
    rows: tuple[Row, ...] = ()
    tone: Tone = "faint"
    where: tuple[Line, ...] = ()


class Table(NamedTuple):
    """Cells under heads. With `labels` the first column holds labels, which stand in the margin.

    The columns numbered in `right` are set to their right edge; `below` has a line for each row,
    set under it across all columns, or behind it where there is room. A `headed` table shows its
    heads, and a row with nothing but its first cell begins a group.
    """

    heads: tuple[str, ...]
    rows: tuple[tuple[Line, ...], ...]
    labels: bool = True
    right: tuple[int, ...] = ()
    below: tuple[Line, ...] = ()
    headed: bool = False


class Chart(NamedTuple):
    """Values as beads on a wire, each with a label before it and a mark behind it.

    `low` and `high` say what the ends of the wire stand for; empty where all values are the same.
    """

    labels: tuple[str, ...]
    values: tuple[float | None, ...]
    marks: tuple[str, ...]
    low: str = ""
    high: str = ""


class PlotLine(NamedTuple):
    """A named line of a plot, through its points from left to right; `dashed` where it is a comparison."""

    name: str
    points: tuple[tuple[float, float], ...]
    dashed: bool = False


class Plot(NamedTuple):
    """Curves over one axis, both axes from nought; for formats that draw. A terminal has a chart."""

    across: str
    upward: str
    curves: tuple[PlotLine, ...]
    told: str  # the plot in words, for who does not see it


class ScaleBand(NamedTuple):
    """A stretch of a scale from `low` to `high`; its letter in the drawing is that of its place."""

    name: str
    low: float
    high: float
    tone: Tone = "faint"


class Scale(NamedTuple):
    """A line of numbers with bands along it and numbered marks on it; for formats that draw.

    The table beside it says what its letters and numbers mean; a band lies below one that it
    overlaps.
    """

    across: str
    bands: tuple[ScaleBand, ...]
    marks: tuple[tuple[str, float], ...]
    told: str  # the scale in words, for who does not see it
    from_nought: bool = False


class TreeRow(NamedTuple):
    """A node of a tree: its head, lines about it, and the branches that it came from."""

    head: str
    about: tuple[Line, ...]
    branches: tuple[TreeRow, ...]


class Passage(NamedTuple):
    """Words across the whole width; with a `mark` before them they are a point of a list."""

    text: Line
    mark: str = ""


class Verbatim(NamedTuple):
    """Lines shown as they stand, such as a document or a screen; `language` is a document's."""

    lines: tuple[str, ...]
    language: str = ""


Block = Row | Notice | Table | Chart | Plot | Scale | TreeRow | Passage | Verbatim
# Notices in full; in full, but never in a table; by their sentence and rule; as work to tick off.
# A whole section has no notices and is not parted between two sheets of paper.
Form = Literal["full", "list", "brief", "work", "whole"]


class Section(NamedTuple):
    """What stands under one title, or belongs together without one."""

    title: str
    blocks: tuple[Block, ...]
    form: Form = "full"


class Card(NamedTuple):
    """One vehicle's part of a report: a head, what it says inside, and how it ends.

    `inside` was set before, by the format that sets the card; `sections` are set with it. `brief` is
    the card as a row of a table: name, what decided its verdict, rules checked; a `short` card is
    shown so where the format has short ones.
    `passage` stands before the verdict and is not coloured, `note` in brackets and `coverage` behind
    it; one not `stamped` has a plain head, and one without a verdict nothing but its name. In a list
    cards stand by their `rank`, and one that is `in_fold` is told there with its like alone.
    """

    verdict: str
    tone: Tone
    name: str
    passage: str = ""
    note: str = ""
    coverage: str = ""
    about: tuple[Line, ...] = ()
    inside: str = ""
    sections: tuple[Section, ...] = ()
    closing: tuple[Row | Line, ...] = ()
    brief: tuple[str, ...] = ()
    short: bool = False
    stamped: bool = True
    rank: int = 0
    in_fold: bool = False


def in_list(cards: Sequence[Card], folded: Sequence[Card]) -> list[Card]:
    """Cards as they stand in a list: those of several vehicles among those of one, by their ranks."""
    apart = (card for card in cards if not card.in_fold)
    return sorted((*apart, *folded), key=lambda card: card.rank)


def behind(card: Card) -> str:
    """What stands behind a card's verdict: ` (1 fault waived) · 140 of 146 rules`."""
    note = f" ({card.note})" if card.note else ""
    return f"{note} · {card.coverage}" if card.coverage else note


class Report(NamedTuple):
    """A whole report. An only card, `alone`, needs no `closing`; `folder` holds all files.

    Of many vehicles a `tally` and a `summary` stand first, the `first` cards between them. Of a `fleet` a terminal shows cards by
    their `brief`; cards that are short are not shown but those they were `folded` into.
    """

    title: str
    cards: tuple[Card, ...]
    lead: str = ""
    judged_on: str = ""
    tool: str = ""
    closing: str = ""
    folder: str = ""
    alone: bool = True
    tally: str = ""
    summary: tuple[Section, ...] = ()
    first: int = 0
    fleet: bool = False
    folded: tuple[Card, ...] = ()


class Detail(NamedTuple):
    """How much a format tells: so many of a long list, the others counted; None for all.

    Without `inside` a card says its verdict only, without `passed` that of a vehicle that is GO; with
    `every` small changes are told too, with `unchecked` each rule that could not be checked.
    """

    waiting: int | None = None
    margins: int | None = None
    inside: bool = True
    passed: bool = True
    every: bool = False
    unchecked: bool = False


def row(label: str, *lines: Fragment | Line, tone: Tone = "faint", role: Role = "") -> Row:
    """A row; lines that say nothing are left out."""
    whole = map(_as_line, lines)
    return Row(label, tuple(line for line in whole if any(map(_says, line))), tone, role)


def _as_line(words: Fragment | Line) -> Line:
    return (words,) if isinstance(words, str | Code | Toned | Excerpt) else words


def _says(piece: Fragment) -> bool:
    return bool(piece if isinstance(piece, str) else isinstance(piece, Excerpt) or piece.text)


def nonempty(rows: Iterable[Row]) -> tuple[Row, ...]:
    """The rows that say something."""
    return tuple(row for row in rows if row.lines)
