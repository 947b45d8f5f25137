"""What a text holds that no YAML should, and that the parser blames on another line or on nothing.

Whoever pastes from a page, merges two branches or comments a line out finds the slip where it is.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from .error import DocumentError, RepeatedKey, UnknownKey, YamlSyntax
from .schema import outline
from .text import LINE_END, named_by_number, quoted

CONFLICT = re.compile(r"(?:<{7}|>{7}|={7}|\|{7})(?: .*)?")
FENCE = re.compile(r"[ \t]*(?:`{3,}|~{3,})")
BLANK = "[\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000]"
TIGHT = re.compile(r"^ *(?:- )?[A-Za-z_]\w*(:)(?![\s/]|$)")
NO_COLON = re.compile(r"^ *([A-Za-z_][\w /=.%-]*?) *(?:#.*)?$")
HEADER_AWAY = re.compile(r"^( *)#+[ \t]*([a-z_]+):[ \t]*(?:#.*)?$")
ENTERED = re.compile(r"^ *(?:- )?([A-Za-z_]\w*) *:(?: |$)")
HEADER_BARE = re.compile(r"(?:gonogo[ =]*)?((?:profile|part|house)/1)")
OPENS = re.compile(r":[ \t]*(?:#.*)?$")
PROPORTION = re.compile(r"[0-9.]+ ?: ?[0-9.]+")
DASH_SPACED = "a space after the dash of each item: `- item`"
UNQUOTED = "`key: value`, without quotation marks around both"
NO_ENTRY = re.compile(r"^ *(?!-{3}|\.{3})[^\s\w#\[\]{}\"'|>&*!%@`?,]+ *$")  # signs alone
NO_MARKS = frozenset(':={}[]"')  # of a text that is prose
_HEADER = "gonogo"
LEAST_PROSE = 3  # words of a line that is no entry
MOST_HEADERS, MOST_BELOW = 200, 2000  # keys of sections in remarks, and lines below each
FARTHEST = 40  # lines before the parser's own that are looked at


@lru_cache(maxsize=1)
def blank_in_place() -> re.Pattern[str]:
    """A blank of another sort where YAML wants a plain one; slow to compile, and seldom needed."""
    return re.compile(rf"(?:^ *|^[^#'\"]*?[\w}}\]]: *)({BLANK})")


class Slip(NamedTuple):
    """Where a slip is, counted from 1, what was found there, and what is wanted instead."""

    line: int
    column: int
    found: str
    wanted: str


class HeaderAway(NamedTuple):
    """A section's key behind a `#`, and the lines below it with entries of the section."""

    slip: Slip
    entries: tuple[int, ...]


def slip_of_lines(text: str, first: int, last: int) -> Slip | None:
    """The slip that explains why the parser stopped between two lines, counted from 1."""
    lines = LINE_END.split(text)
    conflict = _conflict(lines)
    if conflict is not None:
        return conflict
    pasted = _pasted_blanks(lines)
    if pasted is not None:
        return pasted
    before = line_before(lines, first)
    places = dict.fromkeys((before, first, line_before(lines, last), last))
    near = [number for number in places if 0 < number <= len(lines)]
    for number in near:
        if FENCE.match(lines[number - 1]):
            wanted = "the YAML alone: remove this line, and the one at the other end"
            return Slip(number, 1, "a Markdown fence", wanted)
    header = next((one for one in headers_away(lines) if last == one.entries[0]), None)
    if header is not None:
        return header.slip
    for number in near:
        slip = _blank(lines[number - 1], number) or _tight(lines[number - 1], number)
        if slip is not None:
            return slip
    return None


def line_without_colon(text: str, second_colon: int) -> Slip | None:
    """The line before one on which the parser found a colon too many, if it is what lacks one."""
    lines = LINE_END.split(text)
    number = line_before(lines, second_colon, second_colon)
    no_entry = _no_entry(lines, number) if number else None
    if no_entry is not None:
        return no_entry
    bare = NO_COLON.match(lines[number - 1]) if number else None
    if bare is None:
        return None
    is_kind = HEADER_BARE.fullmatch(bare[1])
    wanted = f"`gonogo: {is_kind[1]}`" if is_kind else "`key: value`, with a colon and a space"
    return Slip(number, bare.start(1) + 1, "a line without `:`", wanted)


def no_entry_at(text: str, number: int) -> Slip | None:
    """A line, counted from 1, that is prose or signs alone: what is wanted is no key."""
    lines = LINE_END.split(text)
    return _no_entry(lines, number) if 0 < number <= len(lines) else None


def _no_entry(lines: Sequence[str], number: int) -> Slip | None:
    line = lines[number - 1]
    place = (number, _indent(line) + 1, "a line without `:`")
    if NO_ENTRY.match(line):
        return Slip(*place, "it removed, or `#` before a remark")
    words = line.split()
    is_entry = is_key(words[0]) or words[0] == _HEADER or not NO_MARKS.isdisjoint(line)
    if len(words) < LEAST_PROSE or is_entry:
        return None
    numbered = any(map(str.isdigit, line))
    return Slip(*place, f"`#` before a remark{', `key: value` for an entry' if numbered else ''}")


def proportion(line: str, column: int) -> str | None:
    """A `9:1` around the colon at a column, counted from 1."""
    return next(
        (one[0] for one in PROPORTION.finditer(line) if one.start() < column <= one.end()), None
    )


def parted(line: str) -> tuple[str, str]:
    """A line's text and its comment; a `#` in quotation marks or within a word begins none.

    >>> parted("name: 'No. #2'  # blue"), parted("name: Wren#2")
    (("name: 'No. #2'  ", '# blue'), ('name: Wren#2', ''))
    """
    end, _ = _scanned(line)
    return line[:end], line[end:]


def open_quote(line: str) -> int:
    """The column of a quotation mark that is not closed in its line; 0 without one."""
    return _scanned(line)[1]


def _scanned(line: str) -> tuple[int, int]:
    """Where the comment of a line begins, and the column of the quotation mark left open."""
    mark, opened, before = "", 0, ":"
    for at, letter in enumerate(line):
        if mark:
            mark = "" if letter == mark and line[at - 1] != "\\" else mark
        elif letter in "'\"" and before in ":,[{":
            mark, opened = letter, at + 1
        elif letter == "#" and (at == 0 or line[at - 1] in " \t,{["):
            return at, 0
        before = letter if letter != " " else before
    return len(line), opened if mark else 0


def _conflict(lines: Sequence[str]) -> Slip | None:
    """Two sides of a merge that nobody has joined: from its first mark to the end of it."""
    marks = [number for number, line in enumerate(lines, 1) if CONFLICT.fullmatch(line)]
    begins = [number for number in marks if lines[number - 1].startswith("<")]
    ends = [number for number in marks if lines[number - 1].startswith(">")]
    if not begins and not ends:
        return None
    first = (begins or ends)[0]
    last = next((number for number in ends if number > first), first)
    where = f", lines {first} to {last}" if last > first else ""
    wanted = "one of its two sides, without the lines that begin with `<`, `=` and `>`"
    return Slip(first, 1, f"a merge conflict{where}", wanted)


def line_before(lines: Sequence[str], number: int, farthest: int = FARTHEST) -> int:
    """The number of the last line before one that is no comment and not empty; 0 without one."""
    for before in range(min(number, len(lines) + 1) - 1, max(number - farthest, 0), -1):
        if lines[before - 1].strip() and not lines[before - 1].lstrip().startswith("#"):
            return before
    return 0


def _blank(line: str, number: int) -> Slip | None:
    found = blank_in_place().search(line)
    if found is None:
        return None
    name = "a no-break space" if found[1] in "\u00a0\u202f" else named_by_number(found[1])
    what = name if name.startswith("a ") else f"the blank {name}"
    return Slip(number, found.start(1) + 1, what, "an ordinary space, as the space bar types it")


def _pasted_blanks(lines: Sequence[str]) -> Slip | None:
    """The first of several lines with blanks that a page made of spaces: one cause, one answer."""
    found = [number for number, line in enumerate(lines, 1) if blank_in_place().search(line)]
    first = _blank(lines[found[0] - 1], found[0]) if len(found) > 1 else None
    if first is None:
        return None
    return first._replace(wanted=f"plain spaces: replace all such blanks, on {len(found)} lines")


def _tight(line: str, number: int) -> Slip | None:
    found = TIGHT.match(line)
    if found is None or PROPORTION.search(line, 0, found.end() + 1):
        return None
    wanted = "`key: value`, with a space after the colon"
    return Slip(number, found.start(1) + 1, "`:` without a space after it", wanted)


def headers_away(lines: Sequence[str]) -> Iterator[HeaderAway]:
    """Keys of sections that are commented out while entries of theirs stand directly below."""
    looked_at = 0
    for number, line in enumerate(lines, 1):
        away = HEADER_AWAY.match(line) if "#" in line else None
        if away is None or away[2] not in _own_keys():
            continue
        looked_at += 1
        if looked_at > MOST_HEADERS:
            return
        margin = len(away[1])
        before = line_before(lines, number)
        opener = lines[before - 1] if before else ""
        opened = OPENS.search(opener) and _indent(opener) >= margin
        least = max(margin, away.start(2) - len("# "))  # no section's key stands further left
        entries = () if opened else _entries_below(lines, number, least, _own_keys()[away[2]])
        if entries:
            found = f"{quoted(away[2] + ':')} behind a `#`, with its entries below"
            wanted = "the `#` removed, or put before the entries too"
            yield HeaderAway(Slip(number, margin + 1, found, wanted), entries)


def _entries_below(
    lines: Sequence[str], number: int, margin: int, own: frozenset[str]
) -> tuple[int, ...]:
    """The lines after one that hold keys of a section, from the first line that is no comment on.

    None where that line is no entry of the section, or stands no further right than the margin.
    """
    entries: list[int] = []
    indent = 0
    for below in range(number + 1, min(number + MOST_BELOW, len(lines)) + 1):
        line = lines[below - 1]
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        key = ENTERED.match(line)
        is_own = key is not None and key[1] in own
        indent = indent or _indent(line)
        if _indent(line) <= margin or not (is_own or entries):
            break
        if is_own and _indent(line) == indent:
            entries.append(below)
    return tuple(entries)


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


@lru_cache(maxsize=1)
def _own_keys() -> Mapping[str, frozenset[str]]:
    """The keys of the sections, by the last key of their paths."""
    keys: dict[str, frozenset[str]] = {}
    for section in outline().all_sections():
        name = section.path.rpartition(".")[2]
        keys[name] = keys.get(name, frozenset()).union(section.entries)
    return keys


def is_key(word: str) -> bool:
    """Whether any section of a profile has a key."""
    return word in _all_keys()


@lru_cache(maxsize=1)
def _all_keys() -> frozenset[str]:
    return frozenset().union(*_own_keys().values())


def is_section(word: str) -> bool:
    """Whether a key of a profile stands for a section."""
    return bool(word) and word in _own_keys()


def with_headers(errors: Sequence[DocumentError], text: str) -> list[DocumentError]:
    """The errors, those of entries whose section is commented out replaced by the one that is."""
    strayed = (UnknownKey, RepeatedKey)
    if not any(isinstance(error, strayed) for error in errors):
        return list(errors)
    kept = list(errors)
    for slip, entries in headers_away(LINE_END.split(text)):
        below = [e for e in kept if isinstance(e, strayed) and e.line in entries]
        if below:
            at = kept.index(below[0])
            kept = [error for error in kept if error not in below]
            kept.insert(at, YamlSyntax(below[0].file, *slip))
    return kept
