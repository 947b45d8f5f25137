"""How a report is set: its width, colour or none, only the verdicts or all; and what may be shown."""

from __future__ import annotations

from dataclasses import dataclass

WIDTH = 80


@dataclass(frozen=True, slots=True)
class Page:
    """How a text report is set: columns, colour, only the verdicts, one profile or many."""

    width: int = WIDTH
    colour: bool = False
    quiet: bool = False
    alone: bool = True
