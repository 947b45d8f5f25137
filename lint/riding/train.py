"""Several motors on one pack: forces add at the road, currents at the battery, each inside its own limits.

Each motor has its own currents, speeds and reduction; the pack sags under all of them. At one throttle
each gives the same share of what its phase current would, until a limit of its own holds it back. A
motor past its speed or voltage gives nothing and is taken to turn freely. Where field weakening costs
more sag than it gains, each motor weakens on, and all settle at a little less than the most.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from .drive import BISECTIONS, Drive, OperatingPoint, driven_at, fullest, newton_per_ampere

LEAST_TAPER_V = 1e-3  # width of a cutoff without a taper
CLOSE = 1e-9  # of the value that is sought
MOST_TRIED = 60  # most of a search


class Train(NamedTuple):
    """The drives of several motors on one pack.

    Of each, `open_V` and `loop_ohm` are those of the pack, `grip_N` that of all driven wheels.
    """

    drives: tuple[Drive, ...]


Driven = Drive | Train


def altered(driven: Driven, **changes: Any) -> Driven:
    """The same with some fields of every drive changed."""
    if isinstance(driven, Drive):
        return driven._replace(**changes)
    return Train(tuple(drive._replace(**changes) for drive in driven.drives))


def drives_of(driven: Driven) -> tuple[Drive, ...]:
    """Each motor's drive."""
    return (driven,) if isinstance(driven, Drive) else driven.drives


def pushed(driven: Driven, speed_km_h: float) -> OperatingPoint:
    """One motor or several at full throttle at a speed: the largest force, and what allows no more.

    Two alike push as one of twice the current:

    >>> one = Drive(60, 100, 50, 48.0, 5.0, 2.0)
    >>> round(pushed(Train((one, one)), 0.0).force_N, 1), round(pushed(one, 0.0).force_N, 1)
    (612.4, 306.2)
    """
    if isinstance(driven, Drive):
        return fullest(driven, speed_km_h)
    most_N = _most_forces(driven)
    grip_N, whole_N = driven.drives[0].grip_N, sum(most_N) or 1.0
    return _together(driven, speed_km_h, [grip_N * force_N / whole_N for force_N in most_N])


def gives(driven: Driven, speed_km_h: float, force_N: float) -> bool:
    """Whether full throttle at a speed pushes, and with no less than a force.

    What one motor's torque asks of voltage, field weakening and battery rises with it, so that this
    force itself is tried instead of the largest being sought; where none is asked for, the least that
    a search for the largest would find.

    >>> one = Drive(60, 100, 50, 48.0, 5.0, 2.0)
    >>> gives(one, 0.0, 306.0), gives(one, 0.0, 307.0), gives(one, 80.0, 0.0)
    (True, False, False)
    """
    if isinstance(driven, Train):
        most_N = pushed(driven, speed_km_h).force_N
        return most_N > 0.0 and most_N >= force_N
    per_A = newton_per_ampere(driven)
    most_A = min(driven.phase_A_rms, driven.grip_N / per_A)
    across_A = max(force_N / per_A, most_A / 2.0**BISECTIONS)
    if not 0.0 < across_A <= most_A:
        return False
    return isinstance(driven_at(driven, speed_km_h, across_A), OperatingPoint)


def held(driven: Driven, speed_km_h: float, force_N: float) -> OperatingPoint | str:
    """One motor or several giving so much force at a speed, or the name of what does not let them.

    >>> one = Drive(60, 100, 100, 48.0, 5.0, 2.0)
    >>> held(one, 30.0, 400.0), held(Train((one, one)), 30.0, 700.0)
    ('settings.phase_current_A_rms', 'settings.phase_current_A_rms')
    """
    force_N = max(0.0, force_N)
    if isinstance(driven, Drive):
        across_A = force_N / newton_per_ampere(driven)
        if across_A > driven.phase_A_rms:
            return driven.phase_limit
        return driven_at(driven, speed_km_h, across_A)
    most_N = _most_forces(driven)
    throttle = force_N / (sum(most_N) or 1.0)
    if throttle > 1.0:
        return driven.drives[0].phase_limit

    def at(share: float) -> OperatingPoint:
        point = _together(driven, speed_km_h, [share * most for most in most_N])
        return point._replace(limited_by="") if share < 1.0 else point

    point = at(throttle)
    if point.force_N >= force_N * (1.0 - CLOSE):
        return point
    most = at(1.0)
    if most.force_N < force_N:
        return most.limited_by
    share = _root(lambda share: at(share).force_N - force_N, throttle, 1.0, force_N * CLOSE)
    return at(share)


def _most_forces(train: Train) -> list[float]:
    """What the phase current of each motor would push with, were there no other limit."""
    return [newton_per_ampere(drive) * drive.phase_A_rms for drive in train.drives]


def _together(train: Train, speed_km_h: float, most_N: Sequence[float]) -> OperatingPoint:
    """All motors at the largest force inside their limits and `most_N` each, the pack sagging under all.

    Each motor is looked at on a stiff source of the loaded voltage U, which is found from
    U = U₀ − R·ΣI(U).
    """
    open_V, loop_ohm = train.drives[0].open_V, train.drives[0].loop_ohm
    stiff = [
        drive._replace(
            loop_ohm=0.0,
            grip_N=force_N,
            taper_from_V=max(drive.taper_from_V, drive.cutoff_V + LEAST_TAPER_V),
        )
        for drive, force_N in zip(train.drives, most_N, strict=True)
    ]

    def parts_at(volts: float) -> tuple[OperatingPoint, ...]:
        return tuple(fullest(drive._replace(open_V=volts), speed_km_h) for drive in stiff)

    def short_V(volts: float) -> float:
        return open_V - loop_ohm * sum(part.battery_A for part in parts_at(volts)) - volts

    lowest_V = max(0.0, open_V - loop_ohm * sum(drive.battery_A for drive in stiff))
    volts = _root(short_V, lowest_V, open_V, open_V * CLOSE) if loop_ohm > 0.0 else open_V
    return _summed(train, speed_km_h, parts_at(volts), volts)


def _summed(
    train: Train, speed_km_h: float, parts: tuple[OperatingPoint, ...], volts: float
) -> OperatingPoint:
    """The motors as one point; it is limited by what holds back that one which lacks most force."""
    lacks = [most - part.force_N for most, part in zip(_most_forces(train), parts, strict=True)]
    held_back = parts[lacks.index(max(lacks))]
    return OperatingPoint(
        speed_km_h,
        sum(part.force_N for part in parts),
        sum(part.torque_Nm for part in parts),
        max(part.rpm for part in parts),
        max(part.across_A_rms for part in parts),
        max(part.weakening_A_rms for part in parts),
        max(part.phase_A_rms for part in parts),
        sum(part.battery_A for part in parts),
        volts,
        held_back.limited_by,
        parts,
    )


def _root(of: Callable[[float], float], low: float, high: float, close: float) -> float:
    """Where a function between two ends passes nought: false position, by the Illinois rule."""
    at_low, at_high = of(low), of(high)
    if abs(at_low) <= close or at_low * at_high > 0.0:
        return low if abs(at_low) <= abs(at_high) else high
    middle = high
    for _ in range(MOST_TRIED):
        if abs(at_high) <= close:
            return high
        middle = high - at_high * (high - low) / (at_high - at_low)
        at_middle = of(middle)
        if abs(at_middle) <= close or middle in (low, high):
            return middle
        if at_middle * at_high < 0.0:
            low, at_low = high, at_high
        else:
            at_low /= 2.0
        high, at_high = middle, at_middle
    return middle
