"""How many processes a call asks for: a whole number from 1."""

from __future__ import annotations

import re

from ..documents.error import UsageError

COUNT = re.compile(r"[1-9]\d{0,3}")


def count(jobs: str | int) -> int:
    """The number of processes.

    >>> count("4")
    4
    """
    if not COUNT.fullmatch(str(jobs)):
        raise UsageError(f"--jobs {jobs}: it takes a whole number from 1.")
    return int(jobs)
