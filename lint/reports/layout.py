"""How a report is set: its width, colour or none, only the verdicts or all; and what may be shown."""

from __future__ import annotations

from typing import NamedTuple

WIDTH = 80


class Page(NamedTuple):
    """How a text report is set: columns, colour, only the verdicts, one profile or many."""

    width: int = WIDTH
    colour: bool = False
    quiet: bool = False
    alone: bool = True
