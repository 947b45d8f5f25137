"""What number or list of numbers was meant by a text: a comma for a point, a unit left in."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, NamedTuple

from .spelling import plain_word
from .units import unit_of_key
from .value_units import NO_PEAK, NOT_CONVERTED, PEAK_WORD, WHEEL_SIZE, in_the_unit_of
from .yaml_scalar import DECIMAL, SEVERAL_POINTS, one_point, ratio_of

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
# A word or sign before a number that says how sure it is, not what it is.
HEDGE = re.compile(
    r"(?:[~<>≈≥≤=@]+|(?:approx(?:imately)?|circa|ca|c(?=\.)|about|around|roughly|etwa|rund|ungefähr|env(?:iron)?"
    r"|max(?:imum)?|min(?:imum)?|up to|at (?:least|most)|typ(?:ical)?|nom(?:inal)?|bis)(?![^\W\d])\.?)"
    r"\s*(?=[0-9])",
    re.IGNORECASE,
)
WORD_FIRST = re.compile(
    rf"([^\W\d_][\w%°µΩ/.]{{0,20}})\s*[:=]?\s+({NUMBER_FORM})(?:\s*([^\W\d].*))?"
)
DIRECT = ("direct", "direct drive", "none", "gearless", "direkt", "direktantrieb")
ANY_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")
OF_A_CURRENT = ("A", "A_rms", "A_peak")
TWO_FIGURES = re.compile(r"(?<![\w^/.-])[0-9]")
TIMES = re.compile(rf"{NUMBER_FORM}\s*[x×*]\s*{NUMBER_FORM}(?:\s*[^\W\d]\w*)?")
POINT_OF_GROUPS = re.compile(r"[-+]?[0-9]{1,3}\.[0-9]{3}")
TOO_MUCH = 200  # letters of a text that is no number
FRACTIONS = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅓": 0.3333, "⅔": 0.6667, "⅛": 0.125}
WITH_FRACTION = re.compile(r"([0-9]{0,6}) ?([½¼¾⅓⅔⅛])|([0-9]{1,6}) ([1-9]/[1-9][0-9]?)")
OF_TEETH = re.compile(r"([0-9]+)\s*[tTzZ]?\s*(?:[:/]|to|zu)\s*([0-9]+)\s*[tTzZ]?")
PARALLEL = re.compile(r"([0-9]+)[sS]\s*([0-9]+)[pP]")
APPROXIMATE = re.compile(rf"(?:[~<>≈=±]+|ca?\.?|about)\s*{NUMBER_FORM}|{NUMBER_FORM}\s*[+?]+")
SUM = re.compile(rf"=.*|{NUMBER_FORM}(?:\s*[-+*/x×÷]\s*{NUMBER_FORM})+")
BRACKETED = re.compile(r"[(<{\[]([^()<>{}\[\]]+)[)>}\]]")
PARTED_BY = re.compile(r"\s*[;/]\s*|,\s+|\s+")
WITH_REMARK = re.compile(rf"{NUMBER_FORM}\s*(?://|--|/\*|#).*")
BRACKETS_AWAY = str.maketrans("()[]", "    ")
DIGITS_FOR = str.maketrans("OolI", "0011")
DASHES_ALONE = re.compile("[-_\u2010-\u2015\u2212]+")
DASHES = re.compile("[\u2010-\u2015\u2212](?=[0-9.])")
NOT_TOLD = frozenset(
    (
        "?",
        "??",
        "tbd",
        "todo",
        "nan",
        "not known",
        "unbekannt",
        "inconnu",
        "desconocido",
        "n/a",
        "na",
        "unknown",
        "-",
        "--",
        "none",
        "null",
    )
)
NOT_KNOWN = "; leave the key out if the value is unknown"
A_FIGURE = "; the figure itself"
ALONE = ", the number alone"
OF_SEVERAL = "; one figure, the one that this key asks for"
TURNS_OF_THE_ROTOR = ", as a single number: the turns of the rotor for one turn of the wheel"
THE_WORSE = ", a single number: of the two the less favourable one"
A_SINGLE_NUMBER = ", a single number"


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
    word = word.strip("()<>[]")
    return word in map(plain_word, NOT_TOLD) or bool(DASHES_ALONE.fullmatch(word))


def of_number(text: str, quoted: bool, key: str, list_form: str = "") -> Correction:
    """What number was meant by a text; `list_form` says where one of several stands, if it may.

    >>> of_number("48,5", False, "stop_V")
    Correction(note=', with a decimal point', nearest='48.5')
    """
    if len(text) > TOO_MUCH:
        return Correction(A_FIGURE)
    dashed = DASHES.sub("-", text.strip(), count=1)
    if dashed != text.strip() and DECIMAL.fullmatch(dashed):
        return Correction(", with a minus as a keyboard types it", dashed)
    text = text.strip()
    divided = ratio_of(text) if key.endswith("ratio") else None
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
    if SEVERAL_POINTS.fullmatch(text):
        return Correction(*one_point(text))
    digits = text.rstrip(",;").translate(DIGITS_FOR)
    if digits != text and any(map(str.isdigit, text)):
        if DECIMAL.fullmatch(digits):
            return Correction(", in digits alone", digits)
        if GROUPED.fullmatch(digits) or COMMA.fullmatch(digits):
            return Correction(f", in digits alone{of_number(digits, False, key, list_form).note}")
    return _of_hedged(text, key, list_form) or _with_unit(text, key, list_form)


def _of_hedged(text: str, key: str, list_form: str) -> Correction | None:
    """A number behind a word or a sign, or of two parts: what is behind it decides."""
    numbers = ANY_NUMBER.findall(text.replace(",", "."))
    if len(numbers) == 1 and unit_of_key(key) in OF_A_CURRENT and PEAK_WORD.search(text):
        return Correction(*in_the_unit_of(key, numbers[0], "peak"))
    fraction = WITH_FRACTION.fullmatch(text)
    if fraction:
        part = FRACTIONS[fraction[2]] if fraction[2] else _divided(fraction[4])
        whole = int(fraction[1] or fraction[3] or 0)
        return Correction(", with a decimal point", f"{whole + part:.4g}")
    hedge = HEDGE.match(text)
    if hedge:
        note, meant = of_number(text[hedge.end() :], False, key, list_form)
        return Correction(note, meant) if note else Correction(ALONE)
    if key.endswith("ratio"):
        teeth = OF_TEETH.fullmatch(text)
        meant = ratio_of(f"{teeth[1]}:{teeth[2]}") if teeth else None
        if meant or teeth or SPAN.fullmatch(text):
            return Correction(", as a single number" if meant else TURNS_OF_THE_ROTOR, meant)
    if key == "ratio" and text.lower() in DIRECT:
        return Correction("; 1 where the motor turns the wheel without gears or chain")
    if "circumference" in key and TIMES.fullmatch(text):
        return Correction(WHEEL_SIZE)
    if TIMES.fullmatch(text) or _is_span(text):
        return Correction(A_SINGLE_NUMBER) if list_form else _of_words(text)
    both = PARALLEL.fullmatch(text)
    if both and key in ("series", "parallel"):
        note = f"; `series: {both[1]}` and `parallel: {both[2]}`"
        return Correction(note, both[1] if key == "series" else both[2])
    first = WORD_FIRST.fullmatch(text.replace(",", ".")) if unit_of_key(key) else None
    if first is None or NOT_CONVERTED in in_the_unit_of(key, first[2], first[1])[0]:
        return None
    return Correction(*in_the_unit_of(key, first[2], f"{first[3] or ''} {first[1]}".strip()))


def _is_span(text: str) -> bool:
    """Whether a text is two numbers as the ends of a range, with a unit behind them or none."""
    span = SPAN.match(text)
    rest = text[span.end() :].strip() if span else "-"
    return not rest or rest[0].isalpha() or rest[0] in "%°µΩ"


def of_sign(text: str, schema: Mapping[str, Any], key: str) -> Correction:
    """A current with a minus, where its key alone says the direction: regen flows back by its name."""
    if unit_of_key(key)[:1] != "A" or not text.startswith("-") or not DECIMAL.fullmatch(text):
        return NO_CORRECTION
    fits = 0 <= schema.get("minimum", -1) <= -float(text) <= schema.get("maximum", 0)
    return Correction("; the amount without a sign") if fits else NO_CORRECTION


def _divided(text: str) -> float:
    above, _, below = text.partition("/")
    return int(above) / int(below)


def of_point(text: str, schema: Mapping[str, Any]) -> Correction:
    """A number too small that a point for thousands makes of one that would be in range.

    >>> of_point("3.000", {"minimum": 10, "maximum": 30000})
    Correction(note='; a point parts decimals: `3.000` is 3', nearest='3000')
    """
    if not POINT_OF_GROUPS.fullmatch(text) or "minimum" not in schema:
        return NO_CORRECTION
    bare = text.replace(".", "").lstrip("+")
    if float(text) >= schema["minimum"] or float(bare) > schema.get("maximum", float(bare)):
        return NO_CORRECTION
    return Correction(
        f"; a point parts decimals: {text!r} is {float(text):g}".replace("'", "`"), bare
    )


def _with_unit(text: str, key: str, list_form: str) -> Correction:
    """A number with something behind it, a unit most of all; else what is no number."""
    point = text.replace(",", ".")
    with_unit = UNIT_IN_BRACKETS.fullmatch(point) or WITH_UNIT.fullmatch(point)
    with_unit = with_unit or GAUGE_WITH_UNIT.fullmatch(text)
    if with_unit:
        if GROUPED_AT_ITS_HEAD.match(text):
            return Correction(", without thousands separators and in its own unit")
        number, word = with_unit.groups()
        word = " ".join(word.translate(BRACKETS_AWAY).split()).rstrip(".,;")
        another = TWO_FIGURES.search(word) if unit_of_key(key) else None
        if another and not word.startswith("1/"):
            peak = PEAK_WORD.search(word)
            if peak is None or peak.end() > another.start():
                return Correction(OF_SEVERAL + (NO_PEAK if peak else ""))
            word = word[: peak.end()]
        return Correction(*in_the_unit_of(key, number, word))
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
    span = SPAN.match(text) if _is_span(text) else None
    if span and any(sign in span[0] for sign in ("+/-", "+-", "±")):
        return Correction(A_SINGLE_NUMBER)
    if span:
        return Correction(THE_WORSE)
    if APPROXIMATE.fullmatch(text):
        return Correction(ALONE)
    if TIMES.fullmatch(text):
        return Correction(", worked out to a single number")
    if WITH_REMARK.fullmatch(text):
        return Correction("; a remark goes behind a `#` with a blank before it")
    if SUM.fullmatch(text):
        return Correction(", worked out to a single number")
    if is_not_told(plain_word(text)):
        return Correction(NOT_KNOWN)
    return Correction(A_FIGURE) if text[:1].isalpha() else NO_CORRECTION
