"""What a plain word of YAML is: a number, a truth, nothing, a text, or none that all readers share."""

from __future__ import annotations

import re
from typing import Any, NamedTuple

PLAIN_WORDS: dict[str, Any] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL")),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
}
# Text in YAML 1.2, a truth in YAML 1.1, whose readers are still about.
ONCE_TRUTHS: dict[str, bool] = {
    **dict.fromkeys(("yes", "Yes", "YES", "on", "On", "ON"), True),
    **dict.fromkeys(("no", "No", "NO", "off", "Off", "OFF"), False),
}
MINUS = "\N{MINUS SIGN}"  # as reports print it: what is copied from one is a number again
STARTS_A_NUMBER = frozenset("+-.0123456789")
WHOLE = re.compile(r"[-+]?(?:0|[1-9][0-9]*)")
SEVERAL_POINTS = re.compile(
    r"[-+]?[0-9]{1,6}(?:\.\.|\.,|,\.)[0-9]{1,6}|[-+]?[0-9]{1,6}\.[0-9]{1,6}\."
)
DECIMAL = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")
LONGEST_NUMBER = 40
SURELY_FEW = 16  # characters of a whole number that is in range
LONGEST_TRUTH = 3  # letters
LARGEST_NUMBER = 1e15  # no bench has one, and a float still holds every whole number below

ENDLESS = r"[-+]?\.(?:inf|Inf|INF)|\.(?:nan|NaN|NAN)"
UNDERSCORED = r"[-+]?[0-9][0-9_]*(?:\.[0-9_]*)?(?:[eE][-+]?[0-9]+)?"
OTHER_BASE = r"[-+]?0(?:[xX][0-9a-fA-F_]+|[oO]?[0-7_]+|[bB][01_]+)"
PADDED = re.compile(r"[-+]?0[0-9]+")
BASE_SIXTY = r"[-+]?[0-9][0-9_]*(?::[0-5]?[0-9])+(?:\.[0-9_]*)?"
RATIO = re.compile(r"([0-9]+(?:\.[0-9]+)?) *[:/] *([0-9]+(?:\.[0-9]+)?)")
VALUE_OR_NONE = "a value, `none` where there is none, and no key where that is not known"


class Refusal(NamedTuple):
    """Why a plain word is no value: what was found, what was wanted, what was probably meant."""

    found: str
    wanted: str
    nearest: str | None = None


def scalar_value(text: str) -> Any:
    """The value of a plain scalar, or a Refusal.

    Only what looks like a number to a person is one; `yes`, `on` and dates stay text.

    >>> scalar_value("48.5"), scalar_value("off"), scalar_value("2026-05-18"), scalar_value("null")
    (48.5, 'off', '2026-05-18', None)
    >>> scalar_value("12_000").nearest
    '12000'
    """
    if text in PLAIN_WORDS:
        return PLAIN_WORDS[text]
    if text[0] == MINUS and DECIMAL.fullmatch(text, 1):
        text = f"-{text[1:]}"
    if text[0] not in STARTS_A_NUMBER:
        return text
    if len(text) > LONGEST_NUMBER:
        return _long(text)
    if WHOLE.fullmatch(text):
        return int(text) if len(text) < SURELY_FEW else _in_range(text, int(text))
    if DECIMAL.fullmatch(text):
        if PADDED.match(text):
            return _padded(text)
        number = float(text)
        return number if 1e-3 < number < 1e6 else _in_range(text, number)
    return _doubtful(text)


def _in_range(text: str, number: float) -> Any:
    """The number, unless it is one that nobody means, or that a float rounds to nothing."""
    if not -LARGEST_NUMBER < number < LARGEST_NUMBER:
        return Refusal("a number that is too large", "15 digits at most before the point")
    if number == 0 and text.lower().partition("e")[0].strip("+-.0"):
        return too_small(text, "0, or a number that can be measured")
    return number


def too_small(text: str, wanted: str) -> Refusal:
    """A number so near to nought that nothing can be divided by it."""
    return Refusal(f"`{text}`, a number that is too small", wanted)


def ratio_of(text: str) -> str | None:
    """The number that a proportion says; None where it is none, or may be meant the other way.

    >>> ratio_of("9:1"), ratio_of("52/7"), ratio_of("1:9")
    ('9', '7.429', None)
    """
    parts = RATIO.fullmatch(text)
    if parts is None or not 0 < float(parts[2]) <= float(parts[1]):
        return None
    return parts[1] if float(parts[2]) == 1 else f"{float(parts[1]) / float(parts[2]):.4g}"


def _long(text: str) -> Any:
    if DECIMAL.fullmatch(text) or re.fullmatch(UNDERSCORED, text):
        return Refusal(f"a number of {len(text)} characters", f"{LONGEST_NUMBER} at most")
    return text


def _padded(text: str) -> Refusal:
    """A leading zero once meant base eight, and to a person means nothing."""
    sign, digits = ("-", text[1:]) if text[0] == "-" else ("", text.lstrip("+"))
    bare = digits.lstrip("0")
    meant = sign + (bare if bare[:1].isdigit() else f"0{bare}")
    return Refusal(f"`{text}`", "a number without a leading zero", meant)


def _doubtful(text: str) -> Any:
    """What is no number here, though other readers of YAML would make it one, or refuse it."""
    if text == "-":
        return Refusal("`-` for a value", VALUE_OR_NONE)
    if re.fullmatch(ENDLESS, text):
        return Refusal(f"`{text}`", "a finite number")
    if "_" in text and re.fullmatch(UNDERSCORED, text):
        bare = text.replace("_", "")
        return Refusal(f"`{text}`", "a number without underscores, or a text in quotes", bare)
    if re.fullmatch(OTHER_BASE, text):
        return Refusal(f"`{text}`", "a decimal number, or a text in quotes")
    if re.fullmatch(BASE_SIXTY, text):
        wanted = "a decimal number, or a text in quotes: some read this as a number of base 60"
        return Refusal(f"`{text}`", wanted)
    return text


def refused_ratio(text: str, key: str) -> Refusal | None:
    """What is said of a proportion where a ratio stands.

    >>> refused_ratio("1:9", "ratio").wanted
    'one number: the turns of the rotor for one turn of the wheel'
    """
    if not key.endswith("ratio") or not RATIO.fullmatch(text):
        return None
    wanted = "one number: the turns of the rotor for one turn of the wheel"
    return Refusal(f"`{text}`", wanted, ratio_of(text))


def once_a_truth(text: str) -> Refusal:
    """Why one of those words is doubtful: to readers of YAML 1.1 it is true or false.

    >>> once_a_truth("No").nearest
    '"No"'
    """
    other = str(ONCE_TRUTHS[text]).lower()
    wanted = f"the text in quotes: older readers of YAML take this word for {other}"
    return Refusal(f"`{text}`", wanted, f'"{text}"')


def one_point(text: str) -> tuple[str, str | None]:
    """What is to be said of a number with too many points, and what was meant.

    Two points may part the ends of a range as well, where the second is the higher one.

    >>> one_point("44..5"), one_point("44.,5"), one_point("44.5.")
    ((', with one point', '44.5'), (', with one point', '44.5'), (', with one point', '44.5'))
    >>> one_point("3..65")
    (', with one point; of a range its less favourable end', None)
    """
    whole, *rest = re.split("[.,]+", text.rstrip("."))
    if text.rstrip(".") == text and ".." in text and abs(int(whole)) < int(rest[0]):
        return ", with one point; of a range its less favourable end", None
    return ", with one point", f"{whole}.{rest[0]}"
