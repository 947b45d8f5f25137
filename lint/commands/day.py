"""The day to judge by: waivers end and readings age, so that a verdict has a date."""

from __future__ import annotations

import re
from datetime import date

from ..documents.error import UsageError

DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


def day(as_of: str | None, asked: str = "--as-of ") -> str:
    """The day to judge by: the one asked for, else today; `asked` is how it was asked for."""
    if as_of is None:
        return date.today().isoformat()
    try:
        if not DAY.fullmatch(as_of):
            raise ValueError(as_of)
        return date.fromisoformat(as_of).isoformat()
    except ValueError:
        raise UsageError(f"{asked}{as_of}: it takes a day such as 2026-11-25.") from None
