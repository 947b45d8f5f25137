"""A plain word of YAML as a value: YAML 1.2, and a refusal where a reader could be mistaken."""

from __future__ import annotations

import math
import re
from typing import Any, NamedTuple

WORDS: dict[str, Any] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL")),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
}
STARTS_A_NUMBER = frozenset("+-.0123456789")
WHOLE = re.compile(r"[-+]?(?:0|[1-9][0-9]*)")
DECIMAL = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")
LONGEST_NUMBER = 40

ENDLESS = re.compile(r"[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)")
UNDERSCORED = re.compile(r"[-+]?[0-9][0-9_]*(?:\.[0-9_]*)?(?:[eE][-+]?[0-9]+)?")
OTHER_BASE = re.compile(r"[-+]?0(?:[xX][0-9a-fA-F_]+|[oO]?[0-7_]+|[bB][01_]+)")
PADDED = re.compile(r"[-+]?0[0-9]+")
BASE_SIXTY = re.compile(r"[-+]?[0-9]+(?::[0-5]?[0-9])+(?:\.[0-9]*)?")


class Refusal(NamedTuple):
    """Why a plain word is no value: what was found, what was wanted, what was probably meant."""

    found: str
    wanted: str
    nearest: str | None = None


def value_of(text: str) -> Any:
    """The value of a plain scalar, or a Refusal.

    Only what looks like a number to a person is one; `yes`, `on` and dates stay text.

    >>> value_of("48.5"), value_of("off"), value_of("2026-05-18"), value_of("null")
    (48.5, 'off', '2026-05-18', None)
    >>> value_of("12_000").nearest
    '12000'
    """
    if text in WORDS:
        return WORDS[text]
    if text[0] not in STARTS_A_NUMBER:
        return text
    if len(text) > LONGEST_NUMBER:
        return _long(text)
    if WHOLE.fullmatch(text):
        return int(text)
    if DECIMAL.fullmatch(text):
        number = float(text)
        if not math.isfinite(number):
            return Refusal("a number too large to hold", "a number with an end")
        return _padded(text) if PADDED.match(text) else number
    return _doubtful(text)


def _long(text: str) -> Any:
    if DECIMAL.fullmatch(text) or UNDERSCORED.fullmatch(text):
        return Refusal(f"a number of {len(text)} characters", f"{LONGEST_NUMBER} at most")
    return text


def _padded(text: str) -> Refusal:
    """A leading zero once meant base eight, and to a person means nothing."""
    sign, digits = ("-", text[1:]) if text[0] == "-" else ("", text.lstrip("+"))
    return Refusal(f"`{text}`", "a number without a leading zero", sign + digits.lstrip("0"))


def _doubtful(text: str) -> Any:
    """What is no number here, though other readers of YAML would make it one."""
    if ENDLESS.fullmatch(text):
        return Refusal(f"`{text}`", "a number with an end")
    if "_" in text and UNDERSCORED.fullmatch(text):
        bare = text.replace("_", "")
        return Refusal(f"`{text}`", "a number without underscores, or a text in quotes", bare)
    if OTHER_BASE.fullmatch(text):
        return Refusal(f"`{text}`", "a decimal number, or a text in quotes")
    if BASE_SIXTY.fullmatch(text):
        wanted = "a decimal number, or a text in quotes: some read this as a number of base 60"
        return Refusal(f"`{text}`", wanted)
    return text
