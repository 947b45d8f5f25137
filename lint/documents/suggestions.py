"""What was probably meant: the unit left in, the comma for a point, the key a letter off."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any, NamedTuple

from .spelling import called_elsewhere, plain_word, slip_for
from .units import unit_of_key
from .value_units import in_the_unit_of
from .yaml_scalar import DECIMAL
from .yaml_tree import YamlNode

NUMBER_FORM = r"[-+]?[0-9]+(?:\.[0-9]+)?"
COMMA = re.compile(r"[-+]?[0-9]+,[0-9]+")
GROUPED = re.compile(r"[-+]?[0-9]{1,3}(?:[ ',\u00a0\u202f][0-9]{3})+")
GROUPED_AT_ITS_HEAD = re.compile(r"[-+]?[0-9]{1,3}(?:,[0-9]{3})+(?![0-9])")
WITH_UNIT = re.compile(rf"({NUMBER_FORM})\s*([^\W\d].*|[%°µΩ].*|['\"′″])")
GAUGE_WITH_UNIT = re.compile(r"([1-4]/0|0{1,4})\s*([A-Za-z]+)")  # a wire gauge
SPAN = re.compile(rf"{NUMBER_FORM}\s*(?:-|–|to|\.\.+)\s*{NUMBER_FORM}")
APPROXIMATE = re.compile(rf"(?:[~<>≈=±]+|ca?\.?|about)\s*{NUMBER_FORM}|{NUMBER_FORM}\s*[+?]+")
NOT_TOLD = frozenset(("?", "??", "tbd", "todo", "n/a", "na", "unknown", "-", "--", "none", "null"))
NOT_KNOWN = "; leave the key out if the value is unknown"
SAYS_TRUE = frozenset(("yes", "on", "y", "true", "1", "ja", "oui", "si", "fitted", "enabled"))
SAYS_FALSE = frozenset(("no", "off", "n", "false", "0", "nein", "non", "none", "disabled"))
SAYS_NONE = (SAYS_FALSE - {"0"}) | {
    *("nil", "nothing", "without", "absent", "not_fitted", "not_there", "keine", "kein", "aus"),
    *("solid", "airless", "foam"),
}
KEYS_OF_IT = "; its keys with their values where there is one"
A_FIGURE = "; the figure itself"
DIGITS_FOR = str.maketrans("OolI", "0011")
NONE_IF_ABSENT = "; `none` where there is none, and no key where that is not known"
DASHES = re.compile("[\u2010-\u2015\u2212](?=[0-9.])")
CURLY = re.compile(
    "^[\u2018\u2019\u201a\u201c-\u201e\u00ab\u00bb]|[\u2018\u2019\u201c\u201d\u00bb\u00ab]$"
)
RATIO = re.compile(r"([0-9]+(?:\.[0-9]+)?):1")


class Correction(NamedTuple):
    """What to add to the words of what is wanted, and what was meant, where that is plain."""

    note: str = ""
    nearest: str | None = None


NO_CORRECTION = Correction()


def of_value(node: YamlNode, schema: Mapping[str, Any], key: str) -> Correction:
    """What was meant by a value that its schema refuses."""
    text = str(getattr(node.event, "value", node.value))
    if isinstance(node.value, dict | list):
        return _of_brackets(node, schema)
    typed = CURLY.sub("", text).strip()
    if typed == text:
        return in_range(_of_text(node, text, schema, key), schema)
    note, meant = _of_text(node, typed, schema, key)
    curly = CURLY.search(text)
    typed_as = "with straight quotation marks" if curly else "without a no-break space beside it"
    return Correction(f", {typed_as}{note}", meant or (None if note else typed))


def _of_brackets(node: YamlNode, schema: Mapping[str, Any]) -> Correction:
    """What is wrong with a list where a section stands, and with a section where a list does."""
    in_brackets = bool(getattr(node.event, "flow_style", False))
    if isinstance(node.value, list) and "properties" in schema:
        if any(isinstance(item, dict) for item in node.value):
            braces = "; in braces, not in brackets"
            return Correction(braces if in_brackets else "; its keys without the dash before them")
    elif isinstance(node.value, dict) and "items" in schema and not in_brackets:
        return Correction("; a dash before each item of the list")
    return NO_CORRECTION


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


def _of_text(node: YamlNode, text: str, schema: Mapping[str, Any], key: str) -> Correction:
    types = schema.get("type", ())
    if not text:
        return Correction(NOT_KNOWN)
    if "enum" in schema:
        return _choice(text, schema["enum"])
    if "boolean" in types:
        word = text.lower()
        nearest = "true" if word in SAYS_TRUE else "false" if word in SAYS_FALSE else None
        return Correction("", nearest)
    if "number" in types or "integer" in types:
        if (
            schema.get("minimum") == 0
            and unit_of_key(key)[:1] == "A"
            and plain_word(text) in SAYS_NONE
        ):
            return Correction("; 0 where there is none")
        return (
            of_number(text, node.is_quoted, key) if isinstance(node.value, str) else NO_CORRECTION
        )
    if schema.get("format") == "date":
        return Correction("", _day(text))
    if "string" in types and not isinstance(node.value, str):
        return Correction(", in quotes", f'"{text}"')
    return NO_CORRECTION


def of_none(node: YamlNode, form: Mapping[str, Any], inner: Mapping[str, Any]) -> Correction | None:
    """What is meant by a value where `none` may stand, as far as that may be meant.

    `inner` is the form beside `none`. Of a section `0` says it as little as `-`: it may be meant
    for a number in it. Where there is a yes and no, or a value that turns it off, that is meant.
    """
    if isinstance(node.value, dict | list):
        return None
    section = "properties" in inner
    text = str(getattr(node.event, "value", node.value))
    word = plain_word(text)
    if inner.get("type") == "boolean" and word in SAYS_TRUE | SAYS_FALSE:
        return None
    if "x-off" in form and word in SAYS_NONE:
        return Correction("", str(form["x-off"]))
    if word in SAYS_NONE:
        return Correction("", "none")
    if not text or _is_not_told(word) or word in ("0", "~"):
        return Correction(NONE_IF_ABSENT)
    return Correction(KEYS_OF_IT) if section else None


def _is_not_told(word: str) -> bool:
    """Whether a plain word stands for a value that nobody knows."""
    return word in map(plain_word, NOT_TOLD)


def of_number(text: str, quoted: bool, key: str) -> Correction:
    """What number was meant by a text.

    >>> of_number("48,5", False, "stop_V")
    Correction(note=', with a decimal point', nearest='48.5')
    """
    dashed = DASHES.sub("-", text.strip(), count=1)
    if dashed != text.strip() and DECIMAL.fullmatch(dashed):
        return Correction(", with a minus as a keyboard types it", dashed)
    text = text.strip()
    if ratio := RATIO.fullmatch(text):
        return Correction(", as a single number", ratio[1])
    if quoted and DECIMAL.fullmatch(text):
        return Correction(", without quotes", text)
    if GROUPED.fullmatch(text):
        bare = None if "," in text else re.sub(r"[^-+0-9]", "", text)
        return Correction(", without thousands separators", bare)
    if COMMA.fullmatch(text):
        return Correction(", with a decimal point", text.replace(",", "."))
    digits = text.rstrip(",;").translate(DIGITS_FOR)
    if digits != text and DECIMAL.fullmatch(digits) and any(map(str.isdigit, text)):
        return Correction(", in digits alone", digits)
    with_unit = WITH_UNIT.fullmatch(text.replace(",", ".")) or GAUGE_WITH_UNIT.fullmatch(text)
    if with_unit:
        if GROUPED_AT_ITS_HEAD.match(text):
            return Correction(", without thousands separators and in its own unit")
        return Correction(*in_the_unit_of(key, *with_unit.groups()))
    if SPAN.fullmatch(text) or APPROXIMATE.fullmatch(text):
        return Correction(", a single number")
    if _is_not_told(plain_word(text)):
        return Correction(NOT_KNOWN)
    return Correction(A_FIGURE) if text[:1].isalpha() else NO_CORRECTION


def _choice(text: str, choices: Iterable[Any]) -> Correction:
    known = {plain_word(str(choice)): str(choice) for choice in choices if choice is not None}
    word = plain_word(text)
    if word in known:
        return Correction("", known[word])
    note, meant = called_elsewhere(word, set(known.values()))
    if note or meant:
        return Correction(note, meant)
    if "none" in known and word in SAYS_NONE:
        return Correction("", "none")
    slip = slip_for(word, known)
    return Correction("", known[slip]) if slip else NO_CORRECTION


def _day(text: str) -> str | None:
    """A date written another way, where only one day can be meant."""
    numbers = re.findall("[0-9]+", text)
    if len(numbers) == 1 and len(text) == 8:
        numbers = [text[:4], text[4:6], text[6:]]
    if len(numbers) != 3 or re.search(r"[^-0-9./ ]", text):
        return None
    if len(numbers[2]) == 4 and "." in text:
        numbers.reverse()
    try:
        return date(*map(int, numbers)).isoformat() if len(numbers[0]) == 4 else None
    except ValueError:
        return None
