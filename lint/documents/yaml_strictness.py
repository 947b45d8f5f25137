"""What the parser takes though YAML 1.2.2 refuses it or reads it otherwise, found and refused.

Two programs that read one file must see one document. Each rule names the production that it holds.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from ruamel.yaml.cyaml import CParser  # type: ignore[attr-defined]
from ruamel.yaml.events import ScalarEvent, StreamEndEvent

from .error import ForbiddenYaml
from .text import position

# The first mark of a line within brackets or quotes, its blanks left of it in group 1. Within
# brackets a line may be a comment, or hold only what closes them: no value depends on that.
LINE_IN_BRACKETS = (
    r"[\r\n]( *)(?=[^ \r\n])(?![\t ]*(?:[\r\n#]|\Z))(?![\]}][\]}, \t]*(?:[\r\n#]|\Z))"
)
LINE_IN_QUOTES = r"[\r\n]( *)(?=[^ \r\n])"
HEADER = r"(?:[&!]\S*\s+)*[|>][-+]?([1-9]?)[-+]?(?=[ \t\r\n]|\Z)"
BLOCK_LINE = r"(?:\r\n|\r|\n)(?=[^\r\n])([ \t]*)([^\r\n]?)"  # none that is empty
# Marks that may be a comment or a key where YAML has none. What is before them decides.
TIGHT_COMMENT = re.compile(r"""#(?<=[\[\]{},:"'?-]#)""")
TIGHT_KEY = r"""\?(?=\S)(?:(?<=[\s\[{,:"']\?)|(?<=^\?))"""
TIGHT_DIRECTIVE = r"(?m)^%[^\r\n]*[^ \t\r\n]#"
TIGHT_VALUE = re.compile(r":(?=[^\s,\[\]{}])(?<=[\s\[{,]:)")
MARKS = "[#?:]"
ENDS_A_KEY = tuple("\"'}]")
LONGEST_GAP = 200  # letters between a key and its colon
BLANKS = " \t\r\n"
ENDS_A_NAME = frozenset(BLANKS + ",[]{}")

SPACED = "a space before the comment"
INDENTED = "spaces before it, more than before the line that it continues"


class Spread(NamedTuple):
    """Brackets or a quotation over several lines: from where to where, and the indentation around."""

    indent: int
    start: int
    end: int
    quoted: bool


class BlockText(NamedTuple):
    """A text after `|` or `>`: the parser's event, and the indentation around it."""

    indent: int
    event: Any


class Departure(NamedTuple):
    """Where a text departs from YAML 1.2.2, and how."""

    at: int
    found: str
    wanted: str


def departure(
    text: str,
    spreads: Sequence[Spread],
    blocks: Sequence[BlockText],
    names: Sequence[Any],
    file: str,
) -> ForbiddenYaml | None:
    """The first departure of a text that the parser has taken, if there is one.

    `names` are the events with an anchor or an alias.
    """
    found = min(_departures(text, spreads, blocks, names), default=None)
    if found is None:
        return None
    return ForbiddenYaml(file, *position(text[: found.at]), found.found, found.wanted)


def _departures(
    text: str, spreads: Sequence[Spread], blocks: Sequence[BlockText], names: Sequence[Any]
) -> Iterator[Departure]:
    for spread in spreads:
        yield from _outdented(text, spread)
    for block in blocks:
        yield from _block_lines(text, block)
    for event in names:
        yield from _name_ends(text, event)
    directive = re.search(TIGHT_DIRECTIVE, text) if "%" in text else None
    if directive is not None:
        yield Departure(directive.end() - 1, "`#` without a space before it", SPACED)
    if (
        TIGHT_COMMENT.search(text)
        or ("?" in text and re.search(TIGHT_KEY, text))
        or TIGHT_VALUE.search(text)
    ):
        yield from _marks(text)


def _outdented(text: str, spread: Spread) -> Iterator[Departure]:
    """Lines that go on at the outer indentation, or that tabs indent (6.3, 6.1: s-flow-line-prefix)."""
    lines = LINE_IN_QUOTES if spread.quoted else LINE_IN_BRACKETS
    what = "a quoted text" if spread.quoted else "brackets"
    for line in re.compile(lines).finditer(text, spread.start, spread.end):
        if len(line[1]) <= spread.indent:
            tab = text[line.end()] == "\t"
            found = "a tab" if tab else f"a line of {what} that is not indented"
            yield Departure(line.end(), found, "spaces to indent with" if tab else INDENTED)
            return


def _block_lines(text: str, block: BlockText) -> Iterator[Departure]:
    """A text after `|` or `>` that stands at the outer indentation (8.1, s-separate), and blanks.

    Lines of blanks that some readers keep, some leave out and some refuse: longer than the first line
    of the text after them (8.1.1.1: that is an error), or the last of the file without an end of line.
    """
    event = block.event
    header = re.compile(HEADER).match(text, event.start_mark.index)
    if header is None:
        at = text.find("#", event.start_mark.index)
        yield Departure(at, "`#` without a space before it", SPACED)
        return
    if event.start_mark.column <= block.indent:
        at, found = event.start_mark.index, f"`{event.style}` that is not indented"
        yield Departure(at, found, INDENTED)
        return
    sign = f"a line of blanks in a text after `{event.style}`"
    longest: re.Match[str] | None = None
    begun = bool(header[1])  # the header says the indentation
    for line in re.compile(BLOCK_LINE).finditer(text, header.end()):
        over = line[2] and line.start(2) >= event.end_mark.index
        if line[2] and not begun:
            blanks = len(line[1]) - len(line[1].lstrip(" "))
            begun = True
            if blanks > block.indent and longest is not None and len(longest[1]) > blanks:
                yield Departure(longest.end(1), sign, "an empty line")
                return
        elif not line[2] and line.end() == len(text) and line[1]:
            yield Departure(line.end(), sign, "an empty line")
        elif not line[2] and (longest is None or len(line[1]) > len(longest[1])):
            longest = line
        if over:
            return


def _name_ends(text: str, event: Any) -> Iterator[Departure]:
    """An anchor or an alias that goes on after its name (6.9.2, ns-anchor-char)."""
    start = event.start_mark.index
    mark = next((at for at in range(start, len(text)) if text[at] in "&*"), start)
    after = mark + 1 + len(event.anchor)
    if text[after : after + 1] and text[after] not in ENDS_A_NAME:
        sign = text[after]
        found = f"`{sign}` in the name after `{text[mark]}`"
        yield Departure(after, found, "a name of letters, digits, `-` and `_`, then a space")


def _marks(text: str) -> Iterator[Departure]:
    """A comment without a blank before it (6.6), a word that begins with `?` or `:` (7.3.3)."""
    written = _written(text)
    first, last = next(written)
    comment_until = 0
    for mark in re.compile(MARKS).finditer(text):
        at = mark.start()
        while at >= last:
            first, last = next(written)
        if at >= first or at < comment_until:
            continue
        if mark[0] == "#":
            if at and text[at - 1] not in BLANKS:
                yield Departure(at, "`#` without a space before it", SPACED)
                return
            ends = [end for end in (text.find("\n", at), text.find("\r", at)) if end >= 0]
            comment_until = min(ends, default=len(text))
        elif text[at + 1 : at + 2].strip(BLANKS) and (mark[0] == "?" or _begins_a_word(text, at)):
            yield Departure(at, f"a text that begins with `{mark[0]}`", "the text in quotes")
            return


def _begins_a_word(text: str, colon: int) -> bool:
    """Whether a colon is no end of a key: only one in quotes or brackets may have a blank after it."""
    before = text[max(colon - LONGEST_GAP, 0) : colon]
    tight = text[colon + 1] not in ",[]{}" and before[-1:] in ("", *" \t\r\n[{,")
    return tight and not before.rstrip(BLANKS).endswith(ENDS_A_KEY)


def _written(text: str) -> Iterator[tuple[int, int]]:
    """Where each scalar of a text begins and ends, and at last what lies behind them all."""
    parser = CParser(text)
    while type(event := parser.get_event()) is not StreamEndEvent:
        if type(event) is ScalarEvent:
            yield event.start_mark.index, event.end_mark.index
    yield len(text), len(text) + 1
