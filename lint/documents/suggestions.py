"""What was probably meant: the unit left in, the comma for a point, the key a letter off."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date
from functools import lru_cache
from typing import Any, NamedTuple

from .schema import SchemaSection, outline
from .text import alternatives, nearest
from .units import unit_of_key
from .yaml_scalar import DECIMAL
from .yaml_tree import YamlNode

NUMBER_FORM = r"[-+]?[0-9]+(?:\.[0-9]+)?"
COMMA = re.compile(r"[-+]?[0-9]+,[0-9]+")
GROUPED = re.compile(r"[-+]?[0-9]{1,3}(?:[ ',\u00a0\u202f][0-9]{3})+")
WITH_UNIT = re.compile(rf"({NUMBER_FORM})\s*([^\W\d].*|[%°µΩ].*)")
SPAN = re.compile(rf"{NUMBER_FORM}\s*(?:-|–|to|\.\.+)\s*{NUMBER_FORM}")
APPROXIMATE = re.compile(rf"(?:[~<>≈=±]+|ca?\.?|about)\s*{NUMBER_FORM}|{NUMBER_FORM}\s*[+?]+")
NOT_TOLD = frozenset(("?", "??", "tbd", "todo", "n/a", "na", "unknown", "-", "--", "none", "null"))
NOT_KNOWN = "; leave the key out if the value is unknown"
SAYS_TRUE = frozenset(("yes", "on", "y", "true", "1"))
SAYS_FALSE = frozenset(("no", "off", "n", "false", "0"))
# What a key's word is called elsewhere, and what it is called here.
OTHER_WORDS = {"weight": "mass", "awg": "mm2", "gauge": "mm2", "wattage": "power_W"}
# What a choice is called elsewhere, where one alone can be meant.
OTHER_CHOICES = {
    "lifepo4": "lfp",
    "agm": "lead_acid",
    "gel": "lead_acid",
    "lead": "lead_acid",
    "road": "street",
    "on_road": "street",
    "private": "private_land",
    "offroad": "off_road",
}
LITHIUM = frozenset(("li_ion", "liion", "lithium_ion", "lithium", "lipo", "li_po", "li_polymer"))
WHICH_LITHIUM = "; the label or datasheet says which: nmc, nca, lco and lfp are all lithium"
MOST_LETTERS_OFF = 2  # a choice that differs by more in length is no slip of the finger
LETTERS = str.maketrans(
    {
        "\N{MICRO SIGN}": "u",
        "\N{GREEK SMALL LETTER MU}": "u",
        "²": "2",
        "-": "_",
        "/": "_",
        " ": "_",
    }
)
UNIT_SIGNS = {
    "\N{GREEK CAPITAL LETTER OMEGA}": "ohm",
    "\N{OHM SIGN}": "ohm",
    "\N{GREEK SMALL LETTER OMEGA}": "ohm",
    "°C": "degC",
    "°c": "degc",
    "%": "percent",
}


class Correction(NamedTuple):
    """What to add to the words of what is wanted, and what was meant, where that is plain."""

    note: str = ""
    nearest: str | None = None


def plain_word(word: str) -> str:
    """A word without the differences that do not matter: case, dashes, Greek letters.

    >>> plain_word("Input-Capacitance µF")
    'input_capacitance_uf'
    """
    return spelt_out(word).lower()


def spelt_out(word: str) -> str:
    """A word with the letters of our keys."""
    for written, letters in UNIT_SIGNS.items():
        word = word.replace(written, letters)
    return word.strip().translate(LETTERS)


def is_unit(word: str, unit: str) -> bool:
    """Whether a word says a unit, or its head: `A` says `A_rms`. A mega is no milli.

    >>> is_unit("mΩ", "mohm"), is_unit("MΩ", "mohm"), is_unit("a", "A_rms")
    (True, False, True)
    """
    letters = spelt_out(word)
    heads = (unit, unit.split("_")[0])
    alike = letters.lower() in {head.lower() for head in heads} and not letters.startswith("M")
    return bool(unit) and (letters in heads or alike)


def of_value(node: YamlNode, schema: Mapping[str, Any], key: str) -> Correction:
    """What was meant by a value that its schema refuses."""
    types = schema.get("type", ())
    text = str(getattr(node.event, "value", node.value))
    if isinstance(node.value, dict | list):
        return Correction()
    if not text:
        return Correction(NOT_KNOWN)
    if "enum" in schema:
        return _choice(text, schema["enum"])
    if "boolean" in types:
        word = text.lower()
        nearest = "true" if word in SAYS_TRUE else "false" if word in SAYS_FALSE else None
        return Correction("", nearest)
    if "number" in types or "integer" in types:
        return of_number(text, node.is_quoted, key) if isinstance(node.value, str) else Correction()
    if schema.get("format") == "date":
        return Correction("", _day(text))
    if "string" in types and not isinstance(node.value, str | dict | list):
        return Correction(", in quotes", f'"{text}"')
    return Correction()


def says_none(node: YamlNode) -> bool:
    """Whether a value says in other words that there is no such thing.

    Of a section `0` says so as little as `-`: it may be meant for a number in it.
    """
    return str(getattr(node.event, "value", "")).lower() in SAYS_FALSE - {"0"} | {"none"}


def of_number(text: str, quoted: bool, key: str) -> Correction:
    """What number was meant by a text.

    >>> of_number("48,5", False, "stop_V")
    Correction(note=', with a decimal point', nearest='48.5')
    """
    text = text.strip()
    if quoted and DECIMAL.fullmatch(text):
        return Correction(", without quotes", text)
    if GROUPED.fullmatch(text):
        bare = None if "," in text else re.sub(r"[^-+0-9]", "", text)
        return Correction(", without thousands separators", bare)
    if COMMA.fullmatch(text):
        return Correction(", with a decimal point", text.replace(",", "."))
    with_unit = WITH_UNIT.fullmatch(text.replace(",", "."))
    if with_unit:
        number, unit = with_unit.groups()
        own = unit_of_key(key)
        note = ", without its unit: the unit is in the key" if own else ", alone"
        return Correction(note, number if is_unit(unit, own) else None)
    if SPAN.fullmatch(text) or APPROXIMATE.fullmatch(text):
        return Correction(", a single number")
    if plain_word(text) in {plain_word(word) for word in NOT_TOLD}:
        return Correction(NOT_KNOWN)
    return Correction()


def _choice(text: str, choices: Iterable[Any]) -> Correction:
    known = {plain_word(str(choice)): str(choice) for choice in choices if choice is not None}
    if plain_word(text) in known:
        return Correction("", known[plain_word(text)])
    word = plain_word(text)
    if word in LITHIUM and "nmc" in known:
        return Correction(WHICH_LITHIUM)
    if OTHER_CHOICES.get(word) in known:
        return Correction("", OTHER_CHOICES[word])
    meant = nearest(word, known)
    slip = meant and meant[:1] == word[:1] and abs(len(meant) - len(word)) <= MOST_LETTERS_OFF
    return Correction("", known[meant] if meant and slip else None)


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


def of_key(key: str, known: Iterable[str]) -> str | None:
    """The key of this section that a word says in other letters or without its unit."""
    words = {plain_word(name): name for name in known}
    word = "_".join(OTHER_WORDS.get(part, part) for part in plain_word(key).split("_"))
    if word in words:
        return words[word]
    longer = [name for bare, name in words.items() if bare.removesuffix(_tail(name)) == word]
    return longer[0] if longer else None


def _tail(name: str) -> str:
    unit = unit_of_key(name)
    return plain_word(f"_{unit}") if unit else ""


def near_key(key: str, known: Iterable[str]) -> str | None:
    """The key of this section that looks most like the word, if one does."""
    words = {plain_word(name): name for name in known}
    meant = nearest(plain_word(key), words)
    return words[meant] if meant else None


@lru_cache(maxsize=1)
def _sections() -> Mapping[str, tuple[str, ...]]:
    """The sections of a profile that have a key, by key."""
    homes: dict[str, tuple[str, ...]] = {}
    waiting = [outline()]
    while waiting:
        section = waiting.pop()
        for key, entry in section.entries.items():
            homes[key] = (*homes.get(key, ()), section.path)
            if isinstance(entry, SchemaSection):
                waiting.append(entry)
    return homes


def elsewhere(key: str) -> str | None:
    """The sections in which a key would be right, as a phrase."""
    sections = sorted(_sections().get(key, ()))
    if not sections or len(sections) > 4:
        return None
    return alternatives([f"`{section}`" if section else "the top level" for section in sections])
