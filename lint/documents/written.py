"""A value as a document has it: its number, its word, its list."""

from __future__ import annotations

import re
from math import isclose
from typing import Any

EnteredValue = str | int | float | bool | list[Any]
PLAIN_NUMBER = re.compile(r"[-+]?[0-9]+(?:\.([0-9]+))?")
MOST_DECIMALS = 9
_NOISE = 1e-12  # of a calculation in floating point, as a share
SECTION_INDENT = 2  # of a document that has no inner section yet


def number_text(value: float, like: str = "") -> str:
    """A number as the file writes its others: with as many decimals as the one that it replaces.

    >>> number_text(63, "64.0"), number_text(51.25, "51.2"), number_text(80.0)
    ('63.0', '51.25', '80')
    """
    seen = PLAIN_NUMBER.fullmatch(like)
    shortest = f"{value:.{MOST_DECIMALS}f}".rstrip("0").rstrip(".")
    decimals = max(len(shortest.partition(".")[2]), len(seen[1] or "") if seen else 0)
    return f"{value:.{decimals}f}"


def as_noted(value: Any) -> Any:
    """A value as its text reads: without the last digits that a calculator leaves.

    >>> as_noted(53.300000000000004), as_noted([0.1 + 0.2, 3]), as_noted(1e-12)
    (53.3, [0.3, 3], 1e-12)
    """
    if isinstance(value, list):
        return [as_noted(one) for one in value]
    if not isinstance(value, float):
        return value
    read = float(number_text(value))
    return read if isclose(read, value, rel_tol=_NOISE) else value


def entered_text(value: EnteredValue) -> str:
    """A value as it stands in a document; what could be taken for a date or a number is quoted."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list):
        return f"[{', '.join(map(entered_text, value))}]"
    if isinstance(value, str):
        return f'"{value}"' if value[:1].isdigit() else value
    return number_text(value)
