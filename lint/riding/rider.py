"""Riding a vehicle on paper: each figure of the ride from its book, exact, a bound, or why there is none."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from ..documents.profile import BASE
from ..quantities.book import Book
from ..quantities.operand import EXACT, NO_MORE, NOTHING
from .beside import beside_of, leaves_charge
from .braking import braking
from .charge import Charge
from .course import (
    SCHEDULES,
    Road,
    Schedule,
    force_curve,
    on_grade,
    road_resistance,
    seconds_to,
    steepest_start,
    top_speed,
)
from .drive import OperatingPoint
from .hill import Hill, first_of, hill_of
from .ride_figures import NO_START, Braking, Figure, Ride, RoadFigures, controller_figure
from .train import Train, altered, drives_of, held, pushed
from .vehicle import RiddenMotors, Vehicle, vehicle_of

SPRINT_km_h = 50.0
BASIS = (
    "pack.nominal_V",
    "pack.capacity_Ah",
    "house.efficiency_controller",
    "house.modulation",
    "ride.driven_percent",
)
OWN_LIMITS = ("vehicle.speed_limit_km_h", "vehicle.power_limit_W")
CRUISE_SHARE = 2.0 / 3.0  # of the top speed on the flat, where no cruise is stated; our own


def rides(
    books: Mapping[str, Book | RiddenMotors],
    grade_percent: float | None = None,
    cruise_km_h: float | None = None,
) -> tuple[Ride, ...]:
    """The rides of several modes.

    Arguments: `books`, by mode; `grade_percent`, on which top speed and time to 50 km/h are told, and
    the hill that heats the motor: without one, the flat and the vehicle's steepest grade;
    `cruise_km_h`, the speed of the range, two thirds of the top speed on the flat if left out.
    """
    return tuple(ride_of(books[mode], mode, grade_percent, cruise_km_h) for mode in books)


def ride_of(
    book: Book | RiddenMotors,
    mode: str = BASE,
    grade_percent: float | None = None,
    cruise_km_h: float | None = None,
) -> Ride:
    """The ride in one book; arguments as those of `rides`."""
    vehicle = vehicle_of(book, grade_percent or 0.0)
    return Rider(book, vehicle, mode, grade_percent, cruise_km_h).ride()


class Rider:
    """Rides one vehicle; each method tells one figure."""

    def __init__(
        self,
        book: Book | RiddenMotors,
        vehicle: Vehicle,
        mode: str,
        grade_percent: float | None,
        cruise_km_h: float | None,
    ) -> None:
        self.motors = book.plain if isinstance(book, RiddenMotors) else {"": book}
        self.book = book.whole if isinstance(book, RiddenMotors) else book
        self.vehicle, self.mode = vehicle, mode
        self.grade_percent = grade_percent
        self.flat = None if vehicle.road is None else vehicle.road._replace(grade_percent=0.0)
        self.open = vehicle.lacking | vehicle.unknown_weakening  # no figure at speed without it
        self.unsure = vehicle.moving | vehicle.rolling | vehicle.air  # a bound without it
        self.top = self._top(vehicle.road)
        self.flat_top = self.top if not grade_percent else self._top(self.flat)
        self.schedules: tuple[Schedule, ...] = SCHEDULES  # of which one may be ridden
        self.cruise_km_h = cruise_km_h
        if cruise_km_h is None and self.flat_top is not None:
            self.cruise_km_h = max(1.0, math.floor(self.flat_top.speed_km_h * CRUISE_SHARE))

    def ride(self) -> Ride:
        """All figures."""
        vehicle, drive = self.vehicle, self.vehicle.drive
        schedule, stop_and_go = self._stop_and_go()
        peak = None if drive is None else pushed(drive, 0.0)
        points = () if drive is None or self.open else force_curve(drive)
        return Ride(
            mode=self.mode,
            grade_percent=self.grade_percent or 0.0,
            top_speed_km_h=self._speed(self.top),
            limited_by=self._limit(),
            flat_top_speed_km_h=self._speed(self.flat_top),
            full_top_speed_km_h=self._full_speed(),
            peak_force_N=self._standing(None if peak is None else peak.force_N),
            peak_limited_by="" if peak is None else peak.limited_by,
            continuous_force_N=self._continuous(),
            steepest_start_percent=self._steepest(),
            zero_to_50_s=self._sprint(),
            cruise_km_h=self.cruise_km_h,
            range_km=self._range(),
            schedule=schedule,
            stop_and_go_range_km=stop_and_go,
            regen=self._braking(),
            hill=self._hill(),
            road=vehicle.road,
            points=points,
            points_side=NO_MORE if vehicle.moving else EXACT,
            points_missing=self.open | vehicle.moving,
            basis=self._known(BASIS),
            own_limits=self._known(OWN_LIMITS),
            motors=tuple(name for name in self.motors if name),
        )

    def first_figures(self) -> RoadFigures:
        """Those of the figures that a rider notices first."""
        peak = None if self.vehicle.drive is None else pushed(self.vehicle.drive, 0.0)
        hill = self._hill()
        return RoadFigures(
            top_speed_km_h=self._speed(self.top),
            limited_by=self._limit(),
            peak_force_N=self._standing(None if peak is None else peak.force_N),
            peak_limited_by="" if peak is None else peak.limited_by,
            steepest_start_percent=self._steepest(),
            range_km=self._range(),
            cruise_km_h=self.cruise_km_h,
            regen_deceleration_m_per_s2=self._braking().at_cruise,
            minutes_to_taper=Figure(*hill.to_taper_min, hill.missing, hill.reason),
            controller_minutes_to_taper=controller_figure(hill, "taper"),
            grade_percent=hill.grade_percent,
        )

    def _top(self, road: Road | None) -> OperatingPoint | None:
        if self.open or road is None or self.vehicle.drive is None:
            return None
        return top_speed(self.vehicle.drive, road)

    def _limit(self) -> str:
        """What ends the top speed, or keeps the vehicle from starting."""
        drive, road = self.vehicle.drive, self.vehicle.road
        if self.top is not None or drive is None or road is None or self.open:
            return "" if self.top is None else self.top.limited_by
        return pushed(on_grade(drive, road), 0.0).limited_by

    def _standing(self, value: float | None, besides: frozenset[str] = NOTHING) -> Figure:
        """A figure at a standstill; with something missing no more than the value."""
        if value is None:
            return Figure(missing=self.vehicle.lacking)
        missing = self.vehicle.standing | besides
        return Figure(None if missing else value, value, missing)

    def _at_speed(self, value: float | str, no_less: bool = False) -> Figure:
        """A figure on the road: a bound where something is missing, a reason where there is none."""
        if value == math.inf:
            return Figure(reason="nothing holds the vehicle back")
        if isinstance(value, str):
            return Figure(missing=NOTHING, reason=value)
        if not self.unsure:
            return Figure(value, value)
        return Figure(value if no_less else None, None if no_less else value, self.unsure)

    def _unweighed(self) -> Figure:
        """Nothing on the road without the vehicle's mass."""
        weighed = (
            NOTHING if self.flat is not None else self.book.operand("ride.combined_kg").missing
        )
        return Figure(missing=self.open | weighed)

    def _speed(self, point: OperatingPoint | None) -> Figure:
        if self.open or self.flat is None:
            return self._unweighed()
        return self._at_speed(NO_START if point is None else point.speed_km_h)

    def _full_speed(self) -> Figure:
        """Top speed with the full pack, on the flat."""
        full, drive = self.book.operand("pack.full_V"), self.vehicle.drive
        if self.open or self.flat is None or drive is None:
            return self._unweighed()
        if not full.known:
            return Figure(missing=full.missing)
        return self._speed(top_speed(altered(drive, open_V=full.number), self.flat))

    def _continuous(self) -> Figure:
        """Force at a standstill that the motor withstands for hours."""
        ratings = [book.operand("motor.phase_current_A_rms") for book in self.motors.values()]
        drive = self.vehicle.drive
        if drive is None or not all(rating.known for rating in ratings):
            return Figure(missing=self.vehicle.lacking.union(*(one.missing for one in ratings)))
        cool = tuple(
            one._replace(phase_A_rms=min(one.phase_A_rms, rating.number))
            for one, rating in zip(drives_of(drive), ratings, strict=True)
        )
        return self._standing(pushed(Train(cool) if len(cool) > 1 else cool[0], 0.0).force_N)

    def _steepest(self) -> Figure:
        drive, weight = self.vehicle.drive, self.book.operand("ride.combined_N")
        if drive is None or self.flat is None or not weight.known:
            return self._unweighed()
        force_N, grip_N = (
            pushed(altered(drive, grip_N=math.inf), 0.0).force_N,
            drives_of(drive)[0].grip_N,
        )
        grade = steepest_start(force_N, weight.number, self.flat.rolling, grip_N)
        if not math.isfinite(grade):
            return Figure(missing=self.vehicle.standing, reason="the push is more than the weight")
        return self._standing(grade, self.vehicle.rolling)

    def _sprint(self) -> Figure:
        drive, road = self.vehicle.drive, self.vehicle.road
        if self.open or road is None or drive is None:
            return self._unweighed()
        steep = on_grade(drive, road)
        seconds = seconds_to(
            SPRINT_km_h,
            road.total_kg,
            lambda speed: pushed(steep, speed).force_N - road_resistance(road, speed),
        )
        return self._at_speed("50 km/h is not reached" if seconds is None else seconds, True)

    def _charge(self) -> Charge | Figure:
        """What a range is worked out of, or why there is none."""
        capacity = self.book.operand("pack.capacity_Ah")
        # Free of air and rolling any distance is one.
        missing = capacity.missing if not capacity.known else NOTHING
        missing |= self.vehicle.rolling | self.vehicle.air
        drive, flat = self.vehicle.drive, self.flat
        if drive is None or flat is None or self.open or missing:
            return Figure(missing=self._unweighed().missing | missing)
        beside, unread = beside_of(drive, self.motors, self.book)
        early = leaves_charge(self.book)
        return Charge(drive, flat, capacity.number, beside, self.unsure | unread, early)

    def _range(self) -> Figure:
        charge = self._charge()
        if isinstance(charge, Figure):
            return charge
        return charge.at(self.cruise_km_h) if self.cruise_km_h else Figure(reason=NO_START)

    def schedules_kept(self) -> tuple[Schedule, ...]:
        """The published cycles that the drive keeps up with."""
        charge = self._charge()
        if isinstance(charge, Figure):
            return ()
        return tuple(one for one in SCHEDULES if charge.on(one) is not None)

    def _stop_and_go(self) -> tuple[str, Figure]:
        """Range on the fastest published cycle that the drive keeps up with, and its name."""
        charge = self._charge()
        if isinstance(charge, Figure):
            return "", charge
        for schedule in reversed(self.schedules):
            figure = charge.on(schedule)
            if figure is not None:
                return schedule.name, figure
        return "", Figure(reason=f"the drive does not keep up with {SCHEDULES[0].name}")

    def _braking(self) -> Braking:
        top = None if self.flat_top is None else self.flat_top.speed_km_h
        return braking(self.vehicle, self.motors, self.book, self.cruise_km_h, top)

    def _hill(self) -> Hill:
        steepest, grade = self.book.operand("vehicle.steepest_grade_percent"), self.grade_percent
        if grade is None and steepest.known:
            grade = steepest.number
        if grade is None:
            return Hill(None, missing=steepest.missing, reason="no grade is stated")
        if self.open or self.unsure or self.flat is None:
            return Hill(grade, missing=self.unsure | self._unweighed().missing)
        road = self.flat._replace(grade_percent=grade)
        point, drive = self._top(road), self.vehicle.drive
        if point is None or drive is None:
            return Hill(grade, reason=NO_START)
        # At the speed limit the drive gives what the hill asks for, and no more.
        steady = held(drive, point.speed_km_h, road_resistance(road, point.speed_km_h))
        point = point if isinstance(steady, str) else steady
        books = self.motors.values()
        return first_of(
            hill_of(book, grade, part)
            for book, part in zip(books, point.parts or (point,), strict=True)
        )

    def _known(self, names: Iterable[str]) -> Mapping[str, float]:
        """Those of some quantities that are known, by name, in their units."""
        known = {name: self.book.operand(name) for name in names}
        return {name: operand.number for name, operand in known.items() if operand.known}
