"""A value with its unit written beside it: converted into the unit of its key, or told why not.

To drop a unit is right only where it is the very unit of the key: `2 mF` is no 2 µF.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from functools import lru_cache

from .schema import outline
from .spelling import other_units, spelt_out
from .text import quoted
from .trade_units import own_key, trade_key
from .units import PEAK, RMS, UNITS, unit_of_key

# By the prefixes of the SI; K for k is common practice, no source.
PREFIXES = {"M": 1e6, "k": 1e3, "K": 1e3, "c": 1e-2, "m": 1e-3, "u": 1e-6, "n": 1e-9}
# Symbols that take a prefix, each in a unit of ours.
BASES = {
    **{symbol: (symbol, 1.0) for symbol in ("V", "A", "W", "Wh", "Ah", "J", "ohm", "Hz", "rpm")},
    **{symbol: (symbol, 1.0) for symbol in ("A_rms", "A_peak", "s", "m", "N", "Nm")},
    "g": ("kg", 1e-3),
    "F": ("uF", 1e6),
    "H": ("uH", 1e6),
}
# Words that end no key: there `min` is the least of something.
WORDS = {
    **dict.fromkeys(("min", "mins", "minute", "minutes"), ("s", 60.0)),
    **dict.fromkeys(("hr", "hrs", "hour", "hours"), ("h", 1.0)),
    "m_s": ("km_h", 3.6),
    **dict.fromkeys(("stunde", "stunden", "heure", "heures"), ("h", 1.0)),
    **dict.fromkeys(("sekunde", "sekunden", "seconde", "secondes"), ("s", 1.0)),
    **dict.fromkeys(("day", "tag", "tage", "jour", "jours"), ("days", 1.0)),
}
# Turns a minute, and a minute and volt, on labels of several tongues.
TURNS = (
    "upm",
    "u/min",
    "1/min",
    "r/min",
    "rev/min",
    "min-1",
    "tr/min",
    "t/min",
    "tours/min",
    "revs",
)
SAID_ELSEWHERE = {
    "rpm": (*TURNS, "umdrehungen", "umdrehungen/min", "tours"),
    "rpm_per_V": ("kv", *(f"{turns}/v" for turns in TURNS)),
    "electrical_rpm": ("erpm", "e-rpm", "electrical rpm", "rpm electrical"),
}
AMPERE_HOURS = "the watt-hours divided by its nominal voltage"
# What a rider does with a figure of another kind, where no factor alone turns it into the key's.
NO_FACTOR = {
    ("rpm", "erpm"): "electrical revolutions are divided by the pole pairs",
    ("rpm", "hz"): "electrical hertz times 60, divided by the pole pairs",
    ("rpm", "km/h"): "the turns of the motor, not the speed on the road",
    ("rpm", "mph"): "the turns of the motor, not the speed on the road",
    ("electrical_rpm", "rpm"): "those of the motor times its pole pairs",
    ("electrical_rpm", "hz"): "electrical hertz times 60",
    **dict.fromkeys((("Ah", "wh"), ("Ah", "kwh")), AMPERE_HOURS),
}
DEGREES = ("\N{DEGREE SIGN}", "deg", "degree", "degrees", "degr\xe9", "degr\xe9s")
FOOT_AND_INCH = {"'": "ft", "\N{PRIME}": "ft", '"': "in", "\N{DOUBLE PRIME}": "in"}
PAIRS, POLES = (
    ("pair", "pairs", "pole_pair", "pole_pairs", "pp"),
    ("pole", "poles", "magnet", "magnets"),
)
# What the words beside a count make of it.
COUNTS = {
    "magnets": {**dict.fromkeys(PAIRS, 2.0), **dict.fromkeys(POLES, 1.0)},
    "pole_pairs": {**dict.fromkeys(PAIRS, 1.0), **dict.fromkeys(POLES, 0.5)},
    "series": {"s": 1.0},
    "parallel": {"p": 1.0},
}
SLOTS_AND_POLES = re.compile(r"n_?([0-9]+)p")  # the rest of 24N28P
MILLIOHMS = ("mohm", "mohm_per_m")  # a megohm is no milliohm, in capitals neither
PREFIXED = frozenset(("mohm", "mohm_per_m", "uF", "uH", "mm", "mm2", "ms", "kg", "km_h"))
OF_CURRENT = re.compile(r"(?:A|[Aa]mp(?:s|eres?)?)?[_.]*(pk|[Pp]eak|rms|RMS|eff)\.?")
OF_DIRECT_CURRENT = re.compile(r"(?<=[VAva]) ?(?:DC|dc)$")
PEAK_WORD = re.compile(r"peak|pk|burst|spitze|scheitel|cr[eê]te|pico|picco", re.IGNORECASE)
OF_ANOTHER = re.compile(
    rf"{PEAK_WORD.pattern}|rms|per|dc|/", re.IGNORECASE
)  # words of another figure
OF_A_PEAK = frozenset(("peak", "burst", "trip"))  # in a key: a peak in amperes is meant
OF_A_PRODUCT = re.compile(r"(?<=[AaNVWm])[·.*⋅](?=[hms])")  # of A·h and N·m
WITH_AN_S = frozenset(("kg", "mm", "ft", "lb"))  # units that are written with an s behind them
IN_THE_MIDDLE = re.compile(r"[kK]([0-9]+)")  # 4k2 is 4.2 k
NOT_CONVERTED = "does not convert to"
NO_PEAK = ", and a peak is another figure than a continuous one"
WHEEL_SIZE = (
    "; a wheel's size in inches is its diameter: `tyre` as on its side wall, or one turn measured"
)
LARGEST_WHEEL_IN = 30.0  # of a size in inches; common practice, no source
WITHOUT = ", without its unit: the unit is in the key"
OF_WAIVER = ", without its unit: it counts in that of the key at which the finding points"
FACTOR_DIGITS, PREFIX_DIGITS = 4, 12  # shown of a value turned by a factor, and by a power of ten

Told = tuple[str, str | None]


def is_unit(word: str, unit: str) -> bool:
    """Whether a word says a unit; `A` says `A_rms`. A mega is no milli.

    >>> is_unit("mΩ", "mohm"), is_unit("MΩ", "mohm"), is_unit("a", "A_rms")
    (True, False, True)
    """
    letters = spelt_out(word)
    heads = (unit, "A" if unit in ("A_rms", "A_peak") else unit)
    alike = letters.lower() in {head.lower() for head in heads} and not letters.startswith("M")
    return bool(unit) and (letters in heads or alike)


def is_word_of(word: str, unit: str) -> bool:
    """Whether a word says a unit of the trade: `lbs` says `lb`."""
    words = (one for row in other_units() if row["unit"] == unit for one in row["other"])
    return is_unit(word, unit) or spelt_out(word).lower() in words


def in_the_unit_of(key: str, number: str, word: str) -> Told:
    """What is to be said of a number with a word for its unit beside it, and the value that is meant.

    >>> in_the_unit_of("battery_cable_m", "80", "cm")
    ('; 80 cm is 0.8 m', '0.8')
    >>> in_the_unit_of("max_rpm", "905", "Hz")
    ('; electrical hertz times 60, divided by the pole pairs', None)
    >>> in_the_unit_of("phase_current_A_rms", "150", "Apk")
    ('; in amperes peak it is `phase_current_A_peak: 150`', None)
    """
    own = unit_of_key(key)
    word = FOOT_AND_INCH.get(word, word)
    if not own and "/" in number:
        return ", alone", None
    if not own:
        return _of_count(key.rsplit(".", 1)[-1], number, spelt_out(word).lower())
    other = trade_key(key) or own_key(key)
    if other is not None and is_word_of(word, unit_of_key(other)):
        if "circumference" in key and unit_of_key(other) == "in":
            return WHEEL_SIZE, None
        return f"; in {word} it is `{other}: {number}`", None
    if other is not None and UNITS[own].is_point and word.lower() in DEGREES:
        return f", without its sign; in the other scale it is `{other}: {number}`", None
    current = OF_CURRENT.fullmatch(spelt_out(word))
    if current is not None:
        return _of_current(key, number, word, "A_rms" if current[1][0] in "rRe" else "A_peak")
    if own == "A_rms" and PEAK_WORD.search(word):
        return _of_current(key, number, word, "A_peak")
    if _says(word, own):
        is_size = own == "in" and "circumference" in key and float(number) < LARGEST_WHEEL_IN
        return (WHEEL_SIZE, None) if is_size else (WITHOUT, number)
    if "/" in number:  # a wire gauge, and no number
        return _no_unit_of(word, own)
    factor = _factor(word, own)
    if factor is not None:
        return _converted(number, word, factor, own)
    if word in ("C", "c") and own in ("A", "A_rms"):
        return f"; {number} {word} is {number} times the capacity in Ah", None
    first, _, rest = word.partition(" ")
    if rest and _says(first.rstrip(".,;"), own) and not OF_ANOTHER.search(rest):
        return ", the figure alone", None
    return _of_prefix(number, word, own) or _no_unit_of(word, own)


def factor_to(word: str, own: str) -> float | None:
    """What one of the unit that a word says is in another; None for another kind of thing.

    >>> factor_to("V DC", "V"), factor_to("kA", "A"), factor_to("MΩ", "V")
    (1.0, 1000.0, None)
    """
    return 1.0 if _says(word, own) else _factor(word, own)


def _factor(word: str, own: str) -> float | None:
    meanings = [one for one in _meanings(spelt_out(word)) if _converts(one[0], own)]
    if not meanings:
        return None
    unit, factor = meanings[0]
    return factor * UNITS[unit].scale / UNITS[own].scale


def _says(word: str, own: str) -> bool:
    """Whether a word says a unit: its key's ending, its symbol, or its name in one or several."""
    unit = UNITS[own]
    bare = word if unit.kind in (RMS, PEAK) else OF_DIRECT_CURRENT.sub("", word)
    bare = OF_A_PRODUCT.sub("", bare.replace("^", ""))
    names = (unit.spoken, unit.spoken.removesuffix("s"), *SAID_ELSEWHERE.get(own, ()))
    return is_unit(bare, own) or spelt_out(bare) == spelt_out(unit.symbol) or bare.lower() in names


def _of_count(key: str, number: str, word: str) -> Told:
    """A number without a unit: poles where pairs of them are counted, percent for a share."""
    if word == "percent":
        value = f"{float(number) / 100:.{PREFIX_DIGITS}g}"
        return f"; {number} % is {value}", value
    slots = SLOTS_AND_POLES.fullmatch(word)
    if slots is not None:
        number, word = slots[1], "poles"
    counts = COUNTS.get(key, {})
    if word == "p" and key in ("magnets", "pole_pairs"):
        return "; two poles or magnets are one pair", None
    times = counts.get(word)
    if times is None:
        return OF_WAIVER if key == "accepts" else ", alone", None
    value = f"{float(number) * times:g}"
    if times == 1:
        return "; P counts the magnets" if slots else ", alone", value
    return f"; {number} {word} are {value} {'pairs' if times < 1 else 'magnets'}", value


def _no_unit_of(word: str, own: str) -> Told:
    way = NO_FACTOR.get((own, word.lower()))
    return f"; {way or f'{quoted(word)} {NOT_CONVERTED} {UNITS[own].spoken}'}", None


def _of_current(key: str, number: str, word: str, unit: str) -> Told:
    """Of an alternating current the crest, or its effective value: where there is a key of it, that."""
    own = unit_of_key(key)
    if own == unit:
        return WITHOUT, number
    other = f"{key.removesuffix(own)}{unit}"
    if OF_A_PEAK.intersection(key.split("_")) and own == unit.removesuffix("_peak"):
        return WITHOUT, number
    if own == "A" and unit == "A_peak":
        return "; a peak is another figure than the one asked for here", None
    if own in ("A_rms", "A_peak") and other in _keys():
        return f"; in {UNITS[unit].spoken} it is `{other}: {number}`", None
    return _no_unit_of(word, own)


def _of_prefix(number: str, word: str, own: str) -> Told | None:
    """A number with a prefix alone: `4.2k` turns, or `15m` where the unit is a milliohm."""
    middle = IN_THE_MIDDLE.fullmatch(word)
    if middle is not None:
        if "." in number:
            return None
        number, word = f"{number}.{middle[1]}", "k"
    if word in ("k", "K") and not UNITS[own].is_point:
        if own in PREFIXED:
            return "; the number written out", None
        return _converted(number, word, PREFIXES[word], own)
    return (WITHOUT, number) if own in PREFIXED and spelt_out(word) == own[0] in "mu" else None


def _meanings(letters: str) -> Iterator[tuple[str, float]]:
    """The units that a word may say, each as one of ours and how many of it one of it is."""
    letters = OF_A_PRODUCT.sub("", letters)
    if letters in UNITS:
        yield letters, 1.0
    prefix, symbol = letters[:1], letters[1:]
    if prefix in PREFIXES and symbol in BASES:
        unit, factor = BASES[symbol]
        yield unit, PREFIXES[prefix] * factor
        return
    if letters in BASES:
        yield BASES[letters]
    small = letters.lower()
    if prefix == "M" and small in MILLIOHMS:
        return
    if small in UNITS:
        yield small, 1.0
    for row in other_units():
        if small in (row["word"].lower(), *row["other"]):
            yield row["unit"], row["factor"]
    if small in WORDS:
        yield WORDS[small]
    if small[:-1] in WITH_AN_S and small[-1] == "s":
        yield small[:-1], 1.0
    if prefix in PREFIXES and prefix != "M":
        for base, (unit, factor) in BASES.items():
            if symbol.lower() == base.lower():
                yield unit, PREFIXES[prefix] * factor


def _converts(unit: str, own: str) -> bool:
    """Whether a factor turns one unit into the other; amperes say amperes rms, as everywhere."""
    one, ours = UNITS[unit], UNITS[own]
    alike = one.kind == ours.kind or (unit == "A" and own == "A_rms")
    turned = one.is_point or "awg" in (unit, own)
    return one.dimension == ours.dimension and alike and (not turned or unit == own)


def _converted(number: str, word: str, factor: float, own: str) -> Told:
    exponent = math.log10(factor)
    is_power = abs(exponent - round(exponent)) < 1e-9
    if is_power and round(exponent) == 0:
        return WITHOUT, number
    digits = PREFIX_DIGITS if is_power else FACTOR_DIGITS
    value = f"{float(f'{float(number) * factor:.{digits}g}'):.15g}"
    return f"; {number} {word} is {value} {UNITS[own].symbol}", value


@lru_cache(maxsize=1)
def _keys() -> frozenset[str]:
    return frozenset(key for section in outline().all_sections() for key in section.entries)
