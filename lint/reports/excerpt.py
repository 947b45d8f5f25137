"""The line of a document that a finding points at, with the value marked."""

from __future__ import annotations

import re

from rich.cells import cell_len, chop_cells

from ..documents.text import clean

LEFT, RIGHT, CUT = "»", "«", "…"
CLOSERS = {"[": "]", "{": "}"}
WORD = re.compile(r"[^\s,\[\]{}#][^,\[\]{}#]*?(?=\s*(?:[,\]}]|\s#|$))")
KEY = re.compile(r"[\w.-]+(?=:(?:\s|$))")
# Letters to each side of the value's first one that are looked at: more than any page shows, and
# few enough that even an endless line costs little.
REACH = 600
QUOTED = re.compile(r'"(?:[^"\\]|\\.)*"|\'(?:[^\']|\'\')*\'')


def extent(line: str, column: int) -> tuple[int, int]:
    """Where the value (or key) that starts at a column begins and ends; columns count from 1.

    >>> extent("throttle: {start_V: 0.95, full_V: 3.6}", 21)
    (20, 24)
    """
    start = min(max(column - 1, 0), len(line))
    rest = line[start:]
    if rest[:1] in CLOSERS:
        return start, start + _closed(rest)
    match = KEY.match(rest) or QUOTED.match(rest) or WORD.match(rest)
    return start, start + match.end() if match else len(line.rstrip())


def _closed(text: str) -> int:
    """The length of a bracketed value, or what of it stands on the line."""
    depth = 0
    for place, letter in enumerate(text):
        depth += (letter in CLOSERS) - (letter in CLOSERS.values())
        if depth == 0:
            return place + 1
    return len(text.rstrip())


def marked(line: str, column: int, width: int) -> tuple[str, str, str]:
    """The line cut to the width round its marked value: what is before it, the value, the rest.

    >>> marked("  battery_current_A: 180  # as on the old one", 22, 60)
    ('battery_current_A: ', '»180«', '  # as on the old one')
    """
    if not line.strip() or column > len(line):
        return "", "", ""
    left_out = max(column - 1 - REACH, 0)
    line, column = line[left_out : column - 1 + REACH], column - left_out
    start, end = extent(line, column)
    before = clean(line[:start]).lstrip()
    value = clean(line[start:end])
    after = clean(line[end:]).rstrip()
    return _fitted(before, value, after, width)


def _fitted(before: str, value: str, after: str, width: int) -> tuple[str, str, str]:
    """Cut first what follows, then what stands before the key, then the value itself."""
    room = width - cell_len(value) - 2
    if cell_len(before) + cell_len(after) <= room:
        return before, f"{LEFT}{value}{RIGHT}", after
    if cell_len(before) <= room // 2:
        return before, f"{LEFT}{value}{RIGHT}", _cut(after, room - cell_len(before))
    key = re.search(r"[\w.-]+:\s*$", before)
    near = f"{CUT} {key.group()}" if key else CUT
    if cell_len(near) > room:
        near = ""
        value = _cut(value, width - 2)
    room = width - 2 - cell_len(near) - cell_len(value)
    return near, f"{LEFT}{value}{RIGHT}", _cut(after, room)


def _cut(text: str, room: int) -> str:
    """As much of the text as there is room for, with a mark where it goes on."""
    if cell_len(text) <= room:
        return text
    kept = chop_cells(text, room - 1)[0] if room > 1 else ""
    return f"{kept.rstrip()}{CUT}" if room > 0 else ""
