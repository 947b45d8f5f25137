"""Words for a terminal: coloured, wrapped at a width and set beside their labels, by rich's text.

Only what a terminal needs more is read: without colour neither rich's console nor its tables, which
would take a start as long again, and a thousand reports a third longer.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, cast

from rich.cells import cell_len, set_cell_size
from rich.text import Text

from ..documents.text import clean
from ..documents.units import UNITS, unit_symbol
from .excerpt import marked
from .layout import Page
from .section import Excerpt, Line, Tone, Toned

if TYPE_CHECKING:
    from rich.console import Console

STYLES: dict[Tone, str] = {
    "danger": "bold red",
    "fault": "bold magenta",
    "advice": "bold yellow",
    "go": "bold black on green",
    "no-go": "bold bright_white on red",
    "incomplete": "bold black on yellow",
    "value": "bold underline",
    "faint": "dim",
    "bold": "bold",
    "good": "green",
    "advised": "yellow",
}
# The bar beside a verdict or a finding, which has its colour without its ground.
EDGES: dict[Tone, str] = {
    "danger": "red",
    "fault": "magenta",
    "advice": "yellow",
    "go": "green",
    "no-go": "red",
    "incomplete": "yellow",
}
EDGE = "▐"
# Rich breaks lines at white space only. What stands for a blank at which no line ends, and for a
# place in a long word at which one may; neither is left in what is shown. The first is a letter that
# nobody has been given yet, of a kind whose width rich knows without its tables.
TIE, SOFT = "\u0378", "\x1f"
BLANK_BEHIND_DIGIT = re.compile(r"(?<=\d) ")
PART_AFTER = re.compile(r"(?<=[/.])(?=.)")
_ENDING = re.compile(r"\.ya?ml$")
BREAK_AFTER = re.compile(r"(?<=[/._-])(?=.)")


def prose(lines: Sequence[Line], width: int) -> Text:
    """Lines ready to be wrapped at a width: numbers keep their units, long names break at marks."""
    pieces: list[str | Text] = []
    for number, line in enumerate(lines):
        if number:
            pieces.append("\n")
        for fragment in line:
            if isinstance(fragment, str):
                pieces.append(_knit(fragment, width))
            elif isinstance(fragment, Excerpt):
                start, value, end = marked(fragment.line, fragment.column, width)
                pieces += (start, Text(value, STYLES["value"]), end)
            elif isinstance(fragment, Toned):
                pieces.append(Text(_knit(fragment.text, width), STYLES[fragment.tone]))
            else:
                pieces.append(_knit(fragment.text, width))
    return Text(pieces[0]) if len(pieces) == 1 and isinstance(pieces[0], str) else in_a_row(pieces)


def in_a_row(pieces: Iterable[str | Text]) -> Text:
    """Pieces behind each other, each in its own styles.

    >>> in_a_row(["40 A", Text(" above", "bold")]).spans
    [Span(4, 10, 'bold')]
    """
    return Text().join(_text_of(piece) if isinstance(piece, str) else piece for piece in pieces)


def _text_of(words: str) -> Text:
    return Text(words) if words.strip() else _blanks(words)


@lru_cache(maxsize=256)  # as many as a wide terminal has columns
def _blanks(blanks: str) -> Text:
    return Text(blanks)


@lru_cache(maxsize=1)
def _spoken_units() -> Mapping[str, Sequence[str]]:
    """The units as they are spoken, by their first letter, the longest first."""
    units: dict[str, list[str]] = {}
    for unit in sorted({unit_symbol(unit) for unit in UNITS if unit}, key=len, reverse=True):
        units.setdefault(unit[0], []).append(unit)
    return units


def units_tied(text: str, tie: str, inside: str = " ") -> str:
    """The text with a tie in place of the blank between a number and its unit; `inside`, in a unit.

    >>> units_tied("at 40 A rms, 3 Axles", "_")
    'at 40_A rms, 3 Axles'
    """
    done, told = 0, []
    for blank in BLANK_BEHIND_DIGIT.finditer(text):
        start = blank.end()
        for unit in _spoken_units().get(text[start : start + 1], ()):
            end = start + len(unit)
            behind = text[end : end + 1]
            if text.startswith(unit, start) and not (behind.isalnum() or behind in ("_", "/")):
                told += [text[done : blank.start()], tie, unit.replace(" ", inside)]
                done = end
                break
    return "".join((*told, text[done:]))


def _knit(text: str, width: int) -> str:
    text = units_tied(clean(text), TIE, TIE)
    text = text.replace("\u00a0", TIE)
    if len(text) <= width:
        return text
    too_long = rf"\S{{{max(width, 1) + 1},}}"
    return re.sub(too_long, lambda word: _breakable(word[0].replace(TIE, " "), width), text)


def _breakable(word: str, width: int) -> str:
    """A long name with the places where it may break: between its parts, inside one only if need be."""
    parted = PART_AFTER.sub(SOFT, word)
    return parted if max(map(len, parted.split(SOFT))) <= width else BREAK_AFTER.sub(SOFT, word)


def parts(words: Iterable[str], width: int) -> Text:
    """Parts of a line with a point between them; none is broken where it can be helped."""
    tied = [part.replace(" ", "\u00a0") for part in words if part]
    return prose([("\u00a0· ".join(tied),)], width)


def label(text: str, tone: Tone = "faint") -> Text:
    """A label in the margin."""
    return Text(" ").append(clean(text), STYLES[tone])


def words_of(line: Line) -> str:
    """The words of a line alone."""
    return "".join(
        fragment if isinstance(fragment, str) else getattr(fragment, "text", "")
        for fragment in line
    )


def wrapped(text: Text, width: int) -> list[Text]:
    """The text in lines of at most that width."""
    if text.cell_len <= width and "\n" not in text.plain:
        return [text]
    # Rich asks for its console only to justify a text on both sides.
    lines = text.wrap(cast("Console", None), max(width, 1))
    for line in lines:
        line.rstrip()
    return list(lines)


def shortened(text: Text, width: int) -> Text:
    """The text in one line of at most that width, with a mark where it goes on.

    A path goes on before it: its end says which file it is.
    """
    line = text.copy()
    over = line.cell_len - width
    if over > 0 and "/" in line.plain and " " not in line.plain:
        return Text("…", line.style).append_text(line[over + 1 :])
    if over > 0:
        line.truncate(max(width - 1, 0))
        line.rstrip()
        line.append("…")
    return line


def names_apart(names: Sequence[str], usual: int, most: int) -> list[str]:
    """Names for a column of the usual width; a wider one, up to the most, only to tell them apart.

    >>> names_apart(["tunes/hotter/after.yaml", "tunes/colder/after.yaml"], 16, 20)
    ['…/hotter/after', '…/colder/after']
    >>> names_apart(["tunes/hotter/after.yaml", "tunes/colder/after.yaml"], 10, 20)
    ['hot…/after', 'col…/after']
    """
    for width in range(min(usual, most), most + 1):
        cut = _cut_names(names, width)
        if len(set(cut)) == len(set(names)):
            return cut
    return _cut_names(names, most)


def _cut_names(names: Sequence[str], width: int) -> list[str]:
    cut = [_cut_name(name, name.split("/")[-2:-1], width) for name in names]
    apart = []
    for name, short in zip(names, cut, strict=True):
        alike = [other for other, its in zip(names, cut, strict=True) if its == short]
        own = [part for part in name.split("/")[:-1] if any(part not in one for one in alike)]
        apart.append(_cut_name(name, own[-1:], width) if own else short)
    alike = [_as_the_others(*pair, apart) for pair in zip(names, apart, strict=True)]
    return alike if len(set(alike)) == len(set(apart)) else apart


def _as_the_others(name: str, short: str, others: Sequence[str]) -> str:
    """A path cut as the others of its column are: without its ending, behind its own folder."""
    if "/" not in short:
        return short
    if short == name and name.count("/") > 1 and any(one.startswith("…/") for one in others):
        short = "…/" + "/".join(name.split("/")[-2:])
    paths = [one for one in others if "/" in one]
    bare = any(not _ENDING.search(one) for one in paths)
    return _ENDING.sub("", short) if bare else short


def _cut_name(name: str, folders: Sequence[str], width: int) -> str:
    """A name with what is left out marked: of a path its file and the folder that tells it apart."""
    if cell_len(name) <= width:
        return name
    if not folders:
        end = max(width // 3, 1)
        return f"{set_cell_size(name, max(width - end - 1, 0)).rstrip()}…{name[-end:].lstrip()}"
    file = name.rpartition("/")[2]
    stem = _ENDING.sub("", file)
    for last in (file, stem):
        whole = f"…/{folders[0]}/{last}"
        if cell_len(whole) <= width:
            return whole
    left = width - cell_len(stem) - 2
    if left < 1:
        return set_cell_size(name, max(width - 1, 0)).rstrip() + "…"
    if cell_len(folders[0]) <= left + 1:
        return f"{folders[0]}/{stem}"
    return f"{set_cell_size(folders[0], left).rstrip()}…/{stem}"


def beside(head: Text, text: Text, indent: int, page: Page) -> Iterator[Text]:
    """A label in the margin and the text beside it, hanging under itself."""
    first, *others = wrapped(text, page.width - indent)
    yield in_a_row((head, " " * (indent - head.cell_len), first))
    for line in others:
        yield in_a_row((" " * indent, line))


def indented(text: Text, indent: int, page: Page) -> Iterator[Text]:
    """The text with nothing in the margin."""
    return beside(Text(), text, indent, page)


def printed(lines: Iterable[Text], page: Page) -> list[str]:
    """The lines as they are written, in colour, bold or plain, and without blanks at their ends."""
    if not (page.colour or page.bold):
        return [_as_shown(line.plain) for line in lines]
    console = _console(page.colour)
    with console.capture() as capture:
        console.print(Text("\n").join(lines), soft_wrap=True)
    return [_as_shown(line) for line in capture.get().split("\n")[:-1]]


def _as_shown(line: str) -> str:
    return line.replace(TIE, " ").replace(SOFT, "").rstrip()


@lru_cache(maxsize=2)
def _console(colour: bool) -> Console:
    """What turns styles into a terminal's colours, or what is left of them without; it knows nothing
    of the real terminal."""
    from rich.console import Console

    return Console(
        file=io.StringIO(),
        color_system="standard",
        force_terminal=True,
        force_jupyter=False,
        no_color=not colour,
        legacy_windows=False,
        markup=False,
        emoji=False,
        highlight=False,
    )
