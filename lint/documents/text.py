"""Text of documents: read from bytes, and made fit to be shown on a screen."""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterable, Sequence
from difflib import SequenceMatcher

from .error import NotText

LONGEST_QUOTATION = 60
MOST_COMPARED = 120  # letters; what is longer is no slip of a name of ours
NEAR_ENOUGH = 0.6  # of two names, so much must be the same for one to have been meant for the other
MORE = "…"
LONGEST_EDITED = 100  # letters of a line that an entry is added to
# What is compiled at its first use stands as text: most runs need none of it.
# What takes no room on a screen, or is obeyed instead of shown: later control characters, marks that
# turn the writing direction, fillers, joiners of words, tags, halves of characters, and letters that
# nobody has been given yet, which renderers leave out (Unicode: Default_Ignorable_Code_Point). The
# seventh is what our own prose ties words with.
INVISIBLE = (
    r"\x7f-\x9f\xad\u034f\u0378\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b\u2028-\u202e\u2060-\u206f"
    r"\u2800\u3164\ud800-\udfff\ufe00-\ufe0d\ufeff\uffa0\ufff0-\ufffb\ufffe\uffff"
    r"\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e0fff"
)
# Marks that turn it for the letters beside them, join them or keep them apart, and that say how a sign
# is drawn; a document may hold them, as some scripts need.
BESIDE = r"\u061c\u200c-\u200f\ufe0e\ufe0f"
SPACES = r"[\t\n\r\u2028\u2029]"
UNSEEN = rf"[\x00-\x1f{INVISIBLE}{BESIDE}]"
HIDDEN = rf"[{INVISIBLE}{BESIDE}]"  # of them what JSON may hold as it stands
BYTES_OF_A_NAME = "[\udc80-\udcff]+"
FIRST_MARK = "\u0300"  # of all letters before it, those that can be printed are seen
DRAWN = ("\ufe0e", "\ufe0f")  # only how the sign before them is drawn: nothing is lost without


def clean(text: object) -> str:
    """The text in one line, with a mark for all that a terminal would obey and nobody would see.

    >>> clean("Larch\\x1b[2J\\tbike")
    'Larch\N{REPLACEMENT CHARACTER}[2J bike'
    """
    kept = str(text)
    if kept.isprintable() and (kept.isascii() or max(kept) < FIRST_MARK):
        return kept
    return re.sub(UNSEEN, _mark, re.sub(SPACES, " ", re.sub(BYTES_OF_A_NAME, _decoded, kept)))


def _decoded(name: re.Match[str]) -> str:
    """Bytes of a file's name that the locale could not read: names are UTF-8 like all else."""
    return name.group().encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def _mark(unseen: re.Match[str]) -> str:
    return "" if unseen.group() in DRAWN else "\N{REPLACEMENT CHARACTER}"


def clean_lines(text: str) -> str:
    """The same for a text of several lines, such as a difference of two files; tabs stay too."""
    return re.sub(UNSEEN, lambda unseen: unseen[0] if unseen[0] in "\t\n" else _mark(unseen), text)


def escaped_in_json(text: str) -> str:
    """JSON with all that nobody sees written as an escape: its strings say the same as before.

    >>> escaped_in_json('{"name": "Al\x7fder"}')
    '{"name": "Al\\\\u007fder"}'
    """
    return text if text.isascii() and "\x7f" not in text else re.sub(HIDDEN, _escape, text)


def _escape(unseen: re.Match[str]) -> str:
    units = unseen.group().encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[n]:02x}{units[n + 1]:02x}" for n in range(0, len(units), 2))


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


def so_many(number: int, noun: str) -> str:
    """A number of things in words.

    >>> so_many(1, "rule"), so_many(2, "other file")
    ('1 rule', '2 other files')
    """
    return f"{number} {noun}{'' if number == 1 else 's'}"


# Of the unseen characters a document may hold the tab, the ends of lines and the marks of a script.
FORBIDDEN = rf"[\x00-\x08\x0b\x0c\x0e-\x1f{INVISIBLE}]"
VISIBLE = "text without invisible characters"
CONTROLS = bytes((*range(9), 11, 12, *range(14, 32), 127))  # those of them that are ASCII
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
    unseen = _first_unseen(text, data)
    if unseen is not None:
        found = f"the character {named_by_number(unseen.group())}, which is invisible"
        raise NotText(file, *position(text[: unseen.start()]), found, VISIBLE)
    return text


def named_by_number(letter: str) -> str:
    """A character that cannot be shown, as the standard numbers it."""
    return f"U+{ord(letter):04X}"


def unseen_in(text: str) -> str | None:
    """The first unseen character in a text that may come from an escape, named by its number.

    >>> unseen_in("Al\\x1bder"), unseen_in("Alder")
    ('U+001B', None)
    """
    if text.isascii() and text.isprintable():
        return None
    unseen = re.search(FORBIDDEN, text)
    return named_by_number(unseen.group()) if unseen else None


def _first_unseen(text: str, data: bytes) -> re.Match[str] | None:
    """Plain ASCII, which most documents are, is looked through in its bytes: that takes no time."""
    if text.isascii() and len(data.translate(None, CONTROLS)) == len(data):
        return None
    return re.search(FORBIDDEN, text)


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
    meant, best = None, NEAR_ENOUGH
    matcher = SequenceMatcher(None, "", word[:MOST_COMPARED])
    for name in known:
        matcher.set_seq1(name)
        # Each is an upper bound of the next and takes a tenth of its time.
        if matcher.real_quick_ratio() < best or matcher.quick_ratio() < best:
            continue
        likeness = matcher.ratio()
        if likeness > best or (likeness == best and (meant is None or name > meant)):
            meant, best = name, likeness
    return meant


def line_begun(text: str, at: int, more: int, column: int) -> str:
    """What stands before so many letters that are put into a line: a blank, or a line of their own.

    >>> line_begun("a: {b: 1}", 8, 4, 4)
    ' '
    >>> line_begun("a: {b: 1}", 8, 99, 4)
    '\\n    '
    """
    line = text[:at].splitlines()[-1] + (text[at:].splitlines() or [""])[0]
    if len(line) + more <= LONGEST_EDITED:
        return " "
    line_end = LINE_END.search(text)
    return (line_end.group() if line_end else "\n") + " " * column


def in_lines(text: str, width: int, indent: int = 0) -> str:
    """A sentence in lines of at most that width; a word longer than that stands by itself.

    >>> in_lines("one two-three", 10, 1)
    ' one\\n two-three'
    """
    from textwrap import fill  # late: most runs need none of it

    before = " " * indent
    return fill(
        text,
        width,
        initial_indent=before,
        subsequent_indent=before,
        break_long_words=False,
        break_on_hyphens=False,
    )
