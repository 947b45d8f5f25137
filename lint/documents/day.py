"""The day: read in the one form that documents use, counted, and asked for at the door."""

from __future__ import annotations

import re
from datetime import date

from .error import UsageError

# The shorter forms and the week dates of ISO 8601 nobody enters, and digits are plain ones.
DAY_FORM = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def day_of(text: str) -> date:
    """The day that a text says, as year, month and day; raises ValueError where it says none.

    >>> day_of("2026-11-25")
    datetime.date(2026, 11, 25)
    """
    if not DAY_FORM.fullmatch(text):
        raise ValueError(f"{text!r} is not a date such as 2026-11-25")
    return date.fromisoformat(text)


def days_between(earlier: str, later: str) -> int:
    """Days from one day to a later one; negative where it is the earlier.

    >>> days_between("2026-11-25", "2026-12-01")
    6
    """
    return (day_of(later) - day_of(earlier)).days


def day_to_judge_by(as_of: str | None, asked: str = "--as-of ") -> str:
    """The day asked for, else today; `asked` is how it was asked for. Raises UsageError."""
    if as_of is None:
        return date.today().isoformat()
    try:
        return day_of(as_of).isoformat()
    except ValueError:
        raise UsageError(f"{asked}{as_of}: expected a date such as 2026-11-25.") from None


def is_day(text: object) -> bool:
    """Whether a text is a day; what is no text at all is refused for that elsewhere.

    >>> is_day("2026-02-30"), is_day(7)
    (False, True)
    """
    try:
        return not isinstance(text, str) or bool(day_of(text))
    except ValueError:
        return False
