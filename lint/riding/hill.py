"""A long hill at full throttle: the current that it takes, and the minutes until the heat ends it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from ..quantities.book import Book
from ..quantities.expected import SECONDS_PER_MINUTE
from ..quantities.operand import ABSENT, NOTHING
from .drive import OperatingPoint
from .heat import MotorRatings, RATED_AIR_degC, lumps_of, time_span

OPENED = (  # what closes the span of the time, in the order of MotorRatings
    "motor.phase_current_burst_A_rms",
    "motor.phase_current_burst_s",
    "motor.mass_kg",
    "motor.winding_time_s",
)
MinuteSpan = tuple[float | None, float | None]
NO_SPAN: MinuteSpan = (None, None)
NOT_WITHIN = "not reached within an hour"
RATINGS_CONFLICT = "the motor's ratings contradict each other"


@dataclass(frozen=True, slots=True)
class Hill:
    """A steady climb at full throttle, and the minutes to the motor's temperature taper and stop.

    Each of the two is a least and a most, the same where the ratings leave nothing open; None for an
    end that is not known or not within an hour. `assumed` says what an open time rests on.
    """

    grade_percent: float | None
    speed_km_h: float | None = None
    phase_A_rms: float | None = None
    air_degC: float | None = None
    to_taper_min: MinuteSpan = NO_SPAN
    to_stop_min: MinuteSpan = NO_SPAN
    missing: frozenset[str] = NOTHING
    reason: str = ""


def hill_of(book: Book, grade_percent: float, point: OperatingPoint) -> Hill:
    """The climb that the drive holds at `point`, with what the motor's entries say of its heat."""
    known = Hill(grade_percent, point.speed_km_h, point.phase_A_rms)
    limit = "settings.temperature.motor"
    if book.operand(f"{limit}.stop_degC").side == ABSENT:
        return _but(known, reason="the controller has no motor temperature limit")
    ends = (f"{limit}.taper_from_degC", f"{limit}.stop_degC")
    needed = ("motor.phase_to_neutral_mohm", "motor.phase_current_A_rms", *ends)
    lacking = [name for name in needed if not book.operand(name).known]
    if lacking:
        missing = NOTHING.union(*(book.operand(name).missing or {name} for name in lacking))
        return _but(known, missing=missing)
    ratings, opened = ratings_of(book)
    every = lumps_of(ratings)
    if not every:
        return _but(known, reason=RATINGS_CONFLICT)
    air_degC = _number(book, "vehicle.max_ambient_degC") or RATED_AIR_degC
    currents = _currents(book, point.phase_A_rms, ratings.continuous_A_rms)
    taper, stop = (
        time_span(every, ratings.phase_ohm, currents, air_degC, book.operand(name).number)
        for name in ends
    )
    reason = NOT_WITHIN if stop == NO_SPAN or taper == NO_SPAN else ""
    return Hill(
        grade_percent,
        point.speed_km_h,
        point.phase_A_rms,
        air_degC,
        _minutes(taper),
        _minutes(stop),
        opened if NO_SPAN not in (taper, stop) else NOTHING,
        reason,
    )


def first_of(hills: Iterable[Hill]) -> Hill:
    """The climb as the motor has it that is hot first; of one that lacks an entry as long as one does."""
    every = list(hills)
    open_ = [hill for hill in every if NO_SPAN == hill.to_stop_min and hill.reason != NOT_WITHIN]
    if open_:
        return open_[0]
    first = min(every, key=lambda hill: _sooner(hill.to_taper_min))
    missing = NOTHING.union(*(hill.missing for hill in every))
    taper = _first_span(hill.to_taper_min for hill in every)
    stop = _first_span(hill.to_stop_min for hill in every)
    return replace(first, to_taper_min=taper, to_stop_min=stop, missing=missing)


def _first_span(spans: Iterable[MinuteSpan]) -> MinuteSpan:
    """The span of the least of several times, of which an end that is None is beyond an hour."""
    lows, highs = zip(*spans, strict=True)
    return (
        min((low for low in lows if low is not None), default=None),
        min((high for high in highs if high is not None), default=None),
    )


def _sooner(span: MinuteSpan) -> float:
    return math.inf if span[0] is None else span[0]


def ratings_of(book: Book) -> tuple[MotorRatings, frozenset[str]]:
    """What the entries say of the motor's heat, and the names that would close what is open."""
    limits = [
        number
        for name in ("motor.insulation_degC", "motor.magnet_limit_degC")
        if (number := _number(book, name)) is not None
    ]
    values = [_number(book, name) for name in OPENED]
    opened = {name for name in OPENED if not _told(book, name)}
    opened |= set() if limits else {"motor.insulation_class"}
    ratings = MotorRatings(
        book.operand("motor.phase_to_neutral_mohm").number / 1000.0,
        book.operand("motor.phase_current_A_rms").number,
        min(limits, default=None),
        *values,
    )
    return ratings, frozenset(opened)


def _told(book: Book, name: str) -> bool:
    """Whether it is known, or said that there is none."""
    operand = book.operand(name)
    return operand.known or operand.side == ABSENT


def _number(book: Book, name: str) -> float | None:
    operand = book.operand(name)
    return operand.number if operand.known else None


def _currents(
    book: Book, current_A_rms: float, continuous_A_rms: float
) -> Sequence[tuple[float, float]]:
    """The climb's current, and the rating to which a controller's clock lowers it."""
    clock_s = _number(book, "settings.phase_current_burst_s")
    if clock_s is None or current_A_rms <= continuous_A_rms:
        return [(current_A_rms, 0.0)]
    return [(current_A_rms, 0.0), (continuous_A_rms, clock_s)]


def _minutes(span: MinuteSpan) -> MinuteSpan:
    low, high = span
    return (
        None if low is None else low / SECONDS_PER_MINUTE,
        None if high is None else high / SECONDS_PER_MINUTE,
    )


def _but(hill: Hill, missing: frozenset[str] = NOTHING, reason: str = "") -> Hill:
    return Hill(
        hill.grade_percent, hill.speed_km_h, hill.phase_A_rms, missing=missing, reason=reason
    )
