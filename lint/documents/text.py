"""Text of documents: read from bytes, and made fit to be shown on a screen."""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterable, Sequence
from difflib import get_close_matches

from .error import NotText

LONGEST_QUOTATION = 60
MOST_COMPARED = 120  # letters; what is longer is no slip of a name of ours
NEAR_ENOUGH = 0.6  # of two names, so much must be the same for one to have been meant for the other
MORE = "…"
# Later control characters, line and paragraph separators, marks that turn the writing direction,
# and halves of characters that no terminal can print.
INVISIBLE = r"\x7f-\x9f\u2028-\u202e\u2066-\u2069\ufffe\uffff\ud800-\udfff"
# Marks that turn it for the letters beside them; a document may hold them, as some scripts need.
BESIDE = "\u061c\u200e\u200f"
SPACES = re.compile(r"[\t\n\r\u2028\u2029]")
UNSEEN = re.compile(rf"[\x00-\x1f{INVISIBLE}{BESIDE}]")


def clean(text: object) -> str:
    """The text in one line, with a mark for all that a terminal would obey and nobody would see.

    >>> clean("Larch\\x1b[2J\\tbike")
    'Larch\N{REPLACEMENT CHARACTER}[2J bike'
    """
    kept = str(text)
    if kept.isprintable():
        return kept
    return UNSEEN.sub("\N{REPLACEMENT CHARACTER}", SPACES.sub(" ", kept))


def cut(text: str) -> str:
    """The text cleaned and cut to a length that still fits a sentence."""
    one_line = clean(" ".join(text[: 4 * LONGEST_QUOTATION].split()))
    return (
        one_line
        if len(one_line) <= LONGEST_QUOTATION
        else one_line[: LONGEST_QUOTATION - 1].rstrip() + MORE
    )


def quoted(text: str) -> str:
    """The text marked as a quotation.

    >>> quoted("200 A")
    '`200 A`'
    """
    return f"`{cut(text)}`" if text.strip() else "an empty text"


# Of the unseen characters a document may hold the tab and the ends of lines.
FORBIDDEN = re.compile(rf"[\x00-\x08\x0b\x0c\x0e-\x1f{INVISIBLE}]")
LINE_END = re.compile("\r\n|\n|\r")
WIDE = (codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)


def decode(data: bytes, file: str) -> str:
    """The text of a file, without a byte order mark; line ends stay as they are.

    Raises NotText at the first byte or character that a reader would not see.
    """
    if data.startswith(WIDE):
        raise NotText(file, 1, 1, "text in UTF-16", "text in UTF-8: save the file as UTF-8")
    data = data.removeprefix(codecs.BOM_UTF8)
    if b"\x00" in data:
        before = data[: data.index(b"\x00")].decode("utf-8", "replace")
        raise NotText(file, *position(before), "a binary file", "text in UTF-8")
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as broken:
        before = data[: broken.start].decode("utf-8")
        found = f"the byte 0x{data[broken.start]:02X}, which is not UTF-8"
        wanted = "text in UTF-8: save the file as UTF-8"
        raise NotText(file, *position(before), found, wanted) from broken
    unseen = FORBIDDEN.search(text)
    if unseen is not None:
        found = f"the character U+{ord(unseen.group()):04X}, which is invisible"
        raise NotText(
            file, *position(text[: unseen.start()]), found, "text without invisible characters"
        )
    return text


def position(before: str) -> tuple[int, int]:
    """Line and column of what follows the text `before`, counted from 1.

    >>> position("gonogo: profile/1\\r\\nvehicle: ")
    (2, 10)
    """
    lines = LINE_END.split(before)
    return len(lines), len(lines[-1]) + 1


def line_of(text: str, number: int) -> str:
    """One line of a text, counted from 1, without its end; empty if there is none."""
    lines = LINE_END.split(text)
    return lines[number - 1] if 0 < number <= len(lines) else ""


def alternatives(words: Sequence[str]) -> str:
    """Several possibilities as one phrase.

    >>> alternatives(["pack", "cell", "motor"])
    'pack, cell or motor'
    """
    words = list(dict.fromkeys(words))
    return " or ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known name that the word was probably meant for, if one is near enough.

    >>> nearest("battery_curent_A", ["battery_current_A", "pole_pairs"])
    'battery_current_A'
    """
    return next(iter(get_close_matches(word[:MOST_COMPARED], list(known), 1, NEAR_ENOUGH)), None)
