"""What number, list of numbers or day was meant by a text: a comma for a point, a unit left in."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from typing import Any, NamedTuple

from .spelling import plain_word
from .units import unit_of_key
from .value_units import in_the_unit_of
from .yaml_scalar import DECIMAL, ratio_of

NUMBER_FORM = r"[-+]?[0-9]+(?:\.[0-9]+)?"
COMMA = re.compile(r"[-+]?[0-9]+,[0-9]+")
GROUPED = re.compile(r"[-+]?[0-9]{1,3}(?:[ ',\u00a0\u202f][0-9]{3})+")
GROUPED_AT_ITS_HEAD = re.compile(r"[-+]?[0-9]{1,3}(?:,[0-9]{3})+(?![0-9])")
# Groups and decimals by two signs, or groups by points, of which a number has one at most.
GROUPED_AND_PARTED = re.compile(
    r"([-+]?[0-9]{1,3}(?:([.,' \u00a0\u202f])[0-9]{3})+)((?!\2)[.,])([0-9]+)"
    r"|[-+]?[0-9]{1,3}(?:\.[0-9]{3}){2,}"
)
WITH_UNIT = re.compile(rf"({NUMBER_FORM})\s*([^\W\d].*|[%°µΩ].*|['\"′″]|1/min.*)")
UNIT_IN_BRACKETS = re.compile(rf"({NUMBER_FORM})\s*[(\[]([^()\[\]]+)[)\]]")
GAUGE_WITH_UNIT = re.compile(r"([1-4]/0|0{1,4})\s*([A-Za-z]+)")  # a wire gauge
SPAN = re.compile(rf"{NUMBER_FORM}\s*(?:-|–|to|\.\.+|\+/-|\+-|±)\s*{NUMBER_FORM}")
APPROXIMATE = re.compile(rf"(?:[~<>≈=±]+|ca?\.?|about)\s*{NUMBER_FORM}|{NUMBER_FORM}\s*[+?]+")
SUM = re.compile(rf"=.*|{NUMBER_FORM}(?:\s*[-+*/x×÷]\s*{NUMBER_FORM})+")
BRACKETED = re.compile(r"[(<{\[]([^()<>{}\[\]]+)[)>}\]]")
PARTED_BY = re.compile(r"\s*[;/]\s*|,\s+|\s+")
WITH_REMARK = re.compile(rf"{NUMBER_FORM}\s*(?://|--|/\*).*")
DIGITS_FOR = str.maketrans("OolI", "0011")
DASHES_ALONE = re.compile("[-_\u2010-\u2015\u2212]+")
DASHES = re.compile("[\u2010-\u2015\u2212](?=[0-9.])")
NOT_TOLD = frozenset(("?", "??", "tbd", "todo", "n/a", "na", "unknown", "-", "--", "none", "null"))
NOT_KNOWN = "; leave the key out if the value is unknown"
A_FIGURE = "; the figure itself"
A_SINGLE_NUMBER = ", a single number"
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


class Correction(NamedTuple):
    """What to add to the words of what is wanted, and what was meant, where that is plain."""

    note: str = ""
    nearest: str | None = None


NO_CORRECTION = Correction()


def in_range(correction: Correction, schema: Mapping[str, Any]) -> Correction:
    """A correction, without a number that the schema would refuse as well."""
    note, meant = correction
    if not meant or not DECIMAL.fullmatch(meant) or "minimum" not in schema:
        return correction
    value = float(meant)
    if "integer" in schema.get("type", ()) and not value.is_integer():
        return Correction(f"; {meant} is no whole number")
    if schema["minimum"] <= value <= schema.get("maximum", value):
        return correction
    return Correction(f"{note}; {meant} is out of this range")


def is_not_told(word: str) -> bool:
    """Whether a plain word stands for a value that nobody knows."""
    return word in map(plain_word, NOT_TOLD) or bool(DASHES_ALONE.fullmatch(word))


def of_number(text: str, quoted: bool, key: str, list_form: str = "") -> Correction:
    """What number was meant by a text; `list_form` says where one of several stands, if it may.

    >>> of_number("48,5", False, "stop_V")
    Correction(note=', with a decimal point', nearest='48.5')
    """
    dashed = DASHES.sub("-", text.strip(), count=1)
    if dashed != text.strip() and DECIMAL.fullmatch(dashed):
        return Correction(", with a minus as a keyboard types it", dashed)
    text = text.strip()
    divided = ratio_of(text) if not unit_of_key(key) else None
    if divided:
        return Correction(", as a single number", divided)
    if quoted and DECIMAL.fullmatch(text):
        return Correction(", without quotes", text)
    if GROUPED.fullmatch(text):
        bare = None if "," in text else re.sub(r"[^-+0-9]", "", text)
        return Correction(", without thousands separators", bare)
    parted = GROUPED_AND_PARTED.fullmatch(text)
    if parted:
        whole = re.sub(r"[^-+0-9]", "", parted[1] or text)
        note = ", with a decimal point and no thousands separators"
        return Correction(note, f"{whole}.{parted[4]}" if parted[4] else whole)
    if COMMA.fullmatch(text):
        return Correction(", with a decimal point", text.replace(",", "."))
    digits = text.rstrip(",;").translate(DIGITS_FOR)
    if digits != text and DECIMAL.fullmatch(digits) and any(map(str.isdigit, text)):
        return Correction(", in digits alone", digits)
    point = text.replace(",", ".")
    with_unit = UNIT_IN_BRACKETS.fullmatch(point) or WITH_UNIT.fullmatch(point)
    with_unit = with_unit or GAUGE_WITH_UNIT.fullmatch(text)
    if with_unit:
        if GROUPED_AT_ITS_HEAD.match(text):
            return Correction(", without thousands separators and in its own unit")
        return Correction(*in_the_unit_of(key, *with_unit.groups()))
    is_gauge = unit_of_key(key) == "awg" and "/" in text
    return NO_CORRECTION if is_gauge else _of_several(text, list_form) or _of_words(text)


def _of_several(text: str, list_form: str) -> Correction | None:
    """Several numbers where one stands, or one in brackets."""
    bare = BRACKETED.fullmatch(text)
    inner = bare[1].strip() if bare else text
    if bare and DECIMAL.fullmatch(inner):
        return Correction(", without brackets", inner)
    numbers = numbers_in(inner)
    if not numbers:
        return None
    if list_form == "item":
        return Correction("; a comma between two of them", ", ".join(numbers))
    if not list_form:
        return Correction(A_SINGLE_NUMBER)
    if all(number.startswith("-") for number in numbers):
        return Correction("; a blank after the dash of each item")
    return Correction("; several of them in brackets", f"[{', '.join(numbers)}]")


def numbers_in(text: str) -> list[str]:
    """The numbers of a text that holds several and nothing else.

    >>> numbers_in("0,84; 0,9"), numbers_in("0.84,0.9"), numbers_in("48,5"), numbers_in("3 to 4")
    (['0.84', '0.9'], ['0.84', '0.9'], [], [])
    """
    pieces = [piece for piece in PARTED_BY.split(text) if piece]
    if len(pieces) < 2 and text.count(".") > 1:
        pieces = text.split(",")
    numbers = [piece.replace(",", ".") for piece in pieces]
    return numbers if len(numbers) > 1 and all(map(DECIMAL.fullmatch, numbers)) else []


def _of_words(text: str) -> Correction:
    """What is no single figure: a span, a guess, a sum, a remark, a word."""
    if SPAN.fullmatch(text) or APPROXIMATE.fullmatch(text):
        return Correction(A_SINGLE_NUMBER)
    if WITH_REMARK.fullmatch(text):
        return Correction("; a remark goes behind a `#` with a blank before it")
    if SUM.fullmatch(text):
        return Correction(", worked out to a single number")
    if is_not_told(plain_word(text)):
        return Correction(NOT_KNOWN)
    return Correction(A_FIGURE) if text[:1].isalpha() else NO_CORRECTION


def of_day(text: str) -> Correction:
    """A date written another way: the day, where only one can be meant.

    >>> of_day("22/11/2026").nearest, of_day("Nov 2, 2026").nearest, of_day("02/11/2026").nearest
    ('2026-11-22', '2026-11-02', None)
    """
    numbers = re.findall("[0-9]+", text)
    clock = re.fullmatch(r"([0-9]{4}-[0-9]{2}-[0-9]{2})[T ][0-9:.Z+]+", text)
    if clock:
        return _the_day(clock[1].split("-"))
    if len(numbers) == 1 and len(text) == 8:
        return _the_day([text[:4], text[4:6], text[6:]])
    words = [word[:3].lower() for word in re.findall(r"[^\W\d_]+", text)]
    months = [MONTHS.index(word) + 1 for word in words if word in MONTHS]
    if len(words) == len(months) == 1 and len(numbers) == 2 and len(numbers[1]) == 4:
        return _the_day([numbers[1], str(months[0]), numbers[0]])
    if len(numbers) != 3 or re.search(r"[^-0-9./ ]", text):
        return NO_CORRECTION
    if len(numbers[2]) != 4:
        return (
            _the_day(numbers) if len(numbers[0]) == 4 else Correction("; the year in four digits")
        )
    first, second, year = numbers
    if "." in text or int(first) > 12 or first == second:
        return _the_day([year, second, first])
    if int(second) > 12:
        return _the_day([year, first, second])
    return Correction(f"; {year}-{second:0>2}-{first:0>2} or {year}-{first:0>2}-{second:0>2}")


def _the_day(numbers: list[str]) -> Correction:
    try:
        day = date(*map(int, numbers)).isoformat()
    except ValueError:
        return Correction("; there is no such day")
    return Correction("", day)
