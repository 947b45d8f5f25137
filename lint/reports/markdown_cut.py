"""Markdown that fits in one comment: cut at a vehicle, the worst kept, and what was cut is said.

A discussion takes no comment above some size, and a report that is refused there is read by nobody.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import accumulate
from typing import NamedTuple

# Bytes of UTF-8: of characters there are never more. Common practice of code hosts, no source.
LARGEST_COMMENT = 65_536
MOST_CUT_NAMES = 40
SPLIT_MARK = r"(?:\\+|&[^;]*)$"
BLOCK_BREAK = "\n\n"
MOST_OF_TAIL = (
    8  # the part of all that it may take: a stranger's files may have names of any length
)
FENCES = ("```", "~~~")


class CommentPiece(NamedTuple):
    """One vehicle's part of a report; name and text are Markdown that is safe already."""

    name: str
    text: str


def fitted_comment(
    head: str, pieces: Sequence[CommentPiece], tail: str, limit: int = LARGEST_COMMENT
) -> str:
    """The head, as many pieces from the first on as there is room for, and the tail.

    What is left out is said, with its names. A first piece that is too long by itself, and a head
    that is, end at a line: in a table of findings that is at a finding.

    >>> fitted_comment("# Report", [CommentPiece("Alder", "## Alder"), CommentPiece("Elm", "## Elm")], "2 vehicles")
    '# Report\\n\\n## Alder\\n\\n## Elm\\n\\n2 vehicles\\n'
    """
    texts = [piece.text for piece in pieces]
    whole = _joined(head, *texts, tail)
    if _size(whole) <= limit:
        return whole
    tail = _clipped(tail, limit // MOST_OF_TAIL)
    sizes = [0, *accumulate(_size(text) + len(BLOCK_BREAK) for text in texts)]
    for count in range(len(pieces) - 1, 0, -1):
        note = _left_out(pieces, count, "", limit)
        if _size(_joined(head, note, tail)) + sizes[count] <= limit:
            return _joined(head, *texts[:count], note, tail)
    return _cut_inside(head, pieces, tail, limit)


def _cut_inside(head: str, pieces: Sequence[CommentPiece], tail: str, limit: int) -> str:
    """Not even one piece fits: as many of its lines as do."""
    name = pieces[0].name if pieces else ""
    note = _left_out(pieces, 1, name, limit)
    room = limit - _size(_joined(head, note, tail)) - len(BLOCK_BREAK)
    begun = _beginning(pieces[0].text, room) if pieces else ""
    if begun:
        return _joined(head, begun, note, tail)
    note = _left_out(pieces, 0, "", limit)
    room = limit - _size(_joined(note, tail)) - len(BLOCK_BREAK)
    return _joined(_beginning(head, room), note, tail)


def _left_out(pieces: Sequence[CommentPiece], count: int, begun: str, limit: int) -> str:
    """That all after so many pieces is not here, and that of the one `begun` only the beginning is."""
    names = [piece.name for piece in pieces[count:]]
    words = [f"only the beginning of {begun} stands here"] if begun else []
    if names:
        more = len(names) - MOST_CUT_NAMES
        few = "; ".join(names[:MOST_CUT_NAMES]) + (f"; and {more} more" if more > 0 else "")
        words.append(f"{len(names)} of {len(pieces)} vehicles and files are left out ({few})")
    elif not begun:
        words.append("the rest of the summary is left out")
    told = ", and ".join(words)
    return (
        f"**Cut to fit in a comment of {limit:,} bytes**: {told}. With `--full` all of it is told."
    )


def _beginning(text: str, room: int) -> str:
    """The lines of a text that there is room for, none of a code block that does not end."""
    kept: list[str] = []
    used, fence_at = -1, -1
    for line in text.split("\n"):
        used += _size(line) + 1
        if used > room:
            break
        if line.startswith(FENCES):
            fence_at = len(kept) if fence_at < 0 else -1
        kept.append(line)
    else:
        return text
    return "\n".join(kept if fence_at < 0 else kept[:fence_at]).rstrip("\n")


def _clipped(line: str, most: int) -> str:
    """A line of words, at most so many bytes of it; what shows one mark is not cut in two."""
    if _size(line) <= most:
        return line
    start = line.encode("utf-8", "replace")[: most - _size(" …")].decode("utf-8", "ignore")
    words, blank, _ = start.rpartition(" ")
    return f"{words if blank else re.sub(SPLIT_MARK, '', start)} …"


def _joined(*blocks: str) -> str:
    return BLOCK_BREAK.join(_said(blocks)) + "\n"


def _said(blocks: Iterable[str]) -> list[str]:
    return [block for block in blocks if block]


def _size(text: str) -> int:
    return len(text.encode("utf-8", "replace"))
