"""A long hill at full throttle: the current that it takes, and the minutes until the heat ends it.

Motor and controller warm each by its own ratings; which of them tapers first ends the climb.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from ..quantities.book import Book
from ..quantities.expected import SECONDS_PER_MINUTE
from ..quantities.operand import ABSENT, NOTHING
from .controller_heat import ControllerRatings, bodies_of, seconds_until
from .drive import OperatingPoint
from .heat import MotorRatings, RATED_AIR_degC, lumps_of, span_of, time_spans

OPENED = (  # what closes the span of the time, in the order of MotorRatings
    "motor.phase_current_burst_A_rms",
    "motor.phase_current_burst_s",
    "motor.mass_kg",
    "motor.winding_time_s",
)
MinuteSpan = tuple[float | None, float | None]
NO_SPAN: MinuteSpan = (None, None)
CONTROLLER_HEAT = (  # in the order of ControllerRatings
    "controller.phase_current_A_rms",
    "controller.phase_current_continuous_A_rms",
    "controller.phase_current_burst_s",
    "controller.max_degC",
)
NOT_WITHIN = "not reached within an hour"
RATINGS_CONFLICT = "the motor's ratings contradict each other"
NO_TIME = "no burst time of the controller is stated"
SPAN_LEFT_OPEN = "the ratings say neither in which air they hold nor how heat rises with current"
NO_CONSTANT = "the controller's ratings leave no time in which it warms"


@dataclass(frozen=True, slots=True)
class ControllerMinutes:
    """Minutes on the climb to the controller's own temperature taper and stop, as those of a `Hill`."""

    to_taper_min: MinuteSpan = NO_SPAN
    to_stop_min: MinuteSpan = NO_SPAN
    missing: frozenset[str] = NOTHING
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Hill:
    """A steady climb at full throttle, and the minutes to the motor's temperature taper and stop.

    Each of the two is a least and a most, the same where the ratings leave nothing open; None for an
    end that is not known or not within an hour. `missing` names what would close an open time.
    `controller` has the controller's minutes; None where there is no climb.
    """

    grade_percent: float | None
    speed_km_h: float | None = None
    phase_A_rms: float | None = None
    air_degC: float | None = None
    to_taper_min: MinuteSpan = NO_SPAN
    to_stop_min: MinuteSpan = NO_SPAN
    missing: frozenset[str] = NOTHING
    reason: str = ""
    controller: ControllerMinutes | None = None

    @property
    def tapers_first(self) -> str:
        """Which tapers first, `motor` or `controller`; empty where that is not sure."""
        motor = _sure_min(self.to_taper_min, self.reason)
        told = self.controller
        other = None if told is None else _sure_min(told.to_taper_min, told.reason)
        if motor is None or other is None:
            return ""
        if motor[1] < other[0]:
            return "motor"
        return "controller" if other[1] < motor[0] else ""


def _sure_min(span: MinuteSpan, reason: str) -> tuple[float, float] | None:
    """A span with its open end beyond an hour; None where nothing is known."""
    if span == NO_SPAN and reason != NOT_WITHIN:
        return None
    low, high = (math.inf if end is None else end for end in span)
    return low, high


def hill_of(book: Book, grade_percent: float, point: OperatingPoint) -> Hill:
    """The climb that the drive holds at `point`, with what the entries say of heat."""
    hill = _motor_hill(book, grade_percent, point)
    return replace(hill, controller=controller_minutes(book, point.phase_A_rms))


def controller_minutes(book: Book, current_A_rms: float) -> ControllerMinutes:
    """How long the controller carries a phase current, by its datasheet and its own limits."""
    limit = "settings.temperature.controller"
    ends = (f"{limit}.taper_from_degC", f"{limit}.stop_degC")
    if book.operand(ends[1]).side == ABSENT:
        return ControllerMinutes(reason="the controller has no temperature limit of its own")
    if book.operand("controller.phase_current_burst_s").side == ABSENT:
        return ControllerMinutes(reason=NO_TIME)
    missing = _lacking(book, (*CONTROLLER_HEAT, *ends))
    if missing:
        return ControllerMinutes(missing=missing)
    ratings = ControllerRatings(*(book.operand(name).number for name in CONTROLLER_HEAT))
    bodies = list(bodies_of(ratings))
    if not bodies:
        return ControllerMinutes(reason=NO_CONSTANT)
    air_degC = _number(book, "vehicle.max_ambient_degC") or RATED_AIR_degC
    continuous = _number(book, "motor.phase_current_A_rms")
    currents = _currents(book, current_A_rms, math.inf if continuous is None else continuous)
    taper, stop = (
        span_of(
            [seconds_until(body, currents, air_degC, book.operand(end).number) for body in bodies]
        )
        for end in ends
    )
    reason = NOT_WITHIN if NO_SPAN in (taper, stop) else SPAN_LEFT_OPEN
    return ControllerMinutes(_minutes(taper), _minutes(stop), reason=reason)


def _lacking(book: Book, names: Iterable[str]) -> frozenset[str]:
    """What would make some quantities known."""
    unknown = [name for name in names if not book.operand(name).known]
    return NOTHING.union(*(book.operand(name).missing or {name} for name in unknown))


def _motor_hill(book: Book, grade_percent: float, point: OperatingPoint) -> Hill:
    """The climb with the motor's minutes."""
    known = Hill(grade_percent, point.speed_km_h, point.phase_A_rms)
    limit = "settings.temperature.motor"
    if book.operand(f"{limit}.stop_degC").side == ABSENT:
        return _but(known, reason="the controller has no motor temperature limit")
    ends = (f"{limit}.taper_from_degC", f"{limit}.stop_degC")
    needed = ("motor.phase_to_neutral_mohm", "motor.phase_current_A_rms", *ends)
    missing = _lacking(book, needed)
    if missing:
        return _but(known, missing=missing)
    ratings, opened = ratings_of(book)
    every = lumps_of(ratings)
    if not every:
        return _but(known, reason=RATINGS_CONFLICT)
    air_degC = _number(book, "vehicle.max_ambient_degC") or RATED_AIR_degC
    currents = _currents(book, point.phase_A_rms, ratings.continuous_A_rms)
    hot_degC = [book.operand(name).number for name in ends]
    taper, stop = time_spans(every, ratings.phase_ohm, currents, air_degC, hot_degC)
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
    return replace(
        _first_motor(every), controller=_first_controller([one.controller for one in every])
    )


def _first_controller(
    every: Sequence[ControllerMinutes | None],
) -> ControllerMinutes | None:
    """The controller that is hot first; one of which that is not known as long as there is one."""
    known = [one for one in every if one is not None]
    open_ = [one for one in known if one.to_stop_min == NO_SPAN and one.reason != NOT_WITHIN]
    if open_ or len(known) < 2:
        return next(iter(open_ or known), None)
    first = min(known, key=lambda one: _sooner(one.to_taper_min))
    taper = _first_span(one.to_taper_min for one in known)
    return replace(
        first, to_taper_min=taper, to_stop_min=_first_span(one.to_stop_min for one in known)
    )


def _first_motor(every: Sequence[Hill]) -> Hill:
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
