"""What the pack gives beside the push: the motors' no-load losses, other loads, and what it keeps.

A no-load test's power is iron, friction and the controller's own; its torque is taken to be the same at
each speed (common practice, no source), so that the power rises with speed.
"""

from __future__ import annotations

from collections.abc import Mapping

from ..quantities.book import Book
from ..quantities.number import near
from ..quantities.operand import NOTHING
from .course import BesidePush
from .drive import Drive, rpm_at
from .train import Driven, drives_of

NO_LOAD_TEST = ("readings.no_load.battery_A", "readings.no_load.pack_V", "readings.no_load.rpm")
_STATED = "motor.no_load_A"
_LOADS = ("wiring.loads_stated_A", "wiring.loads_power_W")
_CUTOFF, _EMPTY = "settings.low_voltage.cutoff_V", "pack.working_minimum_V"
CHARGE_LEFT = "the low-voltage cutoff comes before the charge is used"


def beside_of(
    driven: Driven, motors: Mapping[str, Book], whole: Book
) -> tuple[BesidePush, frozenset[str]]:
    """What is drawn beside the push, and what is missing of it: without it a range is no more than told."""
    drives = drives_of(driven)
    missing, idle_A = NOTHING, 0.0
    for drive, book in zip(drives, motors.values(), strict=True):
        per_km_h, unread = _idle_per_km_h(drive, book)
        idle_A, missing = idle_A + per_km_h, missing | unread
    stated, power = (whole.operand(name) for name in _LOADS)
    missing |= stated.missing | power.missing
    always_A = stated.number if stated.known else 0.0
    always_A += power.number / drives[0].open_V if power.known else 0.0
    return BesidePush(always_A, idle_A), missing


def _idle_per_km_h(drive: Drive, book: Book) -> tuple[float, frozenset[str]]:
    """Battery current of one unloaded motor for each km/h: as measured, else as its datasheet states it.

    The datasheet's current flows at the no-load speed kv × U, so that its power is I·rpm/kv.
    """
    rpm_per_km_h = rpm_at(drive, 1.0)
    read = [book.operand(name) for name in NO_LOAD_TEST]
    if all(one.known for one in read) and read[2].number > 0.0:
        battery_A, pack_V, rpm = (one.number for one in read)
        return battery_A * pack_V / rpm * rpm_per_km_h / drive.open_V, NOTHING
    stated = book.operand(_STATED)
    if stated.known:
        return stated.number / drive.kv_rpm_per_V * rpm_per_km_h / drive.open_V, NOTHING
    named = zip(NO_LOAD_TEST, read, strict=True)
    return 0.0, NOTHING.union(*(one.missing or {name} for name, one in named if not one.known))


def leaves_charge(book: Book) -> bool:
    """Whether the cutoff lies above the voltage at which the cells are empty in use."""
    cutoff, empty = book.operand(_CUTOFF), book.operand(_EMPTY)
    if not (cutoff.known and empty.known):
        return False
    return cutoff.number > empty.number and not near(cutoff.number, empty.number)
