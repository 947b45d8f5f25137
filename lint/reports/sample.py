"""A screen that a topic shows, set anew where the terminal is narrower than it was."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from rich.cells import cell_len
from rich.text import Text

from .prose import EDGE, wrapped

RULED = "─"
_LABELLED = 8  # columns of the shortest label with its blanks; what has less is a head
_LEAST = 8  # columns for words, however little there is
HEAD = re.compile(rf"^ (?:{EDGE} )?(?:[\w-]+(?: [\w-]+)*)?\s{{2,}}|^ {EDGE}\s+|^\s+")


def narrowed(lines: Sequence[str], width: int) -> list[str]:
    """The lines of a screen at a smaller width: labels stay, what goes on is joined and broken anew.

    >>> narrowed([" do        Set it to 40 A", "           or less."], 20)
    [' do        Set it to', '           40 A or', '           less.']
    """
    if max(map(cell_len, lines), default=0) <= width:
        return list(lines)
    return [line for head, words in _rows(lines) for line in _set(head, words, width)]


def _rows(lines: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Each label with its bar, and all the words beside it."""
    row: tuple[str, str] | None = None
    for line in lines:
        head, words = _parted(line)
        bare = not head.strip(f" {EDGE}")
        goes_on = row is not None and len(head) == len(row[0]) >= _LABELLED
        if row is not None and goes_on and bare and words and row[1]:
            row = (row[0], f"{row[1]} {words}")
            continue
        if row is not None:
            yield row
        row = (head, words)
    if row is not None:
        yield row


def _parted(line: str) -> tuple[str, str]:
    """The label with its bar and the blanks behind it, and the words."""
    found = HEAD.match(line)
    head = found[0] if found else ""
    return head, line[len(head) :]


def _set(head: str, words: str, width: int) -> Iterator[str]:
    if words and not words.strip(RULED):
        yield RULED * width
        return
    room = max(width - len(head), _LEAST)
    below = re.sub(rf"[^ {EDGE}]", " ", head)
    for number, line in enumerate(wrapped(Text(words), room)):
        yield f"{below if number else head}{line.plain}".rstrip()
