"""The page a report is set on: its width in columns, its lines, and what may stand on it."""

from __future__ import annotations

import unicodedata

from ..documents.dataclass import dataclass

WIDTH = 80
# The marks of our own reports: one column each, so that most lines need no closer look.
NARROW = str.maketrans(dict.fromkeys("→−·°Ωµ²×…»«─▐◆\u00a0", " "))
# Marks that turn the reading direction: a name could dress up as another one.
TURNING = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


@dataclass(frozen=True, slots=True)
class Page:
    """How a text report is set: columns, colour, only the verdicts, one profile or many."""

    width: int = WIDTH
    colour: bool = False
    quiet: bool = False
    alone: bool = True


def clean(text: object) -> str:
    """The text without anything that moves a terminal's cursor or turns its direction.

    >>> clean("Larch\\x1b[2J\\tbike")
    'Larch[2J bike'
    """
    kept = str(text)
    if kept.isprintable():
        return kept
    spaced = "".join(" " if letter in "\t\r\n\u2028\u2029" else letter for letter in kept)
    return "".join(letter for letter in spaced if not _moves(letter))


def _moves(letter: str) -> bool:
    return letter in TURNING or unicodedata.category(letter) in ("Cc", "Cs", "Zl", "Zp")


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
