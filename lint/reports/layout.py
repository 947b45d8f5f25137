"""The layout of a text report: its width, its columns, its colours."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from ..documents.text import clean
from ..documents.units import UNITS, unit_symbol

INDENT = 12
_WORDS = sorted({unit_symbol(unit) for unit in UNITS if unit}, key=len, reverse=True)
_BEFORE_UNIT = re.compile(rf"(?<=\d) (?=(?:{'|'.join(map(re.escape, _WORDS))})(?![\w/]))")

WIDTH = 80
# The marks of our own reports: one column each, so that most lines need no closer look.
NARROW = str.maketrans(dict.fromkeys("→−·°Ωµ²×…»«─▐◆\u00a0", " "))


@dataclass(frozen=True, slots=True)
class Page:
    """How a text report is set: columns, colour, only the verdicts, one profile or many."""

    width: int = WIDTH
    colour: bool = False
    quiet: bool = False
    alone: bool = True


def columns(text: str) -> int:
    """How many columns a terminal gives the text: two for a wide letter, none for an accent.

    >>> columns("6 Ω"), columns("車")
    (3, 2)
    """
    if text.isascii() or text.translate(NARROW).isascii():
        return len(text)
    return sum(_columns(letter) for letter in text)


def _columns(letter: str) -> int:
    if unicodedata.combining(letter) or unicodedata.category(letter) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(letter) in ("W", "F") else 1


def wrapped(text: str, width: int) -> list[str]:
    """The text in lines of at most `width` columns, broken between words where that can be.

    A no-break space holds a number and its unit together and is shown as a space.
    """
    words = [word for word in text.split(" ") if word]
    whole = " ".join(words)
    if columns(whole) <= width:
        return [whole.replace("\u00a0", " ")]
    lines = [""]
    for word in words:
        for piece in _pieces(word, width):
            joined = f"{lines[-1]} {piece}" if lines[-1] else piece
            if columns(joined) <= width:
                lines[-1] = joined
            else:
                lines.append(piece)
    return [line.replace("\u00a0", " ") for line in lines]


def _pieces(word: str, width: int) -> list[str]:
    """A word cut to fit; a path or a dotted name is cut after its mark where one is near."""
    pieces = []
    while columns(word) > width:
        end, used = 0, 0
        while used + _columns(word[end]) <= width:
            used += _columns(word[end])
            end += 1
        mark = max(word.rfind(letter, 0, end) for letter in "\u00a0/._-")
        end = mark + 1 if mark + 1 > end // 2 else max(end, 1)
        pieces.append(word[:end])
        word = word[end:]
    return [*pieces, word]


def set_beside(label: str, text: str, page: Page, indent: int) -> list[str]:
    """Lines with a label in the margin and the text beside it."""
    lines = wrapped(text, page.width - indent)
    margin = f" {label}".ljust(indent)
    return [
        f"{margin if number == 0 else ' ' * indent}{line}".rstrip()
        for number, line in enumerate(lines)
    ]


Paint = Literal["danger", "fault", "caution", "go", "no-go", "incomplete", "value", "faint", "bold"]

CODES: dict[Paint, str] = {
    "danger": "1;31",
    "fault": "1;35",
    "caution": "1;33",
    "go": "1;30;42",
    "no-go": "1;97;41",
    "incomplete": "1;30;43",
    "value": "1;4",
    "faint": "2",
    "bold": "1",
}


def painted(text: str, paint: Paint, colour: bool) -> str:
    """The text in its colour, or as it is where there is none to be had.

    >>> painted("GO", "go", False)
    'GO'
    """
    return f"\x1b[{CODES[paint]}m{text}\x1b[0m" if colour and text else text


LONGEST_NAME = 34


class Moved(NamedTuple):
    """A value that moved, ready to be set in columns."""

    label: str
    name: str
    values: str
    how_far: tuple[str, ...]

    def distance(self, room: int) -> str | None:
        """How far the values are apart, in so many columns; None where that has no room."""
        full = ", ".join(part for part in self.how_far if part)
        short = ", ".join(part for part in (self.how_far[0], self.how_far[-1]) if part)
        fitting = (said for said in (full, short) if not said or columns(said) < room)
        return next(fitting, None) if room >= 0 else None


def in_columns(moved: Sequence[Moved], page: Page) -> list[str]:
    """Names, both values and how far they are apart; on two lines where one has no room."""
    widths = [columns(one.name) for one in moved]
    names = max((width for width in widths if width <= LONGEST_NAME), default=0)
    lines: list[str] = []
    before = ""
    for one, width in zip(moved, widths, strict=True):
        label = one.label if one.label != before else ""
        before = one.label
        room = page.width - INDENT - names - 1 - columns(one.values)
        how_far = one.distance(room)
        if width <= names and how_far is not None:
            margin = f" {painted(label, 'faint', page.colour)}{' ' * (INDENT - 1 - len(label))}"
            gap = " " * (names + 1 - width)
            lines.append(f"{margin}{one.name}{gap}{one.values}{how_far.rjust(room)}".rstrip())
            continue
        how_far = one.distance(page.width)
        said = f"{one.values} ({how_far})" if how_far else one.values
        lines += [*row(label, one.name, page), *set_beside("", said, page, INDENT + 2)]
    return lines


def together(text: str) -> str:
    """The text with each number tied to its unit, so that no line ends between them.

    >>> together("120 A rms at most").encode("unicode_escape")
    b'120\\\\xa0A rms at most'
    """
    return _BEFORE_UNIT.sub("\u00a0", text)


def row(label: str, text: str, page: Page, paint: Paint = "faint") -> list[str]:
    """A label in the margin and the text beside it."""
    lines = set_beside(label, together(clean(text)), page, INDENT)
    lines[0] = f" {painted(label, paint, page.colour)}{lines[0][len(label) + 1 :]}"
    return lines
