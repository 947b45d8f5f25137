"""What was probably meant: the unit left in, the comma for a point, the key a letter off."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Any

from .day_slips import of_day
from .none_slips import SAYS_FALSE, SAYS_NONE, SAYS_TRUE
from .notation import choices_of, notation_of
from .number_slips import (
    NO_CORRECTION,
    NOT_KNOWN,
    WITH_UNIT,
    Correction,
    in_range,
    of_number,
    of_point,
    of_sign,
)
from .schema import resolved
from .spelling import called_elsewhere, plain_word, slip_for
from .text import alternatives, quoted
from .text_slips import DASH_SPACED, UNQUOTED
from .units import unit_of_key
from .value_units import is_word_of
from .yaml_scalar import DECIMAL
from .yaml_tree import YamlNode, as_written

CURLY = re.compile(
    "^[\u2018\u2019\u201a\u201c-\u201e\u00ab\u00bb]|[\u2018\u2019\u201c\u201d\u00bb\u00ab]$"
)
NUMBER_LETTER = re.compile("_b(?=[0-9])")  # of `NTC 10k B3950`
MAGNET_GRADE = re.compile("n?[0-9]{2}_?(|m|h|sh|uh|eh|ah|vh)")  # N42SH, or N42 without letters
TIGHT_DASH = re.compile(r"-[A-Za-z_{\[]")
BRACED = re.compile(r"([A-Za-z_]\w*) *\{.*")
RUN_TOGETHER = re.compile("([A-Za-z_]\\w*) *(?:[=:;\N{FULLWIDTH COLON}\N{RATIO}]+| ) *(.*)")


def of_value(
    node: YamlNode, schema: Mapping[str, Any], key: str, list_form: str = ""
) -> Correction:
    """What was meant by a value that its schema refuses.

    `list_form` is `list` where a list may stand too, `item` where the value is one of a list.
    """
    text = str(getattr(node.event, "value", node.value))
    if (list_form or "items" in schema) and is_tight_dash(node.value):
        return Correction(f"; {DASH_SPACED}")
    if isinstance(node.value, dict | list):
        return in_range(_of_brackets(node, schema, list_form), schema)
    typed = CURLY.sub("", text).strip()
    if typed == text:
        return in_range(_of_text(node, text, schema, key, list_form), schema)
    note, meant = _of_text(node, typed, schema, key, list_form)
    curly = CURLY.search(text)
    is_text = not {"number", "integer", "boolean"}.intersection(_types(schema))
    marks = "with straight quotation marks" if is_text else "without quotation marks"
    typed_as = marks if curly else "without a no-break space beside it"
    if getattr(node.event, "style", "") in ("|", ">"):
        typed_as = "on the line of its key"
    return Correction(f", {typed_as}{note}", meant or (None if note else typed))


def is_tight_dash(value: Any) -> bool:
    """Whether a value is the items of a list, each behind a dash without a blank.

    >>> is_tight_dash("-disc -drum"), is_tight_dash({"-driven_teeth": 52}), is_tight_dash("-0.5")
    (True, True, False)
    """
    if not isinstance(value, str | dict) or not value:
        return False
    words = value.split() if isinstance(value, str) else [str(key) for key in value]
    several = len(words) > 1 and all(word[0] == "-" and word[1:] for word in words)
    return several or bool(words and TIGHT_DASH.match(words[0]))


def _types(schema: Mapping[str, Any]) -> Sequence[str]:
    types = schema.get("type", ())
    return (types,) if isinstance(types, str) else types


def _of_brackets(node: YamlNode, schema: Mapping[str, Any], list_form: str) -> Correction:
    """What is wrong with a list where a section stands, and with a section where a list does."""
    in_brackets = bool(getattr(node.event, "flow_style", False))
    if "enum" in schema:
        return Correction("; one of them")
    if schema.get("type") in ("number", "integer"):
        return _of_numbers(node, list_form)
    if isinstance(node.value, list) and "properties" in schema:
        if any(isinstance(item, dict) for item in node.value):
            braces = "; in braces, not in brackets"
            return Correction(braces if in_brackets else "; its keys without the dash before them")
        fit = [
            name
            for name, one in schema["properties"].items()
            if _is_any(node.value, choices_of(one))
        ]
        meant = f"{{{fit[0]}: {node.value[0]}}}" if len(fit) == len(node.value) == 1 else None
        return Correction(
            "" if meant else "; its keys with their values, in braces or below it", meant
        )
    if schema.get("type") == "string" and isinstance(node.value, list | dict):
        return Correction("; the text alone, in quotes where it holds brackets or a comma")
    elif isinstance(node.value, dict) and "items" in schema:
        lists = "; in square brackets: [{…}]" if in_brackets else "; a dash before each item"
        return Correction(lists)
    return NO_CORRECTION


def _of_numbers(node: YamlNode, list_form: str) -> Correction:
    """Brackets around a number, and braces around several of them."""
    values = node.value.values() if isinstance(node.value, dict) else ()
    if isinstance(node.value, dict) and any(value is not None for value in values):
        return NO_CORRECTION
    items = [str(item) for item in node.value]
    if isinstance(node.value, list):
        items = [as_written(node.below[number]).strip("`") for number in range(len(items))]
    if not items or not all(map(DECIMAL.fullmatch, items)):
        return NO_CORRECTION
    if not items[1:]:
        return Correction(", without brackets", items[0])
    if not list_form:
        return Correction("; one number, not several", None)
    return Correction("; several of them in brackets", f"[{', '.join(items)}]")


def _of_text(
    node: YamlNode, text: str, schema: Mapping[str, Any], key: str, list_form: str = ""
) -> Correction:
    types = schema.get("type", ())
    if text and "items" in schema:
        return _of_items(text, schema)
    if not text:
        return Correction(NOT_KNOWN)
    if "enum" in schema:
        return _choice(text, schema["enum"], list_form)
    if "boolean" in types:
        word = text.lower()
        nearest = "true" if word in SAYS_TRUE else "false" if word in SAYS_FALSE else None
        nearest = nearest or slip_for(word, ("true", "false"))
        return Correction("", nearest)
    if "number" in types or "integer" in types:
        if (
            schema.get("minimum") == 0
            and unit_of_key(key)[:1] == "A"
            and plain_word(text) in SAYS_NONE
        ):
            return Correction("; 0 where there is none")
        is_text = isinstance(node.value, str)
        return (
            of_number(text, node.is_quoted, key, list_form)
            if is_text
            else _of_plain_number(text, schema, key)
        )
    if schema.get("format") == "date":
        return of_day(text)
    if (
        "properties" in schema
        and "part" in schema["properties"]
        and text.endswith((".yaml", ".yml"))
    ):
        return Correction("", f"{{part: {text}}}")
    if "properties" in schema and isinstance(node.value, str | int | float):
        return Correction(
            f"; its keys with their values, in braces {notation_of(schema)} or below it"
        )
    if "string" in types and not isinstance(node.value, str):
        return Correction(", in quotes", f'"{text}"')
    return NO_CORRECTION


def _of_items(text: str, schema: Mapping[str, Any]) -> Correction:
    """One or several items of a list that stand without their brackets."""
    choices = resolved(schema["items"]).get("enum")
    note, meant = _choice(text, choices, "list") if choices else NO_CORRECTION
    if meant and not meant.startswith("["):
        meant = f"[{meant}]"
    written = notation_of(schema)
    note = note or ("" if meant else f", in brackets: {written}" if written else ", in brackets")
    return Correction(note, meant)


def _of_plain_number(text: str, schema: Mapping[str, Any], key: str) -> Correction:
    point = of_point(text, schema)
    return point if point != NO_CORRECTION else of_sign(text, schema, key)


def of_run_together(
    key: str,
    known: Mapping[str, Any],
    value: Any,
    is_quoted: bool = False,
    given: Collection[str] = (),
) -> Correction:
    """What is wanted instead of a key that holds its value, or that ends a quotation.

    >>> of_run_together("max_V = 65", {"max_V": {}}, None).nearest
    'max_V: 65'
    >>> of_run_together("65 V", {"max_V": {}}, None).nearest
    'max_V: 65'
    """
    braced = BRACED.fullmatch(key)
    if braced is not None and braced[1] in known:
        return Correction(f"a colon and a space between {quoted(braced[1])} and `{{`")
    parts = RUN_TOGETHER.fullmatch(key)
    if parts is not None and parts[1] in known:
        if value is not None:
            return Correction("one colon", parts[1]) if not parts[2] else NO_CORRECTION
        wanted = UNQUOTED if is_quoted else "`key: value`, with a colon and a space"
        return Correction(wanted, f"{parts[1]}: {parts[2]}")
    if value is None and CURLY.search(key):
        return Correction("a text in straight quotation marks, which may hold a comma")
    return _of_value_alone(key, known, given) if value is None else NO_CORRECTION


def _of_value_alone(text: str, known: Mapping[str, Any], given: Collection[str]) -> Correction:
    """What stands in braces without its key: a number with a unit, or a choice of one of the keys."""
    number = WITH_UNIT.fullmatch(text)
    if DECIMAL.fullmatch(text):
        return Correction("its key and a colon before it")
    if number:
        fit = [name for name in known if is_word_of(number[2], unit_of_key(name))]
    else:
        fit = [
            name for name, form in known.items() if form is not None and text in choices_of(form)
        ]
    if len(fit) == 1 and fit[0] in given:
        first = given[fit[0]] if isinstance(given, Mapping) else None
        if isinstance(first, str) and "x-list" in known[fit[0]]:
            both = quoted(f"{fit[0]}: [{first}, {text}]")
            return Correction(f"{both}, with several of them in brackets")
        return Correction(f"one value of {quoted(fit[0])}, which is there already")
    fit = [name for name in fit if name not in given]
    if not fit:
        return NO_CORRECTION
    keys = alternatives([quoted(name) for name in fit])
    value = number[1] if number else text
    return Correction(f"{keys} before it, and a colon", None if fit[1:] else f"{fit[0]}: {value}")


def _is_any(value: list[Any], choices: list[Any]) -> bool:
    return len(value) == 1 and isinstance(value[0], str) and value[0] in choices


def _choice(text: str, choices: Iterable[Any], list_form: str = "") -> Correction:
    known = {plain_word(str(choice)): str(choice) for choice in choices if choice is not None}
    word = NUMBER_LETTER.sub("_", plain_word(text))
    grade = MAGNET_GRADE.fullmatch(word)
    if grade and "uh" in known:  # the letters behind the strength say how hot the magnets may get
        return Correction("", known.get(grade[1] or "n"))
    tied = [
        choice for one, choice in known.items() if one.replace("_", "") == word.replace("_", "")
    ]
    if word in known or len(tied) == 1:
        return Correction("", known.get(word) or tied[0])
    begun = [choice for one, choice in known.items() if one.startswith(f"{word}_")]
    if len(begun) == 1 and any(map(str.isdigit, word)):
        return Correction(f"; {quoted(begun[0])}, if that is its full name")
    note, meant = called_elsewhere(word, set(known.values()))
    if note or meant:
        return Correction(note, meant)
    if "none" in known and word in SAYS_NONE:
        return Correction("", "none")
    slip = slip_for(word, known)
    if slip:
        return Correction("", known[slip])
    pieces = [piece for piece in re.split("_(?:or|and|und|oder)_|[,/|]_*", word) if piece]
    if len(pieces) < 2 or not set(known).issuperset(pieces):
        return NO_CORRECTION
    if list_form == "list" and "_or_" not in word:
        return Correction("", f"[{', '.join(known[piece] for piece in pieces)}]")
    return Correction("; one of them")
