"""Text of a document as it may be quoted: on one short line, and nothing that moves a cursor."""

from __future__ import annotations

import re

LONGEST = 60
MORE = "…"
# Later control characters, line and paragraph separators, marks that turn the writing direction,
# and halves of characters that no terminal can print.
INVISIBLE = r"\x7f-\x9f\u2028-\u202e\u2066-\u2069\ufffe\uffff\ud800-\udfff"
UNSEEN = re.compile(rf"[\x00-\x1f{INVISIBLE}]")


def clean(text: str) -> str:
    """The text with everything unseen replaced, so that it cannot disturb a terminal.

    >>> clean("red\\x1b[31m")
    'red\N{REPLACEMENT CHARACTER}[31m'
    """
    return UNSEEN.sub("\N{REPLACEMENT CHARACTER}", text)


def cut(text: str) -> str:
    """The text cleaned and cut to a length that still fits a sentence."""
    one_line = clean(" ".join(text[: 4 * LONGEST].split()))
    return one_line if len(one_line) <= LONGEST else one_line[: LONGEST - 1].rstrip() + MORE


def quoted(text: str) -> str:
    """The text marked as a quotation.

    >>> quoted("200 A")
    '`200 A`'
    """
    return f"`{cut(text)}`" if text.strip() else "an empty text"
