"""An entry that stands too far left or right: which one it is, and how many blanks belong before it.

The parser complains where lines no longer line up, which is often one line further down. Where a key
is at home says which of two lines was moved.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from .error import DocumentError, RepeatedKey, UnknownKey, WrongValue
from .schema import outline
from .text import LINE_END, alternatives, quoted
from .text_slips import Slip, is_section, line_before

ENTRY_LINE = re.compile(r"^( *)(?:- +)?([A-Za-z_]\w*) *:(?: |$)")
WITH_VALUE = re.compile(
    r"^ *(?:- )?([A-Za-z_]\w*): +([^\s#\[{|>&*'\"].*|(?:\{.*\}|\[.*\]|\"[^\"]*\"|'[^']*') *(?:#.*)?)$"
)
OPENER = re.compile(r"^ *(?:- )?[A-Za-z_]\w*: *(?:#.*)?$")
COMMENT = re.compile(r"^ *#")
COMMENTED_ENTRY = re.compile(r"^ *# *(?:- +)?([A-Za-z_]\w*):(?: |$)")
DASHED = re.compile(r"^( *)- +[A-Za-z_]\w*:")
MOST_ENTRIES = 30  # of a section
NO_KEYS: frozenset[str] = frozenset()
FURTHER_LEFT = "an entry further left than those below it"
FURTHER_RIGHT = "an entry further right than the one above it"
LINED_UP = "keys of one section exactly below each other"


class Open(NamedTuple):
    """The last entry at each indentation that is still open: where it is, and its key."""

    indent: int
    key: str
    line: int


def slip_of_indentation(lines: Sequence[str], number: int) -> Slip | None:
    """The entry out of line, where the parser stopped at a line or at the one before it."""
    before = line_before(lines, number, number)
    if not before or number > len(lines) or not lines[number - 1].strip():
        return None
    entry = ENTRY_LINE.match(lines[number - 1])
    if entry is None:
        return _misplaced(lines, before, number)
    above = _open_at(lines, number)
    dash = DASHED.match(lines[number - 1])
    if dash and any(one.indent == len(dash[1]) for one in above):
        found = f"`-` before {quoted(entry[2])}"
        return Slip(number, len(dash[1]) + 1, found, "no dash before a key of a section")
    dashed = _dashed_above(lines, before, entry[2])
    if dashed is not None:
        return dashed
    if not any(one.indent == _indent(lines[number - 1]) for one in above):
        outdented = _outdented(entry[2], _indent(lines[number - 1]), above, number)
        if outdented is not None:
            return outdented
    return _misplaced(lines, before, number)


def _dashed_above(lines: Sequence[str], before: int, key: str) -> Slip | None:
    """The line above with a dash before a key of a section whose other keys have none."""
    dash = DASHED.match(lines[before - 1])
    entry = ENTRY_LINE.match(lines[before - 1])
    is_open = _open_at(lines, before) if dash else []
    if dash is None or entry is None or not {key, entry[2]} <= _section_of(is_open):
        return None
    found = f"`-` before {quoted(entry[2])}"
    return Slip(before, len(dash[1]) + 1, found, "no dash before a key of a section")


def with_openers(errors: Sequence[DocumentError], text: str) -> list[DocumentError]:
    """The errors; of a section whose entries stand below its key but not further right, one for all."""
    kept = list(errors)
    if not any(
        isinstance(error, WrongValue) and error.found.startswith("nothing") for error in kept
    ):
        return kept
    lines = LINE_END.split(text)
    strayed = {e.line: e for e in kept if isinstance(e, UnknownKey | RepeatedKey)}
    for error in [one for one in kept if one.found.startswith("nothing")]:
        opener = ENTRY_LINE.match(lines[error.line - 1])
        if opener is None or not OPENER.match(lines[error.line - 1]):
            continue
        own = _section_of(_open_at(lines, error.line + 1))
        beside: list[tuple[int, str]] = []
        for number in range(error.line + 1, min(error.line + MOST_ENTRIES, len(lines)) + 1):
            entry = ENTRY_LINE.match(lines[number - 1])
            if (
                entry is None
                or entry[1] != opener[1]
                or entry[2] not in own
                or number not in strayed
            ):
                break
            beside.append((number, entry[2]))
        if not beside and _is_commented(lines, error.line, own):
            wanted = "the `#` of its entries removed, or one before it too"
            place = (error.file, error.line, len(opener[1]) + 1)
            kept[kept.index(error)] = WrongValue(*place, error.found, wanted)
        if beside:
            found = f"nothing below {quoted(opener[2])}"
            wanted = f"{quoted(beside[0][1])} in line {beside[0][0]} to stand further right than it"
            place = (error.file, error.line, len(opener[1]) + 1)
            kept[kept.index(error)] = WrongValue(*place, found, wanted)
            gone = [strayed[number] for number, _ in beside]
            kept = [one for one in kept if one not in gone]
    return kept


def _is_commented(lines: Sequence[str], number: int, own: frozenset[str]) -> bool:
    """Whether the first entry in the remarks below a line is one of the section that it opens."""
    for line in lines[number : number + MOST_ENTRIES]:
        if not COMMENT.match(line):
            return False
        entry = COMMENTED_ENTRY.match(line)
        if entry is not None:
            return entry[1] in own
    return False


def _outdented(key: str, indent: int, above: Sequence[Open], number: int) -> Slip | None:
    """An entry between two indentations; or the one above it, where that is in no section of its own."""
    fit = [one for one, section in _places(above) if key in section]
    level = next((at for at, one in enumerate(above) if one.indent > indent), len(above))
    near = above[max(level - 1, 0) : level + 1]
    opener = above[level - 1] if level else None
    homes = dict(_places(above))
    if level < len(above) and not fit and opener and opener.key not in homes.get(opener, ()):
        slip = _opener_moved(opener, key, indent, number)
        if slip is not None:
            return slip
    meant = [one for one in near if one in fit] or (fit if len(fit) == 1 else near)
    found = f"{quoted(key)} in line with no entry above it"
    if level == len(above) or not meant:
        return None
    if not fit and key in _section_of(above):
        wanted = f"more spaces before it than before {quoted(above[-1].key)}"
        return Slip(number, indent + 1, found, wanted)
    ways = [f"{_spaces(one.indent)} before it, as before {quoted(one.key)}" for one in meant]
    return Slip(number, indent + 1, found, alternatives(ways))


def _opener_moved(opener: Open, key: str, indent: int, number: int) -> Slip | None:
    """The section above, where it is in none of its own but at home beside an entry below it."""
    if not any({key, opener.key} <= section for section in _all_sections()):
        return None
    found = f"{quoted(opener.key)} further left than the other entries of its section"
    wanted = f"{_spaces(indent)} before it, as before {quoted(key)} in line {number}"
    return Slip(opener.line, opener.indent + 1, found, wanted)


def _spaces(count: int) -> str:
    return "no space" if not count else f"{count} spaces" if count > 1 else "1 space"


def _open_at(lines: Sequence[str], number: int) -> list[Open]:
    """The entries above a line that are still open, from the left edge on."""
    found: list[Open] = []
    for one in range(1, number):
        entry = ENTRY_LINE.match(lines[one - 1])
        if entry is None:
            continue
        indent = len(entry[1])
        found = [above for above in found if above.indent < indent]
        found.append(Open(indent, entry[2], one))
    return found


def _places(above: Sequence[Open]) -> Iterator[tuple[Open, frozenset[str]]]:
    """Each open entry, and the keys of the section that it is in, as far as that is known."""
    for level, one in enumerate(above):
        yield one, _section_of(above[:level])


def _section_of(above: Sequence[Open]) -> frozenset[str]:
    """The keys of the section below some open entries; none of one that is no section."""
    path = ".".join(one.key for one in above)
    return next((frozenset(s.entries) for s in outline().all_sections() if s.path == path), NO_KEYS)


def _all_sections() -> Iterator[frozenset[str]]:
    return (frozenset(one.entries) for one in outline().all_sections())


def _misplaced(lines: Sequence[str], before: int, number: int) -> Slip | None:
    """A line further right than the one above, and which of the two is in the wrong place."""
    above, line = lines[before - 1], lines[number - 1]
    valued = WITH_VALUE.match(above)
    if valued is None or _indent(line) <= _indent(above):
        return None
    entry = ENTRY_LINE.match(line)
    is_bare = is_section(valued[1]) and valued[2][0] not in "{["
    is_below = entry is not None and entry[2] in _section_of(_open_at(lines, number))
    at_home = None if is_bare and is_below else _at_home(lines, before, number)
    if at_home is not None:
        return at_home
    if is_bare:
        wanted = f"one of them: the value, or entries below a bare {quoted(valued[1] + ':')}"
        return Slip(before, valued.start(2) + 1, "a value and entries below it", wanted)
    if entry is None and ":" not in line:
        wanted = "`key: value`, or `#` before a remark"
        return Slip(number, _indent(line) + 1, "a line without `:`", wanted)
    if _is_further_left(lines, before, number):
        return Slip(before, _indent(above) + 1, FURTHER_LEFT, LINED_UP)
    return Slip(number, _indent(line) + 1, FURTHER_RIGHT, LINED_UP)


def _at_home(lines: Sequence[str], before: int, number: int) -> Slip | None:
    """Of an entry and the one above it, further left and with a value, the one not at home where it is."""
    entry, above = ENTRY_LINE.match(lines[number - 1]), ENTRY_LINE.match(lines[before - 1])
    is_open = _open_at(lines, before)
    if entry is None or above is None:
        return None
    around = [one for one in is_open if one.indent < len(above[1])]
    homes = [(one.indent, section) for one, section in _places(is_open)]
    sister = next((one for one in reversed(homes) if one[0] == len(entry[1])), None)
    left = _section_of(around)
    if (
        sister is not None
        and above[2] in sister[1]
        and (above[2] not in left or entry[2] in sister[1])
    ):
        wanted = f"{_spaces(sister[0])} before it, as before {quoted(entry[2])} in line {number}"
        return Slip(before, len(above[1]) + 1, f"{quoted(above[2])} too far left", wanted)
    is_beside = bool(is_open) and is_open[-1].indent >= len(above[1])
    is_left = is_beside or _is_further_left(lines, before, number)
    if {above[2], entry[2]} <= _section_of(is_open) and is_left:
        wanted = (
            f"{_spaces(len(entry[1]))} before it, as before {quoted(entry[2])} in line {number}"
        )
        return Slip(before, len(above[1]) + 1, f"{quoted(above[2])} too far left", wanted)
    if entry[2] in left:
        wanted = f"{_spaces(len(above[1]))} before it, as before {quoted(above[2])}"
        return Slip(number, len(entry[1]) + 1, f"{quoted(entry[2])} too far right", wanted)
    return None


def _is_further_left(lines: Sequence[str], before: int, number: int) -> bool:
    """Whether of two lines the upper one was moved: those around it line up with the lower one."""
    above, line = lines[before - 1], lines[number - 1]
    opener = line_before(lines, before)
    last = lines[opener - 1] if opener else ""
    if ENTRY_LINE.match(last) and _indent(last) == _indent(line):
        return True
    if not OPENER.match(last) or _indent(last) >= _indent(line):
        return False
    after = next((one for one in lines[number:] if one.strip() and not COMMENT.match(one)), "")
    return _indent(above) <= _indent(last) or _indent(after) == _indent(line)


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))
