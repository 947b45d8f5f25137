"""How a report is set: its width, colour or none, only the verdicts or all; and what may be shown."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass

WIDTH = 80
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
