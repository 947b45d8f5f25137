"""What is due over a shop: a vehicle a row, the soonest first, and the same for machines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, NamedTuple

from ..documents.text import so_many
from ..judgement.due import READ_BACK, Due, due_order
from .check_totals import Unread
from .record import unread_record
from .section import Card, Code, Line, Report, Row, Section, Table, Tone, Toned, row
from .unread_cards import unread_cards

DUE_EDITION = "due/1"
MOST_DAYS = 9999
NOTHING_DATED = "nothing is dated"


class DueVehicle(NamedTuple):
    """A vehicle with all that is due on it, the soonest first."""

    file: str
    name: str
    due: tuple[Due, ...]

    def within(self, days: int) -> tuple[Due, ...]:
        """What is due in so many days, or is over."""
        return tuple(one for one in self.due if one.within(days))


class ShopDue(NamedTuple):
    """All vehicles of a shop on a day, and what could not be read."""

    judged_on: str
    within_days: int
    vehicles: tuple[DueVehicle, ...]
    unread: tuple[Unread, ...]

    @property
    def quiet(self) -> tuple[DueVehicle, ...]:
        """The vehicles on which nothing is due."""
        return tuple(one for one in self.vehicles if not one.within(self.within_days))

    @property
    def only_unheld(self) -> tuple[DueVehicle, ...]:
        """The vehicles on which a read-back that was never done is due, and nothing else."""
        return tuple(
            one
            for one in self.vehicles
            if one.within(self.within_days)
            and all(each.do == READ_BACK for each in one.within(self.within_days))
        )

    @property
    def waiting(self) -> int:
        """On how many vehicles something is due."""
        return len(self.vehicles) - len(self.quiet)


def soonest_first(vehicles: Sequence[DueVehicle]) -> tuple[DueVehicle, ...]:
    """The vehicles by what is due next on each; those on which nothing is dated last."""
    dated = sorted(
        (one for one in vehicles if one.due), key=lambda one: (due_order(one.due[0]), one.file)
    )
    return (*dated, *(one for one in vehicles if not one.due))


def record(shop: ShopDue) -> dict[str, Any]:
    """What is due as plain data."""
    return {
        "gonogo": DUE_EDITION,
        "judged_on": shop.judged_on,
        "within_days": shop.within_days,
        "vehicles": [
            {
                "file": one.file,
                "name": one.name,
                "due": [_due_record(each, shop.within_days) for each in one.due],
            }
            for one in shop.vehicles
        ],
        "errors": [unread_record(error) for error in shop.unread],
    }


def _due_record(due: Due, within_days: int) -> dict[str, Any]:
    return {
        "what": due.what,
        "entry": due.entry,
        "motor": due.motor or None,
        "done": due.done,
        "last_day": due.last_day,
        "left_days": due.left_days,
        "holds_days": due.holds_days,
        "due": due.within(within_days),
        "do": due.do,
    }


def due_page(shop: ShopDue) -> Report:
    """A table of the vehicles with what is due on each; several alike, due at once, are one line above, quiet ones below."""
    quiet = shop.quiet if len(shop.quiet) > 1 else ()
    unheld = shop.only_unheld if len(shop.only_unheld) > 1 else ()
    listed = [one for one in shop.vehicles if one not in quiet and one not in unheld]
    rows = [cells for vehicle in listed for cells in _rows(vehicle, shop.within_days)]
    below: list[Line] = [
        (Code(vehicle.file),) if first else () for vehicle, first in _places(listed, shop)
    ]
    heads = ("vehicle", "what", "when", "last day")
    table = Table(heads, tuple(rows), labels=False, below=tuple(below), headed=True)
    said = f"{shop.waiting} of {so_many(len(shop.vehicles), 'vehicle')}"
    span = f"within {so_many(shop.within_days, 'day')} of {shop.judged_on}"
    due_now = bool(shop.waiting)
    tone: Tone = "incomplete" if due_now or shop.unread else "go"
    at_once = tuple(_unheld_rows(unheld))
    of_read = f"on {so_many(len(shop.vehicles), 'vehicle')} read, " if shop.unread else ""
    card = Card(
        verdict="DUE" if due_now else "NOTHING DUE",
        tone=tone,
        name=f"{said} {span}" if due_now else f"{of_read}{span}",
        sections=tuple(
            Section("", blocks) for blocks in (at_once, (table,) if rows else ()) if blocks
        ),
        closing=tuple(_quiet_rows(quiet)),
        stamped=True,
    )
    cards = (card,) if shop.vehicles else ()
    return Report("gonogo due", (*cards, *unread_cards(shop.unread)))


def _unheld_rows(unheld: Sequence[DueVehicle]) -> Iterator[Row]:
    """The vehicles on which nothing but a first read-back is due, in one line."""
    if unheld:
        names = ", ".join(one.name for one in unheld)
        said = f"{so_many(len(unheld), 'vehicle')}, due at once: {names}"
        yield row("read-back", said, f"{READ_BACK[0].upper()}{READ_BACK[1:]}.")


def _quiet_rows(quiet: Sequence[DueVehicle]) -> Iterator[Row]:
    """The vehicles on which nothing is due in one line, with the one that comes next.

    Each has the day of its readings at least, or that would be due.
    """
    if quiet:
        first, soonest = quiet[0], quiet[0].due[0]
        when = f"{soonest.what}, last day {soonest.last_day}"
        said = f"{so_many(len(quiet), 'vehicle')}; the next is {first.name}: {when}"
        yield row("nothing due", said, f"`--within {MOST_DAYS}` lists each of them")


def _places(listed: Sequence[DueVehicle], shop: ShopDue) -> Iterator[tuple[DueVehicle, bool]]:
    """The vehicle of each row, and whether it is the first one of it."""
    for vehicle in listed:
        for place in range(len(_told(vehicle, shop.within_days)) or 1):
            yield vehicle, not place


def _told(vehicle: DueVehicle, within_days: int) -> tuple[Due, ...]:
    """All that is due soon; where nothing is, what comes next."""
    return vehicle.within(within_days) or vehicle.due[:1]


def _rows(vehicle: DueVehicle, within_days: int) -> Iterator[tuple[Line, ...]]:
    """The next thing beside the vehicle's name; below it what else is due."""
    name: Line = (Toned(vehicle.name, "bold"),)
    if not vehicle.due:
        yield name, (NOTHING_DATED,), (), ("–",)
    for place, one in enumerate(_told(vehicle, within_days)):
        yield (
            name if not place else ("",),
            (one.what + (f", motor {one.motor}" if one.motor else ""),),
            due_words(one),
            (one.last_day or "–",),
        )


def due_table(due: Iterable[Due]) -> Table:
    """A row a thing that is due, the soonest first."""
    rows: tuple[tuple[Line, ...], ...] = tuple(
        ((f"{one.what}{whose_due(one)}",), due_words(one), (one.last_day or "–",), (one.do,))
        for one in due
    )
    return Table(("what", "when", "last day", "do"), rows, labels=False, right=(2,), headed=True)


def due_words(due: Due) -> Line:
    """When it is due, in days; what is over, or was never done, stands out."""
    if due.left_days is None:
        if due.done:
            return (Toned("the date lies ahead", "danger"),)
        return (Toned("no day entered", "danger" if due.counts else "advice"),)
    if due.left_days < 0:
        return (Toned(f"over for {so_many(-due.left_days, 'day')}", "danger"),)
    return (f"in {so_many(due.left_days, 'day')}" if due.left_days else "today",)


def whose_due(due: Due) -> str:
    """Whose it is, of several motors."""
    return f", motor {due.motor}" if due.motor else ""
