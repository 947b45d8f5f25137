"""The tightest margin of a vehicle: the limit of a danger or fault that its settings are nearest to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from ..documents.profile import BASE
from ..judgement.catalogue import Catalogue
from ..judgement.rule import STOPS
from ..judgement.sentences import entered_in
from ..quantities.book import IN_BASE
from ..quantities.registry import rests_on
from .finding_change import JudgedSide
from .margin import distance_of, told_distance

SETTINGS_HEAD = "settings."


@dataclass(frozen=True, slots=True)
class TightMargin:
    """How far a value is inside the limit of a rule; negative where the limit is passed.

    `margin`, `value` and `limit` are in `unit`, that of the key as entered; `share` is the margin as a
    part of the limit, or of the value where the limit is nought. `mode` is "" for the base settings,
    `motor` "" where there is one.
    """

    rule: str
    quantity: str
    mode: str
    motor: str
    value: float
    limit: float
    margin: float
    share: float
    unit: str


def tightest_margin(side: JudgedSide, catalogue: Catalogue) -> TightMargin | None:
    """The smallest margin, as a share of its limit; None where no limit could be held against a value.

    Of rules whose limit is that of a danger or fault in this shop and that a setting can move, or that is
    passed, in base settings and modes.
    """
    return min(_margins(side, catalogue), key=lambda one: (one.share, one.rule), default=None)


@lru_cache(maxsize=4096)
def _rests_on_settings(names: frozenset[str]) -> bool:
    """Whether something is worked out of a setting, so that entering another value moves it."""
    return any(
        name.startswith(SETTINGS_HEAD)
        for each in names
        for name in rests_on(each.removeprefix(IN_BASE))
    )


def _margins(side: JudgedSide, catalogue: Catalogue) -> Iterator[TightMargin]:
    for motor, hearing in side.hearings.items():
        for mode, rulings in hearing.rulings.items():
            for ruling in rulings.values():
                rule = ruling.rule
                distance = distance_of(ruling)
                if rule.of is None or distance is None or catalogue.severity(rule) not in STOPS:
                    continue
                if ruling.outcome != "flagged" and not _rests_on_settings(rule.reads):
                    continue
                spoken = entered_in(rule.of, hearing.books.get(mode, hearing.books[BASE]))
                told = told_distance(distance, spoken)
                if not (told.limit or spoken.unit_of_numbers):
                    continue  # none of something counted: nobody is near to that
                size = abs(told.limit) or abs(told.value) or 1.0
                yield TightMargin(
                    rule=rule.id,
                    quantity=rule.of,
                    mode=mode,
                    motor=motor,
                    value=told.value,
                    limit=told.limit,
                    margin=told.room,
                    share=told.room / size,
                    unit=spoken.unit_of_numbers,
                )
