"""The vehicle as its book has it: drive and road, and what is missing of them.

What is not known is taken at its most favourable, so that a figure made of it is a bound; its name is
kept with those that would make the figure exact.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Mapping
from typing import NamedTuple

from ..quantities.book import Book
from ..quantities.conductor import warming
from ..quantities.operand import ABSENT, EXACT, NO_LESS, NO_MORE, NOTHING, Side
from .course import Road
from .drive import BY_GRIP, Drive
from .train import Driven, Train

WINDING_degC = 80.0  # a motor ridden warm; common practice, no source
NOT_WITHOUT = (
    "motor.kv_rpm_per_V",
    "drivetrain.ratio",
    "drivetrain.circumference_m",
    "motor.driven_A_rms",
    "settings.battery_current_A",
    "pack.nominal_V",
)


class RiddenMotors(NamedTuple):
    """The books of several motors in one mode.

    `whole` has what all have together, `plain` each motor's own, which knows nothing of the others;
    `boxes` says by name of a motor which controller drives it.
    """

    whole: Book
    plain: Mapping[str, Book]
    boxes: Mapping[str, Hashable]


Ridden = Book | RiddenMotors


class Vehicle(NamedTuple):
    """A vehicle in one mode, ready to be ridden on paper.

    `lacking` names what nothing can be worked out without; where there is such, `drive` is None.
    `standing` names what would make the drive's figures exact at a standstill, `moving` at speed,
    `rolling` and `air` what the road's resistance lacks. With `unknown_weakening` nothing can be told
    at speed: field weakening or what it does is not known.
    """

    drive: Driven | None
    road: Road | None
    lacking: frozenset[str] = NOTHING
    standing: frozenset[str] = NOTHING
    moving: frozenset[str] = NOTHING
    rolling: frozenset[str] = NOTHING
    air: frozenset[str] = NOTHING
    unknown_weakening: frozenset[str] = NOTHING


def vehicle_of(ridden: Ridden, grade_percent: float = 0.0) -> Vehicle:
    """What a book, or those of several motors, say of drive and road."""
    if isinstance(ridden, RiddenMotors):
        return _of_motors(ridden, grade_percent)
    book = ridden
    lacking = [book.operand(name) for name in NOT_WITHOUT if not _usable(book, name)]
    if lacking:
        names = (name for name in NOT_WITHOUT if not _usable(book, name))
        missing = NOTHING.union(*(operand.missing for operand in lacking))
        return Vehicle(None, None, missing or frozenset(names))
    rolls, air, still, fast = BookReader(book), BookReader(book), BookReader(book), BookReader(book)
    road = _road(rolls, air, grade_percent)
    drive = _drive(still, fast)
    standing, moving = still.missing, still.missing | fast.missing
    unknown = _unknown_weakening(book)
    return Vehicle(drive, road, NOTHING, standing, moving, rolls.missing, air.missing, unknown)


def _of_motors(motors: RiddenMotors, grade_percent: float) -> Vehicle:
    """Several motors on one road; what one of them lacks, the vehicle lacks."""
    each = {name: vehicle_of(book, grade_percent) for name, book in motors.plain.items()}
    first = next(iter(each.values()))
    drives = {name: one.drive for name, one in each.items() if isinstance(one.drive, Drive)}
    whole = Train(tuple(_sharing(drives, motors).values())) if len(drives) == len(each) else None
    missing = [
        NOTHING.union(*ends) for ends in zip(*(one[2:] for one in each.values()), strict=True)
    ]
    return Vehicle(whole, first.road if whole else None, *missing)


def _sharing(drives: Mapping[str, Drive], motors: RiddenMotors) -> dict[str, Drive]:
    """The drives, those on one controller sharing what it may draw as their settings stand to each other."""
    shared = dict(drives)
    for box in set(motors.boxes.values()):
        mates = [name for name in drives if motors.boxes[name] == box]
        rating = motors.plain[mates[0]].operand("controller.battery_current_A") if mates else None
        drawn_A = sum(drives[name].battery_A for name in mates)
        if rating is None or not rating.known or drawn_A <= rating.number:
            continue
        for name in mates:
            shared[name] = drives[name]._replace(
                battery_A=drives[name].battery_A * rating.number / drawn_A,
                battery_limit="controller.battery_current_A",
            )
    return shared


class BookReader:
    """Reads numbers of a book and keeps the names of what was not there."""

    def __init__(self, book: Book) -> None:
        self.book = book
        self.missing: frozenset[str] = NOTHING

    def number(self, name: str, best: float, bound: Side = EXACT) -> float:
        """A quantity in its unit; where it is not known its most favourable value, `best`.

        A bound on the favourable side is better than none; what the vehicle has not is no limit.
        """
        operand = self.book.operand(name)
        if operand.side == ABSENT:
            return best
        if operand.known and operand.side in (EXACT, bound):
            if operand.side != EXACT:
                self.missing |= operand.missing or {name}
            return operand.number
        self.missing |= operand.missing or {name}
        return best


def _usable(book: Book, name: str) -> bool:
    operand = book.operand(name)
    return operand.known and operand.side in (EXACT, NO_MORE)


def _road(rolls: BookReader, air: BookReader, grade_percent: float) -> Road | None:
    """What holds the vehicle back; None without its mass. The lightest and smoothest is favourable."""
    total_kg = rolls.number("ride.combined_kg", 0.0, NO_LESS)
    rolling = rolls.number("vehicle.rolling_resistance", 0.0)
    drag_area_m2 = air.number("vehicle.drag_area_m2", 0.0)
    return Road(total_kg, rolling, drag_area_m2, grade_percent) if total_kg > 0.0 else None


def _drive(still: BookReader, fast: BookReader) -> Drive:
    book = still.book
    house, needed = (
        BookReader(book),
        [still.number(name, math.inf, NO_MORE) for name in NOT_WITHOUT],
    )
    kv, ratio, circumference_m, phase_A_rms, battery_A, open_V = needed
    box_A = fast.number("controller.battery_current_A", math.inf)
    given_A_rms = book.operand("settings.phase_current_A_rms")
    set_low = given_A_rms.known and given_A_rms.number <= phase_A_rms
    phase_set, battery_set = set_low, battery_A <= box_A
    henry = fast.number("motor.phase_inductance_uH", 0.0) / 1e6
    cutoff_V = fast.number("settings.low_voltage.cutoff_V", 0.0)
    return Drive(
        kv_rpm_per_V=kv,
        phase_A_rms=phase_A_rms,
        battery_A=min(battery_A, box_A),
        open_V=open_V,
        ratio=ratio,
        circumference_m=circumference_m,
        efficiency=still.number("drivetrain.efficiency_to_wheel", 1.0, NO_MORE),
        phase_ohm=still.number("motor.phase_to_neutral_mohm", 0.0) / 1e3 * warming(WINDING_degC),
        inductance_H=henry,
        pole_pairs=fast.number("motor.pole_pairs", 1.0) if henry else 1.0,
        weakening_A_rms=BookReader(book).number("settings.field_weakening_A_rms", 0.0),
        weakening_within=book.operand("controller.phase_limit_covers_field_weakening").value
        is True,
        loop_ohm=fast.number("pack.loop_mohm", 0.0, NO_LESS) / 1e3,
        taper_from_V=fast.number("settings.low_voltage.taper_from_V", cutoff_V),
        cutoff_V=cutoff_V,
        modulation=house.number("house.modulation", 1.0),
        controller_efficiency=house.number("house.efficiency_controller", 1.0),
        max_rpm=fast.number("settings.max_rpm", math.inf),
        grip_N=still.number(BY_GRIP, math.inf),
        phase_limit=f"{'settings' if phase_set else 'controller'}.phase_current_A_rms",
        battery_limit=f"{'settings' if battery_set else 'controller'}.battery_current_A",
    )


def _unknown_weakening(book: Book) -> frozenset[str]:
    """What keeps every figure at speed open: field weakening, or the inductance that it works on."""
    weakening = book.operand("settings.field_weakening_A_rms")
    if weakening.side == ABSENT or (weakening.known and weakening.number <= 0.0):
        return NOTHING
    if not weakening.known:
        return weakening.missing or frozenset({"settings.field_weakening_A_rms"})
    names = ("motor.phase_inductance_uH", "motor.pole_pairs", "motor.phase_to_neutral_mohm")
    return NOTHING.union(
        *(book.operand(name).missing or {name} for name in names if not book.operand(name).known)
    )
