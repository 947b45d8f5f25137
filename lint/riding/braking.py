"""Braking by regen over speed: what phase current, battery current and grip leave of it.

On the flat at the pack's nominal voltage. The losses of the drivetrain, the road and the air brake too
and are left out. Near a standstill a controller lets regen fade, so that the most is an upper end.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from ..quantities.book import Book
from ..quantities.operand import ABSENT, EXACT, NO_MORE, NOTHING
from .drive import BY_GRIP, Drive, newton_per_ampere
from .ride_figures import NO_START, Braking, Figure
from .train import drives_of
from .vehicle import Vehicle

_PHASE = "settings.regen.phase_current_A_rms"
_BATTERY = "settings.regen.battery_current_A"
_STOP = "settings.regen.stop_V"
_RATED = "controller.phase_current_A_rms"
_WINDING = "motor.phase_to_neutral_mohm"
_QUARTERS = (0.25, 0.5, 0.75, 1.0)  # of the top speed, at which the curve is told
_HALVED = 50
_CLOSE = 1e-9  # of the deceleration, where two are the same
NO_REGEN = "no regen is set"
_UNLIMITED = "nothing limits it"


class RegenLimits(NamedTuple):
    """The two currents of regen; infinite where nothing limits one."""

    phase_A_rms: float
    battery_A: float


def regen_force(drive: Drive, limits: RegenLimits, speed_km_h: float) -> float:
    """Braking force in N of one motor at a speed: the phase current's, or what the battery's lets in.

    Of the power at the shaft the copper keeps 3·R·I² and the controller its share; what is left may
    not pass battery current × open voltage. So k·v·I − 3·R·I² = P, of which the smaller root counts.
    Infinite where neither current is limited. Source: power balance.

    >>> drive = Drive(60, 100, 100, 48.0, 5.0, 2.0, phase_ohm=0.02, controller_efficiency=0.96)
    >>> round(regen_force(drive, RegenLimits(50.0, 10.0), 2.0), 1)
    153.1
    >>> round(regen_force(drive, RegenLimits(50.0, 10.0), 36.0), 2)
    51.71
    """
    per_A = newton_per_ampere(drive) / drive.efficiency
    watt_per_A = per_A * speed_km_h / 3.6
    let_in_W = limits.battery_A * drive.open_V / drive.controller_efficiency
    most_A = limits.phase_A_rms
    if (
        math.isfinite(most_A)
        and watt_per_A * most_A - 3.0 * drive.phase_ohm * most_A**2 <= let_in_W
    ):
        return per_A * most_A
    under = watt_per_A**2 - 12.0 * drive.phase_ohm * let_in_W
    if watt_per_A <= 0.0 or not 0.0 <= under < math.inf:
        return per_A * most_A
    return per_A * min(most_A, 2.0 * let_in_W / (watt_per_A + math.sqrt(under)))


class Slowing(NamedTuple):
    """The motors that brake a mass, each within the most that is known of its limits."""

    motors: tuple[tuple[Drive, RegenLimits], ...]
    grip_N: float
    total_kg: float
    missing: frozenset[str]

    def most(self, speed_km_h: float) -> float:
        """Deceleration in m/s² at a speed, at most."""
        force_N = sum(regen_force(drive, limits, speed_km_h) for drive, limits in self.motors)
        return min(force_N, self.grip_N) / self.total_kg

    def at(self, speed_km_h: float) -> Figure:
        """Deceleration at a speed: exact, or no more than that."""
        most = self.most(speed_km_h)
        if not math.isfinite(most):
            return Figure(missing=self.missing, reason="" if self.missing else _UNLIMITED)
        return Figure(None if self.missing else most, most, self.missing)

    def hardest_to_km_h(self, last_km_h: float) -> float | None:
        """Up to which speed it slows as hard as at a standstill; None where it does to the last."""
        hardest = self.most(0.0) * (1.0 - _CLOSE)
        if not math.isfinite(hardest) or self.most(last_km_h) >= hardest:
            return None
        low, high = 0.0, last_km_h
        for _ in range(_HALVED):
            middle = (low + high) / 2.0
            low, high = (middle, high) if self.most(middle) >= hardest else (low, middle)
        return low


def braking(
    vehicle: Vehicle,
    books: Mapping[str, Book],
    whole: Book,
    cruise_km_h: float | None,
    top_km_h: float | None,
) -> Braking:
    """Regen of a vehicle in one mode, at the speed of its range and over the speeds that it reaches."""
    each = list(books.values())
    if all(_is_off(book) for book in each):
        return Braking(Figure(reason=NO_REGEN))
    drive, road = vehicle.drive, vehicle.road
    if drive is None or road is None or cruise_km_h is None or top_km_h is None:
        unweighed = NOTHING if road is not None else whole.operand("ride.combined_kg").missing
        missing = vehicle.lacking | vehicle.unknown_weakening | unweighed
        return Braking(Figure(missing=missing, reason="" if missing else NO_START))
    slowing = _slowing(vehicle, each, whole, drives_of(drive), road.total_kg)
    stop = whole.operand(_STOP)
    return Braking(
        slowing.at(cruise_km_h),
        slowing.at(0.0),
        slowing.hardest_to_km_h(top_km_h),
        tuple((top_km_h * share, slowing.at(top_km_h * share)) for share in _QUARTERS),
        stop.number if stop.known else None,
    )


def _slowing(
    vehicle: Vehicle, books: Iterable[Book], whole: Book, drives: Iterable[Drive], total_kg: float
) -> Slowing:
    motors, missing = [], NOTHING
    for drive, book in zip(drives, books, strict=True):
        limits, unknown = _limits(book)
        motors.append((drive, limits))
        missing |= unknown
    grip, mass = whole.operand(BY_GRIP), whole.operand("ride.combined_kg")
    for read in (grip, mass):
        missing |= NOTHING if read.side in (EXACT, ABSENT) and read.known else read.missing
    grip_N = grip.number if grip.known and grip.side in (EXACT, NO_MORE) else math.inf
    return Slowing(tuple(motors), grip_N, total_kg, missing)


def _limits(book: Book) -> tuple[RegenLimits, frozenset[str]]:
    """The most that may flow by what is known, and what is missing to be sure of it."""
    if _is_off(book):
        return RegenLimits(0.0, 0.0), NOTHING
    ends, missing = [], NOTHING
    for name in (_PHASE, _BATTERY):
        limit = book.operand(name)
        ends.append(limit.number if limit.known else math.inf)
        missing |= NOTHING if limit.known or limit.side == ABSENT else limit.missing or {name}
    rated, winding = book.operand(_RATED), book.operand(_WINDING)
    if rated.known:  # the same transistors carry it
        ends[0] = min(ends[0], rated.number)
    if not winding.known and math.isfinite(
        ends[1]
    ):  # what the copper keeps the battery need not take
        ends[1] = math.inf
        missing |= winding.missing or {_WINDING}
    return RegenLimits(*ends), missing


def _is_off(book: Book) -> bool:
    """Whether no regen is set: none of the two limits is there, or one of them is 0."""
    limits = [book.operand(name) for name in (_PHASE, _BATTERY)]
    return all(one.side == ABSENT for one in limits) or any(
        one.known and one.number <= 0.0 for one in limits
    )
