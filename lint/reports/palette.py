"""The colours of the tag: few, always beside a word that says the same."""

from __future__ import annotations

from typing import Literal

Paint = Literal["danger", "fault", "caution", "go", "no-go", "incomplete", "value", "faint", "bold"]

CODES: dict[Paint, str] = {
    "danger": "1;31",
    "fault": "1;35",
    "caution": "1;33",
    "go": "1;30;42",
    "no-go": "1;97;41",
    "incomplete": "1;30;43",
    "value": "1;4",
    "faint": "2",
    "bold": "1",
}


def painted(text: str, paint: Paint, colour: bool) -> str:
    """The text in its colour, or as it is where there is none to be had.

    >>> painted("GO", "go", False)
    'GO'
    """
    return f"\x1b[{CODES[paint]}m{text}\x1b[0m" if colour and text else text
