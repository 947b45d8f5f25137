"""A terminal's screen as a picture: what `gonogo` prints in colour, drawn as an SVG.

`python -m tests.terminal_picture` draws the README's picture anew from a real run.
"""

from __future__ import annotations

import io
import os
import re
from collections.abc import Iterator
from contextlib import chdir
from html import escape
from pathlib import Path
from typing import NamedTuple
from unittest.mock import patch

from gonogo.commands import check

ROOT = Path(__file__).parents[1]
PICTURE = ROOT / "lint" / "topics" / "no-go.svg"
VEHICLE = ROOT / "examples" / "workshop" / "vehicles" / "dock.yaml"
DAY = "2026-11-25"
COLUMNS, ROWS = 80, 33
WIDE, HIGH, MARGIN, SIZE = 8.4, 18, 14, 14
PAPER, INK = "#1d1f21", "#e6e3dc"
COLOURS = {
    0: "#1d1f21",
    1: "#ff6b61",
    2: "#7fcf7f",
    3: "#f0c05a",
    5: "#e08adf",
    7: "#e6e3dc",
    15: "#ffffff",
}
GROUNDS = {1: "#b3261e", 2: "#7fcf7f", 3: "#f0c05a"}
WORDS = re.compile(r"\S+(?: \S+)*")  # what no picture sets closer; wider gaps it would
STYLE = re.compile(r"\x1b\[([0-9;]*)m")


class Screen(io.StringIO):
    """A terminal that keeps what is printed on it."""

    def isatty(self) -> bool:
        """Somebody sees it."""
        return True


class Run(NamedTuple):
    """Letters of one style, from a column on."""

    column: int
    text: str
    codes: tuple[int, ...]


def screen() -> str:
    """What a check of the vehicle prints on a terminal of 80 columns, in colour."""
    out = Screen()
    terminal = {"COLUMNS": str(COLUMNS), "LINES": "50", "TERM": "xterm", "NO_COLOR": ""}
    with patch.dict(os.environ, terminal), chdir(VEHICLE.parents[1]):
        check.run([VEHICLE], as_of=DAY, out=out)
    return out.getvalue()


def runs(line: str) -> Iterator[Run]:
    """A line's letters by style."""
    codes: tuple[int, ...] = ()
    column, end = 0, 0
    for mark in (*STYLE.finditer(line), None):
        text = line[end : mark.start() if mark else len(line)]
        if text:
            yield Run(column, text, codes)
        column += len(text)
        if mark:
            end = mark.end()
            new = tuple(int(code) for code in mark[1].split(";") if code)
            codes = () if 0 in new or not new else (*codes, *new)


def drawn(text: str) -> str:
    """The first rows of a screen as an SVG; rows that follow are a mark that it goes on."""
    lines = text.rstrip("\n").split("\n")
    shown = [*lines[: ROWS - 1], " …"] if len(lines) > ROWS else lines
    wide, high = COLUMNS * WIDE + 2 * MARGIN, len(shown) * HIGH + 2 * MARGIN
    body = [
        part for row, line in enumerate(shown) for run in runs(line) for part in _piece(run, row)
    ]
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:g} {high:g}" role="img"'
        f' width="{wide:g}" height="{high:g}">\n<title>gonogo check, a vehicle that is NO-GO</title>\n'
        f'<rect width="100%" height="100%" rx="6" fill="{PAPER}"/>\n'
        f'<g font-family="ui-monospace, monospace" font-size="{SIZE}">\n'
    )
    return head + "\n".join(body) + "\n</g>\n</svg>\n"


def _piece(run: Run, row: int) -> Iterator[str]:
    """The ground of a run where it has one, and its letters, each in its column."""
    x, y = MARGIN + run.column * WIDE, MARGIN + row * HIGH
    wide = len(run.text) * WIDE
    ground = next((GROUNDS[code - 40] for code in run.codes if 40 <= code < 48), "")
    if ground:
        yield f'<rect x="{x:g}" y="{y:g}" width="{wide:g}" height="{HIGH}" fill="{ground}"/>'
    colour = next((COLOURS[code - 30] for code in run.codes if 30 <= code < 38), INK)
    colour = next((COLOURS[code - 82] for code in run.codes if 90 <= code < 98), colour)
    marks = ' font-weight="bold"' if 1 in run.codes else ""
    marks += ' opacity="0.65"' if 2 in run.codes else ""
    marks += ' text-decoration="underline"' if 4 in run.codes else ""
    for words in WORDS.finditer(run.text):
        yield (
            f'<text x="{x + words.start() * WIDE:g}" y="{y + SIZE:g}"'
            f' textLength="{len(words[0]) * WIDE:g}" fill="{colour}"{marks}>{escape(words[0])}</text>'
        )


if __name__ == "__main__":
    PICTURE.write_text(drawn(screen()), "utf-8")
