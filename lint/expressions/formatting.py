"""Numbers and units as the trade writes them, and a rule's sentences filled with them."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from ..documents.schema import allowances
from ..documents.trade_units import GAUGE_UNIT
from ..documents.units import unit_of_key, unit_symbol
from ..documents.wire_gauge import gauge_words
from ..quantities.number import ceiling, floor, is_number, nearest_whole, tidy

DIGITS = 4
THOUSAND = 1000.0
ROUND = 0.05  # closer to a whole number than this, a large value is shown as one
MOST_DIGITS = 9
LISTED_COUNTS = 2  # so many counts are listed; a longer run is shown by its ends
PLACEHOLDER = re.compile(r"\{([A-Za-z_][A-Za-z0-9_.]*)\}")


def number(value: float, digits: int = DIGITS) -> str:
    """A number with `digits` significant ones, one decimal from a thousand up, no trailing
    zeros."""
    if value == 0:
        return "0"
    places = digits - 1 - math.floor(math.log10(abs(value)))
    if abs(value) >= THOUSAND and abs(value - nearest_whole(value)) > ROUND:
        places = max(places, 1)
    text = f"{value:.{max(0, min(places, MOST_DIGITS))}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text.replace("-", "−") if text != "-0" else "0"


def shown(value: Any, unit: str = "", digits: int = DIGITS) -> str:
    """A value with its unit: `120 A rms`, `3.05 V`, `yes`, `hall`, `20, 21`, `24 to 60`."""
    if value is None:
        return "not given"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return _mapping_words(value)
    if isinstance(value, tuple | list):
        if _is_run(value):
            return f"{value[0]} to {value[-1]}"
        return ", ".join(shown(member, unit, digits) for member in value) or "none"
    if not is_number(value):
        return str(value)
    if unit == GAUGE_UNIT:
        return gauge_words(value)
    word = unit_symbol(unit)
    tight = word in ("%", "°", "/h")
    return f"{number(value, digits)}{'' if tight or not word else ' '}{word}"


def _mapping_words(value: Mapping[str, Any]) -> str:
    """A stage by its teeth, several loads by their names, one load by its entries."""
    if all(map(is_number, value.values())) and not any(map(unit_of_key, value)):
        return " to ".join(number(part) for part in value.values())
    return ", ".join(
        key if isinstance(part, Mapping) else f"{_entry_words(key)} {shown(part, unit_of_key(key))}"
        for key, part in value.items()
    )


def _entry_words(key: str) -> str:
    """A key of a load in words, without its unit."""
    return key.removesuffix(f"_{unit_of_key(key)}").replace("_", " ")


def _is_run(members: Sequence[Any]) -> bool:
    """True for three whole numbers or more, each one above the last: 20, 21, 22."""
    whole = len(members) > LISTED_COUNTS and all(type(member) is int for member in members)
    return whole and list(members) == list(range(members[0], members[0] + len(members)))


def apart(a: float, b: float) -> int:
    """How many digits it takes for two different numbers to look different."""
    for digits in range(DIGITS, MOST_DIGITS):
        if number(a, digits) != number(b, digits):
            return digits
    return DIGITS if a == b else MOST_DIGITS


def inwards(value: float, step: float | None, upwards: bool) -> float:
    """A limit moved to the setting's step on its allowed side, so that it can be entered."""
    if not step:
        return value
    return tidy((ceiling if upwards else floor)(value / step) * step)


def filled(sentence: str, word: Callable[[str], str]) -> str:
    """The sentence with each `{name}` replaced by `word(name)`, and nothing else touched."""
    return PLACEHOLDER.sub(lambda match: word(match.group(1)), sentence)


def listed(parts: Sequence[str], joint: str) -> str:
    """Parts in a row: `a, b and c`.

    >>> listed(["a", "b", "c"], "or")
    'a, b or c'
    """
    if len(parts) == 1:
        return parts[0]
    return f"{', '.join(parts[:-1])} {joint} {parts[-1]}"


def allowance_words(name: str, set_to: Mapping[str, float]) -> str:
    """An allowance's number, as the shop or else the schema has it."""
    allowance = allowances()[name]
    return shown(set_to.get(name, allowance.default), allowance.unit)
