"""What is wrong with a line that is no entry, found where it is and not where the parser stops.

A quotation left open runs to the next one, and an entry without its colon joins the line above: the
parser complains further down.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from .text import LINE_END, quoted
from .text_slips import UNQUOTED, Slip, is_key, is_section, line_before, open_quote

OTHER_COLON = re.compile(
    "^[ \u00a0]*(?:- )?([A-Za-z_]\\w*)[ \u00a0]*(::|[;.,=\N{FULLWIDTH COLON}\N{RATIO}])[ \u00a0]*[^ \u00a0]"
)
WITH_VALUE = re.compile(r"^ *(?:- )?([A-Za-z_]\w*): +([^\s#\[{|>&*'\"].*)$")
OPENER = re.compile(r"^ *(?:- )?[A-Za-z_]\w*: *(?:#.*)?$")
COMMENT = re.compile(r"^ *#")
QUOTE_INSIDE = re.compile(r"""[:,\[{] *(['"])(?:(?!\1).)*(\1)(?=\w)""")
TWO_COLONS = re.compile(r"([A-Za-z_]\w*)(::)(?= )")
WHOLE_QUOTED = re.compile(r"""^ *(["'])[A-Za-z_]\w*: [^"']*\1 *(?:#.*)?$""")
LAST_WORD = re.compile(r"([;\s])\s*([A-Za-z_]\w*)\s*$")
ROUND_BRACKET = re.compile(r": *(\() *[A-Za-z_]\w*:")
LONGEST_LINE = (
    1000  # letters of a line that a person types, and the lines looked back for a quotation
)
MOST_LINES = 1000
FURTHER_LEFT = "an entry further left than those below it"
FURTHER_RIGHT = "an entry further right than the one above it"


def slip_of_line(text: str, complaint: str, at: tuple[int, int]) -> Slip | None:
    """The slip in the line where the parser stopped, or in the last one before it."""
    lines = [line if len(line) <= LONGEST_LINE else "" for line in LINE_END.split(text)]
    number, column = at
    for one in range(max(1, number - MOST_LINES), min(number, len(lines)) + 1):
        opened = open_quote(lines[one - 1])
        if opened:
            wanted = "the same quotation mark at the end of the text"
            return Slip(one, opened, "a quotation mark that is never closed", wanted)
    before = line_before(lines, number)
    for one in filter(None, (before, min(number, len(lines)))):
        slip = _in_line(lines[one - 1], one)
        if slip is not None:
            return slip
    line = lines[number - 1] if number <= len(lines) else ""
    if "did not find expected ','" in complaint:
        return _without_comma(line, number, column)
    return _misplaced(lines, before, number) if before and line.strip() else None


def _in_line(line: str, number: int) -> Slip | None:
    """A sign that stands for another: `;` for a colon, round brackets, a quotation in a quotation."""
    colon = OTHER_COLON.match(line)
    if colon and is_key(colon[1]):
        found = f"{quoted(colon[2])} after {quoted(colon[1])}"
        return Slip(number, colon.start(2) + 1, found, "`key: value`, with a colon and a space")
    twice = TWO_COLONS.search(line)
    if twice and is_key(twice[1]):
        return Slip(number, twice.start(2) + 1, f"`::` after {quoted(twice[1])}", "one colon")
    whole = WHOLE_QUOTED.match(line)
    if whole:
        return Slip(number, whole.start(1) + 1, "an entry in quotation marks", UNQUOTED)
    inside = QUOTE_INSIDE.search(line)
    if inside:
        others = "double" if inside[1] == "'" else "single"
        found = f"{quoted(inside[1])} inside a text in the same quotation marks"
        return Slip(number, inside.start(2) + 1, found, f"the text in {others} quotation marks")
    bracket = ROUND_BRACKET.search(line)
    if bracket:
        return Slip(number, bracket.start(1) + 1, "`(`", "entries of a section in braces: {…}")
    return None


def _without_comma(line: str, number: int, column: int) -> Slip | None:
    """The key after which the parser found a colon, if it is one, and what should precede it."""
    if line[column - 1 : column] != ":":
        return None
    word = LAST_WORD.search(line[: column - 1])
    if word is None:
        return None
    if not is_key(word[2]):
        wanted = "the text in quotes, or a comma between two entries"
        return Slip(number, column, "a second `:` in one entry", wanted)
    head = line[: word.start(2)].rstrip()
    if head.endswith(";"):
        return Slip(number, len(head), "`;` between two entries", "`,`")
    found = f"{quoted(word[2])} without a comma before it"
    return Slip(number, word.start(2) + 1, found, "a comma between two entries")


def _misplaced(lines: Sequence[str], before: int, number: int) -> Slip | None:
    """A line further right than the one above, and which of the two is in the wrong place."""
    above, line = lines[before - 1], lines[number - 1]
    valued = WITH_VALUE.match(above)
    if valued is None or _indent(line) <= _indent(above):
        return None
    if is_section(valued[1]):
        wanted = f"one of them: the value, or entries below a bare {quoted(valued[1] + ':')}"
        return Slip(before, valued.start(2) + 1, "a value and entries below it", wanted)
    opener = line_before(lines, before)
    if opener and OPENER.match(lines[opener - 1]) and _indent(lines[opener - 1]) < _indent(line):
        is_out = _indent(above) <= _indent(lines[opener - 1])
        after = next((one for one in lines[number:] if one.strip() and not COMMENT.match(one)), "")
        if is_out or _indent(after) == _indent(line):
            place = (before, _indent(above) + 1)
            return Slip(*place, FURTHER_LEFT, "keys of one section exactly below each other")
    wanted = "keys of one section exactly below each other"
    return Slip(number, _indent(line) + 1, FURTHER_RIGHT, wanted)


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))
