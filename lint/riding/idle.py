"""What the motors take unloaded, as their no-load test on the stand has it, at a speed on the road.

The test's power is iron, friction and the controller's own; its torque is taken to be the same at each
speed (common practice, no source), so that the power rises with speed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from ..quantities.book import Book
from ..quantities.operand import NOTHING
from .drive import Drive, rpm_at
from .ride_figures import Figure
from .train import Driven, drives_of

NO_LOAD_TEST = ("readings.no_load.battery_A", "readings.no_load.pack_V", "readings.no_load.rpm")


def idle_range(
    alone: Figure,
    driven: Driven | None,
    books: Mapping[str, Book],
    speed_km_h: float | None,
    whole: Book,
) -> Figure:
    """A range at a steady speed with the no-load losses drawn as well; `alone` is that without, `whole` has the pack."""
    missing = _unread(books.values())
    if alone.value is None or driven is None or speed_km_h is None or missing:
        return Figure(missing=alone.missing | missing, reason=alone.reason)
    pairs = zip(drives_of(driven), books.values(), strict=True)
    idle_A = sum(_idle_W(drive, book, speed_km_h) / drive.open_V for drive, book in pairs)
    capacity_Ah = whole.operand("pack.capacity_Ah").number
    drawn_A = capacity_Ah * speed_km_h / alone.value + idle_A
    km = capacity_Ah / drawn_A * speed_km_h
    return Figure(km, km)


def _unread(books: Iterable[Book]) -> frozenset[str]:
    """What of the no-load tests is not known."""
    unread = [
        (book, name) for book in books for name in NO_LOAD_TEST if not book.operand(name).known
    ]
    return NOTHING.union(*(book.operand(name).missing or {name} for book, name in unread))


def _idle_W(drive: Drive, book: Book, speed_km_h: float) -> float:
    battery_A, pack_V, rpm = (book.operand(name).number for name in NO_LOAD_TEST)
    return battery_A * pack_V * rpm_at(drive, speed_km_h) / rpm if rpm > 0.0 else 0.0
