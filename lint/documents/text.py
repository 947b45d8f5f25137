"""The bytes of a file as text, or the byte at which they stop being text."""

from __future__ import annotations

import codecs
import re

from .error import NotText
from .quotation import INVISIBLE

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
        found = f"the character U+{ord(unseen.group()):04X}, which nobody sees"
        raise NotText(file, *position(text[: unseen.start()]), found, "text that shows all it says")
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
