"""How a report is set: its widths, colour or none, only the verdicts or all; and what may be shown."""

from __future__ import annotations

from typing import NamedTuple

WIDTH = 80


class Page(NamedTuple):
    """How a text report is set: columns, colour, only the verdicts, one profile or many.

    A `fleet` is told in a line a vehicle, `whole` every vehicle with all that was found.

    Sentences keep to `width`; a table may take `full` columns where the terminal has more. It is
    `seen` where a terminal shows it, which breaks what is longer than that, and `bold` where it can
    show what stands out, in colour or not.
    """

    width: int = WIDTH
    colour: bool = False
    quiet: bool = False
    alone: bool = True
    full: int = 0
    every: bool = False
    unchecked: bool = False
    seen: bool = False
    bold: bool = False
    fleet: bool = False
    whole: bool = False

    @property
    def widest(self) -> int:
        """How many columns a table may take."""
        return max(self.full, self.width)
