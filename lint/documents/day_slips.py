"""What day was meant by a date that is written another way, in words or in another order."""

from __future__ import annotations

import re
from datetime import date

from .number_slips import NO_CORRECTION, Correction

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
# In other tongues, as far as their beginnings are others: German, French, Italian, Spanish.
MONTHS_ELSEWHERE = {
    **dict.fromkeys(("ene", "gen"), 1),
    **dict.fromkeys(("fév",), 2),
    **dict.fromkeys(("mär",), 3),
    **dict.fromkeys(("avr", "abr"), 4),
    **dict.fromkeys(("mai", "mag"), 5),
    **dict.fromkeys(("juin", "giu"), 6),
    **dict.fromkeys(("juil", "lug"), 7),
    **dict.fromkeys(("aoû", "ago"), 8),
    **dict.fromkeys(("okt", "ott"), 10),
    **dict.fromkeys(("dez", "déc", "dic"), 12),
}


def of_day(text: str) -> Correction:
    """A date written another way: the day, where only one can be meant.

    >>> of_day("22/11/2026").nearest, of_day("Nov 2, 2026").nearest, of_day("02/11/2026").nearest
    ('2026-11-22', '2026-11-02', None)
    """
    numbers = re.findall("[0-9]+", text)
    clock = re.fullmatch(r"([0-9]{4}-[0-9]{2}-[0-9]{2})[T ][0-9:.Z+]+", text)
    if clock:
        return _the_day(clock[1].split("-"))
    if len(numbers) == 1 and len(text) == 8:
        return _the_day([text[:4], text[4:6], text[6:]])
    words = [word.lower() for word in re.findall(r"[^\W\d_]+", text)]
    months = [month for word in words if (month := _month(word))]
    if len(words) == len(months) == 1 and len(numbers) == 2 and len(numbers[1]) == 4:
        return _the_day([numbers[1], str(months[0]), numbers[0]])
    if len(numbers) != 3 or re.search(r"[^-0-9./ ]", text):
        return NO_CORRECTION
    if len(numbers[2]) != 4:
        return (
            _the_day(numbers) if len(numbers[0]) == 4 else Correction("; the year in four digits")
        )
    first, second, year = numbers
    if "." in text or int(first) > 12 or first == second:
        return _the_day([year, second, first])
    if int(second) > 12:
        return _the_day([year, first, second])
    return Correction(f"; {year}-{second:0>2}-{first:0>2} or {year}-{first:0>2}-{second:0>2}")


def _month(word: str) -> int:
    """The number of a month by its name; 0 for another word."""
    for head in (word[:4], word[:3]):
        if head in MONTHS_ELSEWHERE:
            return MONTHS_ELSEWHERE[head]
    return MONTHS.index(word[:3]) + 1 if word[:3] in MONTHS else 0


def _the_day(numbers: list[str]) -> Correction:
    try:
        day = date(*map(int, numbers)).isoformat()
    except ValueError:
        order = "; the month stands before the day" if 12 < int(numbers[1]) <= 31 else ""
        return Correction(f"; there is no such day{order}")
    return Correction("", day)
