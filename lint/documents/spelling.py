"""Whether one word is another with a slip of the finger in it, and what a word is called elsewhere.

A hint is followed. So a name is offered only where the word cannot have meant another one: each part of
it is the same but for a letter or two, and all numbers in it are. `min` is no slip of `max`.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import lru_cache
from typing import Any

from .contents import contents
from .text import MOST_COMPARED

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
    "°F": "degF",
    "%": "percent",
}
NUMERALS = re.compile("[0-9]+")
SHORT, LONG = 4, 7  # letters of a word from which one of them may be another, and two
MOST_OFF = 6  # letters by which the length of a name and of a slip of it may differ
FURTHER = 2  # so many letters further off lies every other word that could have been meant
TABLES = "gonogo.tables"


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


def letters_off(a: str, b: str) -> int:
    """How many letters are missing, too many, other ones or swapped with their neighbour.

    >>> letters_off("foward", "forward"), letters_off("hlal", "hall"), letters_off("min", "max")
    (1, 1, 2)
    """
    before: list[int] = []
    row = list(range(len(b) + 1))
    for i, one in enumerate(a, 1):
        older, before, row = before, row, [i]
        for j, other in enumerate(b, 1):
            cost = min(before[j] + 1, row[-1] + 1, before[j - 1] + (one != other))
            if i > 1 and j > 1 and one == b[j - 2] and a[i - 2] == other:
                cost = min(cost, older[j - 2] + 1)
            row.append(cost)
    return row[-1]


def is_slip(word: str, name: str) -> bool:
    """Whether one plain word is the other but for a slip of the finger.

    >>> is_slip("battery_curent_a", "battery_current_a"), is_slip("polepairs", "pole_pairs")
    (True, True)
    >>> is_slip("phase_resistance", "phase_inductance"), is_slip("pt100", "pt1000")
    (False, False)
    """
    if abs(len(word) - len(name)) > MOST_OFF or len(word) > MOST_COMPARED:
        return False
    if NUMERALS.findall(word) != NUMERALS.findall(name):
        return False
    bare, meant = word.replace("_", ""), name.replace("_", "")
    if bare == meant:
        return True
    parts, names = word.split("_"), name.split("_")
    if len(parts) == len(names):
        return all(letters_off(*pair) <= _slack(*pair) for pair in zip(parts, names, strict=True))
    tied = bare[-1:] == meant[-1:] and len(meant) >= LONG and abs(len(bare) - len(meant)) <= 1
    return tied and letters_off(bare, meant) <= 1


def _slack(word: str, name: str) -> int:
    longest = max(len(word), len(name))
    return 0 if longest < SHORT else 1 if longest < LONG else 2


def slip_for(word: str, names: Iterable[str]) -> str | None:
    """The one plain name that a plain word can be a slip for, if all others lie further off."""
    names = list(names)
    meant = [name for name in names if is_slip(word, name)]
    if len(meant) != 1:
        return None
    off = letters_off(word, meant[0])
    others = (
        name for name in names if name != meant[0] and abs(len(name) - len(word)) < off + FURTHER
    )
    return None if any(letters_off(word, name) < off + FURTHER for name in others) else meant[0]


@lru_cache(maxsize=1)
def _other_words() -> Mapping[str, Any]:
    words: dict[str, Any] = contents(TABLES, "other_words")
    return words


def called_elsewhere(word: str, known: Collection[str], of: str = "rows") -> tuple[str, str | None]:
    """What the writer of another trade's word has to say of it, and the word of ours that it means.

    `of` is `rows` for choices and `keys` for keys; `known` are those of ours that may stand there.
    """
    for row in _other_words()[of]:
        if word in map(str, row["words"]):
            if row.get("means") in known:
                return "", row["means"]
            if "among" in row and set(row["among"]).issubset(known):
                return f"; {row['says']}", None
    return "", None


@lru_cache(maxsize=1)
def other_units() -> Sequence[Mapping[str, Any]]:
    """Units that are written elsewhere, each with what it is in one of ours."""
    rows: list[Mapping[str, Any]] = contents(TABLES, "other_units")["rows"]
    return rows
