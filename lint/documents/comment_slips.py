"""What a `#` takes away that its writer meant to count: entries in brackets, a value, the end of a name.

To YAML all behind it is a remark. An entry that is gone changes what is judged, or is asked for again
though the file seems to hold it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from .error import DocumentError, ForbiddenYaml, YamlSyntax
from .schema import properties
from .text import LINE_END, position, quoted
from .text_slips import Slip, is_key, parted
from .trade_units import trade_key
from .units import unit_of_key

VALUE_AWAY = re.compile(r"^( *(?:- )?([A-Za-z_]\w*): +)#[^\s#]")
ENTRY_AWAY = re.compile(r"(?<![\w.])([A-Za-z_]\w*): *([^\s,{}\[\]]+)?")
LAST_KEY = re.compile(r"(?:^|[\s{,])([a-z_]+)$")
LONGEST_KEY = 60
NO_PLAIN_TEXT = frozenset("\"'{}[],|>&*")
IN_QUOTES = "the text in quotes, or a space after the `#` of a remark"
BEFORE_IT = "its entries before the `#`; a remark behind it has no `key:` in it"
TEXT_IN_QUOTES = "the text in quotes where the `#` belongs to it, or all entries before the `#`"
_OPENING, _CLOSING = "{[", "}]"


def hidden(text: str, file: str, brackets: Iterable[tuple[int, int]]) -> ForbiddenYaml | None:
    """The first `#` that takes entries away, or the end of a text, in a YAML file that can be read.

    `brackets` are where braces and brackets over several lines begin and end. A line in them that
    holds a remark alone is taken for one: entries are left out so on purpose.
    """
    if "#" not in text:
        return None
    away = next((slip for one in brackets for slip in _entries_away(text, *one)), None)
    first = min(filter(None, (away, _text_cut(text))), default=None)
    return ForbiddenYaml(file, *first) if first is not None else None


def _entries_away(text: str, start: int, end: int) -> Iterator[Slip]:
    """Entries behind the `#` of a line in brackets, where something counts before it."""
    if text.find("#", start, end) < 0:
        return
    begin = max(text.rfind("\n", 0, start), text.rfind("\r", 0, start)) + 1
    for number, line in enumerate(LINE_END.split(text[begin:end])):
        code, comment = parted(line) if "#" in line else (line, "")
        away = _entry_in(comment, code) if code.strip() else None
        if away is not None:
            found = f"{quoted(away)} behind a `#`, where it does not count"
            wanted = TEXT_IN_QUOTES if _cut_value(code, comment) else BEFORE_IT
            first, _ = position(text[:begin])
            yield Slip(first + number, len(code) + 1, found, wanted)
            return


def _entry_in(comment: str, code: str) -> str | None:
    """The first entry in a comment: a key of ours, or a word like one; none that is given before it."""
    for entry in ENTRY_AWAY.finditer(comment):
        is_like_one = is_key(entry[1]) or "_" in entry[1]
        if is_like_one and not re.search(rf"\b{re.escape(entry[1])} *:", code):
            return entry[0]
    return None


def _text_cut(text: str) -> Slip | None:
    """A name such as `Wren #2`, of which YAML reads `Wren`."""
    for number, line in enumerate(LINE_END.split(text), 1):
        code, comment = parted(line) if " #" in line else (line, "")
        value = _cut_value(code, comment)
        if value:
            found = f"{quoted(comment)} behind {quoted(value)}, which a `#` makes a remark"
            return Slip(number, len(code) + 1, found, IN_QUOTES)
    return None


def _cut_value(code: str, comment: str) -> str:
    """The text before a `#` that seems to belong to it; empty where there is none."""
    before, _, value = code.rpartition(": ")
    key = LAST_KEY.search(before[-LONGEST_KEY:]) if comment[1:2].strip("# ") else None
    if key is None or not NO_PLAIN_TEXT.isdisjoint(value) or key[1] not in _free_texts():
        return ""
    return value.strip()


@lru_cache(maxsize=1)
def _free_texts() -> frozenset[str]:
    """The keys under which any text may stand."""
    texts = (one for one in properties().values() if one.kind == "text" and not one.choices)
    return frozenset(one.path.rpartition(".")[2] for one in texts)


def swallowed(text: str, first: int, last: int) -> Slip | None:
    """A `#` inside a bracket that makes a comment of what was to follow, its end included.

    It explains why the parser stopped between two lines, counted from 1.
    """
    lines = LINE_END.split(text)
    depth = 0
    for number in range(max(first, 1), min(last, len(lines)) + 1):
        code, comment = parted(lines[number - 1])
        depth += sum(map(code.count, _OPENING)) - sum(map(code.count, _CLOSING))
        if depth <= 0 or not comment:
            continue
        closes = sum(map(comment.count, _CLOSING)) > sum(map(comment.count, _OPENING))
        goes_on = "," in comment and code.rstrip()[-1:] not in (",", "{", "[", "")
        away = _entry_in(comment, code) if code.strip() else None
        if away is not None:
            found = f"{quoted(away)} behind a `#`, where it does not count"
            wanted = f"{BEFORE_IT} and no closing bracket" if closes else BEFORE_IT
            wanted = TEXT_IN_QUOTES if _cut_value(code, comment) else wanted
            return Slip(number, len(code) + 1, found, wanted)
        if goes_on or (closes and code.strip()):
            wanted = "the text in quotes, or the comment behind the closing bracket"
            return Slip(number, len(code) + 1, "`#`, which begins a comment", wanted)
    return None


def with_comments(errors: Sequence[DocumentError], text: str) -> list[DocumentError]:
    """The errors, those of a value that its `#` makes a comment replaced by what says so."""
    if not any(error.found.startswith("nothing") for error in errors):
        return list(errors)
    lines = LINE_END.split(text)
    said: list[DocumentError] = []
    for error in errors:
        away = (
            VALUE_AWAY.match(lines[error.line - 1]) if error.found.startswith("nothing") else None
        )
        if away is not None:
            is_number = unit_of_key(away[2]) or "number" in error.wanted
            wanted = "the value without a `#` before it" if is_number else "the text in quotes"
            if unit_of_key(away[2]) == "mm2":
                wanted += f"; a wire gauge is entered as {quoted(str(trade_key(away[2])))}"
            place = (error.line, away.end(1) + 1)
            error = YamlSyntax(error.file, *place, "`#`, which begins a comment", wanted)
        said.append(error)
    return said
