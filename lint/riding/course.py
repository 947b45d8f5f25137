"""The road against the drive: top speed, the steepest start, time to a speed, and how far a charge goes."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from ..quantities.number import ceiling
from ..quantities.ride import GRAVITY_m_per_s2, SEA_LEVEL_kg_per_m3
from ..quantities.road import hold
from .drive import Drive, OperatingPoint, fullest, speed_at
from .train import Driven, altered, drives_of, gives, held, pushed

SEARCHED_km_h = 300.0  # no small vehicle goes beyond
FIRST_TRIED_km_h = 10.0
HALVED = 36  # times from the last step: less than a billionth of a km/h is left
MOST_POINTS = 40
LEAST_STEP = 0.2  # of a step, before the last point of a curve
STEPS_km_h = (1.0, 2.0, 5.0, 10.0, 20.0)
PIECES = 100  # of a speed range that is passed through
SECONDS_PER_HOUR = 3600.0


class Road(NamedTuple):
    """What holds a vehicle back: its mass with the rider, rolling, air, and the grade that it climbs."""

    total_kg: float
    rolling: float
    drag_area_m2: float
    grade_percent: float = 0.0
    density_kg_per_m3: float = SEA_LEVEL_kg_per_m3


def road_resistance(road: Road, speed_km_h: float) -> float:
    """Force in N that holds a speed, without wind: rolling, climbing and air.

    Source: road-load equation, Gillespie, Fundamentals of Vehicle Dynamics, 1992, chapter 4; from
    memory.

    >>> round(road_resistance(Road(105.0, 0.006, 0.55, 6.0), 25.0) * 25 / 3.6, 1)
    583.9
    """
    air_N = road.density_kg_per_m3 * road.drag_area_m2 * (speed_km_h / 3.6) ** 2 / 2.0
    return hold(road.total_kg * GRAVITY_m_per_s2, road.grade_percent, road.rolling) + air_N


def on_grade(drive: Driven, road: Road) -> Driven:
    """The drive with the grip that its tyres have on the road's grade: the weight across the slope.

    A driven rear wheel, on to which a climb shifts load, grips more than this.

    >>> on_grade(Drive(60, 100, 50, 48.0, 5.0, 2.0, grip_N=500.0), Road(100, 0, 0, 75.0)).grip_N
    400.0
    """
    grip_N = drives_of(drive)[0].grip_N / math.hypot(1.0, road.grade_percent / 100.0)
    return altered(drive, grip_N=grip_N)


def top_speed(drive: Driven, road: Road, step_km_h: float = 1.0) -> OperatingPoint | None:
    """The drive at the highest speed to which it gathers from a standstill; None if it does not start.

    Where force is left over, the speed at which a limit of speed or voltage ends the drive.

    >>> drive = Drive(60, 100, 50, 48.0, 5.0, 2.0, phase_ohm=0.02)
    >>> round(top_speed(drive, Road(150.0, 0.015, 0.6)).speed_km_h, 1)
    62.3
    >>> top_speed(drive, Road(150.0, 0.015, 0.6, 25.0)) is None
    True
    """

    drive = on_grade(drive, road)

    def gathers(speed_km_h: float) -> bool:
        return gives(drive, speed_km_h, road_resistance(road, speed_km_h))

    low = 0.0
    if not gathers(low):
        return None
    while gathers(low + step_km_h):
        low += step_km_h
        if low >= SEARCHED_km_h:
            break
    high = low + step_km_h
    for _ in range(HALVED):
        middle = (low + high) / 2.0
        low, high = (middle, high) if gathers(middle) else (low, middle)
    point, past = pushed(drive, low), pushed(drive, high + step_km_h / 1000.0)
    ended = past.force_N <= 0.0
    return point._replace(limited_by=past.limited_by) if ended else point


def steepest_start(
    force_N: float, weight_N: float, rolling: float, grip_N: float = math.inf
) -> float:
    """Grade in percent on which the drive just moves the vehicle; infinite where any will do.

    From F = W·(sin α + c·cos α), the road-load equation at a standstill; the grip on the level falls
    with cos α, so that it allows a grade of its share of the weight less c.

    >>> round(steepest_start(500.0, 1716.2, 0.02), 2)
    28.28
    >>> steepest_start(1800.0, 1716.2, 0.02), steepest_start(900.0, 1000.0, 0.02, 420.0)
    (inf, 40.0)
    """
    share = force_N / weight_N / math.hypot(1.0, rolling)
    turned = math.tan(math.asin(share) - math.atan(rolling)) if share < 1.0 else math.inf
    return max(0.0, 100.0 * min(turned, grip_N / weight_N - rolling))


def seconds_to(
    speed_km_h: float, total_kg: float, surplus: Callable[[float], float]
) -> float | None:
    """Time from a standstill to a speed by Newton's second law; None where it is never reached.

    `surplus` is the force in N that is left over for gathering speed at a speed in km/h. The mass of
    turning parts is left out: wheels and rotor add a few percent.

    >>> round(seconds_to(36.0, 100.0, lambda km_h: 200.0), 6)
    5.0
    """
    step = speed_km_h / PIECES
    forces = [surplus(step * number) for number in range(PIECES + 1)]
    if min(forces) <= 0.0:
        return None
    paces = [total_kg / force_N for force_N in forces]
    return (sum(paces) - (paces[0] + paces[-1]) / 2.0) * step / 3.6


class BesidePush(NamedTuple):
    """Battery current in A that does not push: always, and for each km/h while the motor is driven."""

    always_A: float = 0.0
    idle_A_per_km_h: float = 0.0


NOTHING_BESIDE = BesidePush()


def cruising_range(
    drive: Driven,
    road: Road,
    speed_km_h: float,
    capacity_Ah: float,
    beside: BesidePush = NOTHING_BESIDE,
) -> float | str:
    """Distance in km on one charge at a steady speed, or the name of the limit that forbids the speed.

    The whole rated capacity at the nominal voltage.

    >>> drive = Drive(60, 100, 50, 48.0, 5.0, 2.0, phase_ohm=0.02)
    >>> round(cruising_range(drive, Road(150.0, 0.015, 0.6), 40.0, 20.0), 1)
    49.3
    """
    point = held(drive, speed_km_h, road_resistance(road, speed_km_h))
    if isinstance(point, str):
        return point
    drawn_A = point.battery_A + beside.always_A + beside.idle_A_per_km_h * speed_km_h
    return capacity_Ah / drawn_A * speed_km_h if drawn_A > 0.0 else math.inf


def force_curve(drive: Driven) -> tuple[OperatingPoint, ...]:
    """Full throttle at even steps of speed, from a standstill to where the drive's force ends.

    >>> curve = force_curve(Drive(60, 100, 50, 48.0, 5.0, 2.0, max_rpm=2500.0))
    >>> [round(point.speed_km_h) for point in curve][-3:], curve[-1].limited_by
    ([56, 58, 60], 'settings.battery_current_A')
    """
    last = last_speed(drive)
    step = next((one for one in STEPS_km_h if last / one <= MOST_POINTS), STEPS_km_h[-1])
    speeds = [step * number for number in range(ceiling(last / step - LEAST_STEP))]
    return tuple(pushed(drive, speed) for speed in [*speeds, last])


def last_speed(driven: Driven) -> float:
    """The speed in km/h at which the drive's force ends: its limit, or where no voltage is left.

    >>> round(last_speed(Drive(60, 100, 50, 48.0, 5.0, 2.0)), 3)
    69.12
    """
    return max(map(_last_speed, drives_of(driven)))


def _last_speed(drive: Drive) -> float:
    high = FIRST_TRIED_km_h
    if math.isfinite(drive.max_rpm):
        high = speed_at(drive, drive.max_rpm)
        if fullest(drive, high).force_N > 0.0:
            return high
    while fullest(drive, high).force_N > 0.0 and high < SEARCHED_km_h:
        high *= 2.0
    low = 0.0
    for _ in range(HALVED):
        middle = (low + high) / 2.0
        low, high = (middle, high) if fullest(drive, middle).force_N > 0.0 else (low, middle)
    return low


class Schedule(NamedTuple):
    """A cycle of the kind of SAE J227a: gather speed, hold it, coast, brake, stand."""

    name: str
    speed_km_h: float
    gather_s: float
    hold_s: float
    coast_s: float
    brake_s: float
    stand_s: float


# SAE J227a, Electric Vehicle Test Procedure, schedules A to D; from memory of Larminie and Lowry,
# Electric Vehicle Technology Explained, chapter on modelling.
SCHEDULES = (
    Schedule("SAE J227a schedule A", 16.0, 4.0, 0.0, 2.0, 3.0, 30.0),
    Schedule("SAE J227a schedule B", 32.0, 19.0, 19.0, 4.0, 5.0, 25.0),
    Schedule("SAE J227a schedule C", 48.0, 18.0, 20.0, 8.0, 9.0, 25.0),
    Schedule("SAE J227a schedule D", 72.0, 28.0, 50.0, 10.0, 9.0, 25.0),
)
SLICES = 60


def schedule_range(
    drive: Driven,
    road: Road,
    schedule: Schedule,
    capacity_Ah: float,
    beside: BesidePush = NOTHING_BESIDE,
) -> float | str:
    """Distance in km on one charge in a stop-and-go cycle, or the name of the limit it runs into.

    Speed rises in a straight line; while coasting road and air slow the vehicle; regen gives nothing
    back, and at a stand only what is always drawn is.

    >>> drive = Drive(60, 100, 50, 48.0, 5.0, 2.0, phase_ohm=0.02)
    >>> round(schedule_range(drive, Road(150.0, 0.015, 0.6), SCHEDULES[1], 20.0), 1)
    54.9
    """
    top, slice_s = schedule.speed_km_h, schedule.gather_s / SLICES
    gather_N = road.total_kg * top / 3.6 / schedule.gather_s
    drawn_As, metres = beside.always_A * sum(schedule[2:]), top / 3.6 / 2.0 * schedule.gather_s
    for number in range(SLICES):
        speed = top * (number + 0.5) / SLICES
        point = held(drive, speed, gather_N + road_resistance(road, speed))
        if isinstance(point, str):
            return point
        drawn_As += (point.battery_A + beside.idle_A_per_km_h * speed) * slice_s
    steady = held(drive, top, road_resistance(road, top))
    if isinstance(steady, str):
        return steady
    drawn_As += (steady.battery_A + beside.idle_A_per_km_h * top) * schedule.hold_s
    metres += top / 3.6 * schedule.hold_s
    coasted, speed = _coasted(road, top, schedule.coast_s)
    metres += coasted + speed / 3.6 / 2.0 * schedule.brake_s
    return capacity_Ah * SECONDS_PER_HOUR / drawn_As * metres / 1000.0


def _coasted(road: Road, speed_km_h: float, seconds: float) -> tuple[float, float]:
    """Metres rolled without drive, and the speed in km/h that is left."""
    metres, pace = 0.0, seconds / SLICES
    for _ in range(SLICES):
        slower = max(
            0.0, speed_km_h - 3.6 * pace * road_resistance(road, speed_km_h) / road.total_kg
        )
        metres += (speed_km_h + slower) / 7.2 * pace
        speed_km_h = slower
    return metres, speed_km_h
