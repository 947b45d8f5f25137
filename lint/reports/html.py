"""The format for a phone, a mail or the printer: any page as one file of HTML that stands alone."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from jinja2 import Environment, PackageLoader
from markupsafe import Markup, escape

from ..documents.text import clean
from .excerpt import marked
from .layout import Page
from .plot import drawing
from .prose import units_tied, words_of
from .scale import scale_drawing
from .section import (
    SEVERE,
    Code,
    Detail,
    Excerpt,
    Fragment,
    Line,
    Notice,
    Passage,
    Plot,
    Report,
    Row,
    Scale,
    Section,
    Table,
    Toned,
    Verbatim,
    behind,
)

LONGEST_EXCERPT = 160
VERDICT_TONES = ("go", "no-go", "incomplete")
LONGEST_SHORT = 16  # characters of a cell that has no need to break
QUOTED_CODE = re.compile(r"`([^`]+)`")
BOX_OR_ROOM = re.compile(r"[☐☑]|_{6,}")
LONG_WORD = re.compile(r"(\S{20,})")
# Inside a word only, and never inside a number such as 0.97.
# Nor before a unit such as the s of `burst_s`, which would stand there alone.
BREAKS = re.compile(r"(?<=[^\W\d_][/.])(?=\w)|(?<=\d/)(?=\w)|(?<=[^\W_]_)(?=\w{3})")


def detail(page: Page) -> Detail:
    """A page that is scrolled or printed has room for all."""
    return Detail()


def inside(sections: Sequence[Section], page: Page) -> str:
    """The sections of a card."""
    return _templates().get_template("sections.html").render(sections=sections)


def report(report: Report, page: Page) -> str:
    """The whole page: what all comes to first, then the cards."""
    return _templates().get_template("report.html").render(report=report) + "\n"


@lru_cache(maxsize=1)
def _templates() -> Environment:
    """The templates; every text is cleaned and escaped on its way into one."""
    environment = Environment(
        loader=PackageLoader(__package__, "templates"),
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=lambda text: clean(text) if type(text) is str else text,
    )
    environment.filters["markup"] = markup
    environment.filters["cell"] = in_cell
    environment.filters["kinds"] = verdicts_to_choose
    environment.filters["slug"] = verdict_slug
    environment.filters["behind"] = behind
    environment.filters["boxed"] = lambda title: _boxed(escape(clean(title)))
    environment.filters["short_columns"] = short_columns
    environment.filters["lines"] = _lines
    environment.globals["severe"] = SEVERE
    environment.tests["told"] = lambda card: bool(card.inside or card.sections or not card.short)
    environment.tests["row"] = lambda block: isinstance(block, Row)
    environment.tests["notice"] = lambda block: isinstance(block, Notice)
    environment.tests["table"] = lambda block: isinstance(block, Table)
    environment.tests["plot"] = lambda block: isinstance(block, Plot | Scale)
    environment.globals["drawing"] = _drawn
    environment.tests["passage"] = lambda block: isinstance(block, Passage)
    environment.tests["verbatim"] = lambda block: isinstance(block, Verbatim)
    return environment


def verdicts_to_choose(report: Report) -> list[str]:
    """The verdicts by which a reader may choose what is shown; none where all have the same.

    The choice needs no script: the style sheet hides the rest. Paper always has everything.
    """
    words = list(dict.fromkeys(card.verdict for card in report.cards))
    return words if len(words) > 1 and all(words) and report.judged_on else []


def verdict_slug(verdict: str) -> str:
    """A verdict as a class of the style sheet.

    >>> verdict_slug("GO WITH WAIVERS")
    'go-with-waivers'
    """
    return re.sub(r"[^a-z]+", "-", verdict.lower()).strip("-")


def _drawn(block: Plot | Scale) -> Markup:
    return drawing(block) if isinstance(block, Plot) else scale_drawing(block)


def markup(line: Line) -> Markup:
    """The pieces of a line, names as code, a value underlined as well as marked."""
    return Markup("").join(_piece(piece) for piece in line)


def in_cell(line: Line) -> Markup:
    """A cell of a table; a verdict by itself has the badge that it has as a heading."""
    if len(line) == 1 and isinstance(line[0], Toned) and line[0].tone in VERDICT_TONES:
        return Markup('<span class="chip {}">{}</span>').format(line[0].tone, clean(line[0].text))
    return markup(line)


def _lines(lines: Sequence[Line]) -> Markup:
    return Markup("<br>").join(markup(line) for line in lines)


def _piece(piece: Fragment) -> Markup:
    if isinstance(piece, Excerpt):
        start, value, end = marked(piece.line, piece.column, LONGEST_EXCERPT)
        whole = Markup("<code>{}<mark>{}</mark>{}</code>")
        return whole.format(start, value, end) if value else Markup("")
    if isinstance(piece, Code):
        return Markup("<code>{}</code>").format(_breakable(piece.text))
    words = QUOTED_CODE.split(piece if isinstance(piece, str) else piece.text)
    return Markup("").join(
        Markup("<code>{}</code>").format(_breakable(word)) if number % 2 else _breakable(word)
        for number, word in enumerate(words)
    )


def _breakable(text: str) -> Markup:
    """The text made safe; a long name may break after a dot, a slash or an underscore."""
    words = LONG_WORD.split(units_tied(clean(text), "\u00a0"))
    whole = Markup("").join(
        Markup("<wbr>").join(map(escape, BREAKS.split(word) if number % 2 else [word]))
        for number, word in enumerate(words)
    )
    return _boxed(whole)


def _boxed(text: Markup) -> Markup:
    """Boxes to tick, and room to write in, as a pen needs them; a screen reader says what they are."""
    return Markup(BOX_OR_ROOM.sub(_box_or_room, text))


def _box_or_room(found: re.Match[str]) -> str:
    drawn = found[0]
    if drawn.startswith("_"):
        return f'<span class="room" role="img" aria-label="room to write">{drawn}</span>'
    said = "done" if drawn == "☑" else "to tick"
    return f'<span class="box" role="img" aria-label="{said}">{drawn}</span>'


def short_columns(table: Table) -> tuple[int, ...]:
    """The columns behind the first in which every cell is so short that none need break.

    >>> short_columns(Table(("what", "needed for"), ((("the pack voltage",), ("a ride",)),)))
    (1,)
    """
    columns = zip(table.heads[1:], *(cells[1:] for cells in table.rows), strict=True)
    return tuple(
        place
        for place, (head, *cells) in enumerate(columns, 1)
        if max(len(head), *(len(words_of(cell)) for cell in cells), 0) <= LONGEST_SHORT
    )
