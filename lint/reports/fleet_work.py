"""What changes of many vehicles make necessary: each work once, with the vehicles that it waits on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from ..documents.motors import entry_path
from ..documents.text import so_many
from .comparison_totals import Revised
from .comparison_words import short_key
from .section import Code, Fragment, Row, Section
from .shared_causes import few_names

WORK_TITLE = "To do"
MOST_AT_WORK = 8  # vehicles
MOST_REASONS = 4  # entries


def work_section(revised: Iterable[Revised], names: Mapping[str, str], whole: bool) -> Section:
    """The work with the names of its vehicles and the entries that ask for it, that of most first.

    `names` has each vehicle's by its file; `whole` leaves none out.
    """
    vehicles: dict[str, list[str]] = {}
    reasons: dict[str, dict[str, None]] = {}
    for one in revised:
        for work in one.work:
            vehicles.setdefault(work.do, []).append(names[one.side.file])
            reasons.setdefault(work.do, {}).update(dict.fromkeys(map(_entry, work.changed)))
    rows = []
    for do, told in sorted(vehicles.items(), key=lambda work: -len(work[1])):
        because: list[Fragment] = ["because of "]
        for number, name in enumerate(list(reasons[do])[: None if whole else MOST_REASONS]):
            because += [", " if number else "", Code(name)]
        more = len(reasons[do]) - MOST_REASONS
        because += [f", and {more} more"] if more > 0 and not whole else []
        who = few_names(told, len(told) if whole else MOST_AT_WORK)
        rows.append(Row(so_many(len(told), "vehicle"), ((do,), (who,), tuple(because)), "bold"))
    return Section(WORK_TITLE, tuple(rows))


def _entry(key: str) -> str:
    """A key as several vehicles share it, whichever motor it is of: `motors.left.magnets` is `motor.magnets`."""
    return short_key(entry_path(key))
