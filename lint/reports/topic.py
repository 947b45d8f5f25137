"""A topic of the help, written in Markdown, as a page: headings, paragraphs, points, tables and code."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import NamedTuple

from ..documents.contents import file_of
from .section import (
    Block,
    Card,
    Code,
    Fragment,
    Line,
    Passage,
    Report,
    Section,
    Table,
    Toned,
    Verbatim,
)

_FOLDER = "topics"
# What there is to read, in the order in which a newcomer needs it; each is a file of the folder.
TOPICS = (
    "findings",
    "profile",
    "parts",
    "readings",
    "settings",
    "changes",
    "waivers",
    "shop",
    "editor",
    "automation",
    "status",
    "sources",
    "safety",
)
_FENCE = "```"
_POINT = "- "
_INLINE = re.compile(r"`([^`]+)`|\*{1,2}([^*]+)\*{1,2}|\[([^\]]+)\]\(([^)]+)\)")
_COLUMN_RULE = re.compile(r"\|[-:| ]+\|")


def topic_text(name: str) -> str:
    """The Markdown of a topic as it stands in its file."""
    return file_of("gonogo", f"{_FOLDER}/{name}.md").decode()


def title_of_topic(name: str) -> str:
    """What a topic is about: its first heading."""
    return topic_text(name).partition("\n")[0].removeprefix("# ").replace("`", "")


def topic_page(text: str) -> Report:
    """A topic's Markdown as a page with one card."""
    title, sections = "", list[Section]()
    for heading, lines in _chapters(text):
        if heading.startswith("# "):
            title, heading = heading.removeprefix("# ").replace("`", ""), ""
        sections.append(Section(heading.removeprefix("## "), tuple(_blocks(lines))))
    card = Card("", "bold", title, sections=tuple(some for some in sections if some.blocks))
    return Report(title, (card,))


def _chapters(text: str) -> Iterator[tuple[str, list[str]]]:
    """Each heading with the lines under it; a `#` inside code is none."""
    heading, lines, inside = "", list[str](), False
    for line in text.split("\n"):
        inside ^= line.startswith(_FENCE)
        if line.startswith(("# ", "## ")) and not inside:
            yield heading, lines
            heading, lines = line, []
        else:
            lines.append(line)
    yield heading, lines


def _blocks(lines: Sequence[str]) -> Iterator[Block]:
    rest = list(lines)
    while rest:
        line = rest[0]
        if line.startswith(_FENCE):
            end = rest.index(_FENCE, 1)
            yield Verbatim(tuple(rest[1:end]), line.removeprefix(_FENCE))
            rest = rest[end + 1 :]
        elif not line.strip():
            rest = rest[1:]
        else:
            end = next((n for n, one in enumerate(rest) if _ends(one)), len(rest))
            yield from _group(rest[:end])
            rest = rest[end:]


def _ends(line: str) -> bool:
    return not line.strip() or line.startswith(_FENCE)


def _group(lines: Sequence[str]) -> Iterator[Block]:
    """Lines that belong together: a table, points, or one paragraph."""
    if lines[0].startswith("|"):
        yield _table(lines)
    elif lines[0].startswith(_POINT):
        points = groupby(_numbered(lines), lambda numbered: numbered.point)
        for _, some in points:
            words = " ".join(one.words for one in some)
            yield Passage(inline(words), "•")
    else:
        yield Passage(inline(" ".join(line.strip() for line in lines)))


class _PointLine(NamedTuple):
    point: int
    words: str


def _numbered(lines: Sequence[str]) -> Iterator[_PointLine]:
    """The lines of a list, each with the number of its point."""
    point = 0
    for line in lines:
        point += line.startswith(_POINT)
        yield _PointLine(point, line.removeprefix(_POINT).strip())


def _table(lines: Sequence[str]) -> Table:
    rows = [
        tuple(inline(cell.strip()) for cell in line.strip().strip("|").split(" | "))
        for line in lines
        if not _COLUMN_RULE.fullmatch(line.strip())
    ]
    heads, *cells = rows
    return Table(tuple("".join(map(_plain, head)) for head in heads), tuple(cells))


def _plain(piece: Fragment) -> str:
    return piece if isinstance(piece, str) else getattr(piece, "text", "")


def inline(text: str) -> Line:
    """A line's words: code, what is bold, and links, which name the topic that they lead to.

    >>> inline("Say `none`.")
    ('Say ', Code(text='none'), '.')
    """
    pieces: list[Fragment] = []
    end = 0
    for mark in _INLINE.finditer(text):
        pieces += [text[end : mark.start()]] if mark.start() > end else []
        pieces += _marked(mark)
        end = mark.end()
    return (*pieces, text[end:]) if text[end:] else tuple(pieces)


def _marked(mark: re.Match[str]) -> list[Fragment]:
    code, bold, words, target = mark.groups()
    if code:
        return [Code(code)]
    if bold:
        return [Toned(bold, "bold")]
    return [words, " (", Code(f"gonogo help {target.removesuffix('.md')}"), ")"]
