"""What is wrong with a line that is no entry, found where it is and not where the parser stops.

A quotation left open runs to the next one, and an entry without its colon joins the line above: the
parser complains further down.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from .indentation_slips import slip_of_indentation
from .text import LINE_END, quoted
from .text_slips import (
    DASH_SPACED,
    UNQUOTED,
    Slip,
    is_key,
    is_section,
    line_before,
    open_quote,
    parted,
)

OTHER_COLON = re.compile(
    "^[ \u00a0]*(?:- )?([A-Za-z_]\\w*)[ \u00a0]*(::|[;.,=\N{FULLWIDTH COLON}\N{RATIO}])[ \u00a0]*[^ \u00a0]"
)
QUOTE_INSIDE = re.compile(r"""[:,\[{] *(['"])(?:(?!\1).)*(\1)(?=\w)""")
TWO_COLONS = re.compile(r"([A-Za-z_]\w*)(::)(?= )")
WHOLE_QUOTED = re.compile(r"""^ *(["'])[A-Za-z_]\w*: [^"']*\1 *(?:#.*)?$""")
FIRST_KEY = re.compile(r"^ *(?:- +)?([A-Za-z_]\w*): +")
BEHIND_QUOTES = re.compile(r"""^ *(?:- +)?[A-Za-z_]\w*: +(?:"[^"]*"|'[^']*') +([^\s#,}\]])""")
TIGHT_ITEM = re.compile(r"^ *(-)(?:[{\[]|[A-Za-z_](?:[^:]*$|\w*: ))")
DASH_FIRST = re.compile(r"[A-Za-z_]\w*: +(-) +[^\s-]")
NUMBER_OF = re.compile(r"%[0-9]")
LAST_WORD = re.compile(r"([;\s])\s*([A-Za-z_]\w*)\s*$")
ROUND_BRACKET = re.compile(r": *(\() *[A-Za-z_]\w*:")
MARKED = re.compile(r"^ *([*>|`]+) *`?\**([A-Za-z_]\w*)[*`: |]")
REMARK_LINE = re.compile(r"^ *(//+|/\*|;+|--)(?=[ \w])")
NUMBER_MARKED = re.compile(r": *([|>@`%])(?==? *[0-9])")
BRACE_TIGHT = re.compile(r"^ *([A-Za-z_]\w*) *(\{)")
BRACE_ALONE = re.compile(r"^(\{) *[A-Za-z_]\w*:")
CLOSING = {"{": "}", "[": "]"}
BEFORE_A_BRACKET = (
    "",
    ":",
    ",",
    "[",
    "{",
    "-",
)  # what stands before a bracket that is none of a text
LONGEST_LINE = 1000  # letters of a line that a person types
MOST_LINES = 1000  # lines that are looked back for a quotation


def slip_of_line(text: str, complaint: str, at: tuple[int, int]) -> Slip | None:
    """The slip in the line where the parser stopped, or in the last one before it."""
    lines = [line if len(line) <= LONGEST_LINE else "" for line in LINE_END.split(text)]
    number, column = at
    for one in range(max(1, number - MOST_LINES), min(number, len(lines)) + 1):
        opened = open_quote(lines[one - 1])
        if opened:
            wanted = "the same quotation mark at the end of the text"
            return Slip(one, opened, "a quotation mark that is never closed", wanted)
    before = line_before(lines, number, number)
    for one in filter(None, (before, min(number, len(lines)))):
        slip = _in_line(lines[one - 1], one)
        if slip is not None:
            return slip
    bracket = _bracket(lines, min(number, len(lines)))
    if bracket is not None:
        return bracket
    line = lines[number - 1] if number <= len(lines) else ""
    if "mapping values are not allowed" in complaint:
        second = _second_colon(line, number, column)
        if second is not None:
            return second
    if "did not find expected ','" in complaint:
        return _without_comma(line, number, column)
    return slip_of_indentation(lines, number)


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
    behind = BEHIND_QUOTES.match(line)
    if behind:
        wanted = "nothing there, or the whole text in one pair of quotation marks"
        return Slip(number, behind.start(1) + 1, "text behind the closing quotation mark", wanted)
    tight = TIGHT_ITEM.match(line)
    if tight:
        return Slip(number, tight.start(1) + 1, "`-` before an item", DASH_SPACED)
    dash = DASH_FIRST.search(line)
    if dash:
        wanted = "the value without a dash; a minus stands directly before its number"
        return Slip(number, dash.start(1) + 1, "`-` before a value", wanted)
    inside = QUOTE_INSIDE.search(line)
    if inside:
        others = "double" if inside[1] == "'" else "single"
        found = f"{quoted(inside[1])} inside a text in the same quotation marks"
        return Slip(number, inside.start(2) + 1, found, f"the text in {others} quotation marks")
    bracket = ROUND_BRACKET.search(line)
    if bracket:
        closed = " and `)`" if ")" in line[bracket.end(1) :] else ""
        wanted = "entries of a section in braces, `{` before the first and `}` behind the last"
        return Slip(number, bracket.start(1) + 1, f"`(`{closed}", wanted)
    return _mark(line, number)


def _mark(line: str, number: int) -> Slip | None:
    """A sign from another kind of text before a key or a number: of Markdown, of a comparison."""
    marked = MARKED.match(line)
    if marked and is_key(marked[2]):
        found = f"{quoted(marked[1])} before {quoted(marked[2])}"
        return Slip(number, marked.start(1) + 1, found, "`key: value` without marks around it")
    remark = REMARK_LINE.match(line)
    if remark:
        return Slip(number, remark.start(1) + 1, quoted(remark[1]), "`#` before a remark")
    number_marked = NUMBER_MARKED.search(line)
    if number_marked:
        found = f"{quoted(number_marked[1])} before a number"
        return Slip(number, number_marked.start(1) + 1, found, "the number alone")
    tight = BRACE_TIGHT.match(line)
    if tight and is_section(tight[1]):
        found = f"{quoted(tight[1])} without a colon"
        return Slip(number, tight.start(2) + 1, found, "a colon and a space before `{`")
    alone = BRACE_ALONE.match(line)
    if alone and number > 1:
        wanted = "it behind its key, on the same line"
        return Slip(number, 1, "`{` at the beginning of a line", wanted)
    return None


def _bracket(lines: Sequence[str], last: int) -> Slip | None:
    """A bracket of another kind than the one that it closes, or something behind the last one."""
    is_open: list[tuple[str, int]] = []  # the bracket and its line
    for number in range(max(1, last - MOST_LINES), last + 1):
        code, _ = parted(lines[number - 1])
        before, quote, closed = "", "", False
        for at, letter in enumerate(code):
            if quote:
                quote = "" if letter == quote else quote
            elif letter in "'\"" and before in BEFORE_A_BRACKET:
                quote = letter
            elif closed and not is_open and letter.strip():
                found = f"{quoted(letter)} behind the closing bracket"
                return Slip(number, at + 1, found, "nothing behind it on this line")
            elif letter in CLOSING and before in BEFORE_A_BRACKET:
                is_open.append((letter, number))
            elif is_open and (letter in "}]" or _ends_round(code, at)):
                bracket, line = is_open.pop()
                if letter != CLOSING[bracket]:
                    slip = Slip(number, at + 1, quoted(letter), quoted(CLOSING[bracket]))
                    return slip if line == number else None
                closed = True
            before = letter if letter.strip() else before
    return None


def _ends_round(code: str, at: int) -> bool:
    """Whether a round bracket closes what none has opened in its line."""
    is_last = code[at + 1 :].strip()[:1] in ("", ",", "}")
    return code[at] == ")" and is_last and "(" not in code[:at]


def _second_colon(line: str, number: int, column: int) -> Slip | None:
    """Two entries on one line, an entry behind the key of its section, or a text with a colon in it."""
    entry, word = FIRST_KEY.match(line), LAST_WORD.search(line[: column - 1])
    if entry is None or word is None or line[column - 1 : column] != ":" or not is_key(entry[1]):
        return None
    if word.start(2) <= entry.start(1):
        return None
    if not is_key(word[2]):
        is_text = line[entry.end()].isalpha()
        wanted = "the text in quotes" if is_text else "a line of its own for each entry"
        return Slip(number, column, "a second `:` in one entry", wanted)
    found = f"{quoted(word[2])} on the line of {quoted(entry[1])}"
    if entry.end() >= word.start(2):
        wanted = f"it on the next line, further right than {quoted(entry[1])}, or in braces: {{…}}"
    else:
        wanted = "a line of its own for each entry"
    return Slip(number, word.start(2) + 1, found, wanted)


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
