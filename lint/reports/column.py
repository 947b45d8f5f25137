"""Values that moved, in columns: the name, both values, and how far they are apart."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from .page import Page, columns, set_beside
from .palette import painted
from .tag import INDENT, row

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
