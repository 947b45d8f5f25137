"""What the next mechanic and the rider need of a vehicle: its parts, its ride in figures, its cautions."""

from __future__ import annotations

from collections.abc import Iterator

from ..documents.profile import Profile
from ..documents.units import unit_of_key
from ..expressions.formatting import MOST_DIGITS, shown
from ..expressions.names import title_of
from ..judgement.hand_over import HandOver, exact_number
from ..quantities.book import Book
from ..riding.ride_figures import Ride
from .ride import figure_words, is_exact
from .section import Line, Passage, Section, Table

# What a mechanic looks for before a tool is in the hand; of several motors some are each one's own.
LOOKED_FOR = (
    "vehicle.name",
    "vehicle.use",
    "vehicle.wheels",
    "pack.cell.chemistry",
    "pack.series",
    "pack.parallel",
    "pack.full_V",
    "pack.bms.continuous_A",
    "wiring.battery_cable_mm2",
    "wiring.phase_cable_mm2",
    "wiring.fuse.rated_A",
    "wiring.fuse.rated_V",
    "wiring.contactor",
    "wiring.contactor.rated_A",
    "wiring.kill_switch",
    "wiring.kill_switch.opens",
    "controller.max_V",
    "controller.firmware",
    "motor.magnets",
    "motor.position_sensor",
)
NAMED_PARTS = {"pack.cell": "cells", "pack": "pack", "controller": "controller", "motor": "motor"}
EACH_MOTORS = ("controller", "motor")
CAPACITY = "pack.capacity_Ah"
FITTED = "fitted"
ON_THE_FLAT = (
    "Worked out, not measured, on the flat and without wind. Range is that in stop and go, until the pack "
    "is empty."
)
NOT_EXACT = "Something is missing for an exact figure: `gonogo ride` says what."


def vehicle_section(over: HandOver) -> Section:
    """The parts of the vehicle as they are entered; paper, which has the room, sets them in two columns."""
    cells: tuple[tuple[Line, ...], ...] = tuple(
        ((entry,), (value,)) for entry, value in _parts(over)
    )
    table = Table(("entry", "value"), cells, labels=False, headed=True)
    return Section("The vehicle", (table,), "whole")


def _parts(over: HandOver) -> list[tuple[str, str]]:
    """Each entry with its value or the name of its part; of several motors those of each."""
    rows: list[tuple[str, str]] = [*_named_parts(over.profile, ""), *_entries(over.profile)]
    book = _base(over)
    capacity = exact_number(book, CAPACITY)
    if capacity is not None and CAPACITY not in over.profile.givens:
        rows.append((title_of(CAPACITY), shown(capacity, "Ah")))
    for motor, own in over.profile.motors.items():
        known = {*over.profile.givens, *over.profile.absent}
        rows += [(f"{what}, motor {motor}", value) for what, value in _named_parts(own, motor)]
        for name in LOOKED_FOR:
            if name.startswith(EACH_MOTORS) and name not in known:
                rows += [(f"{what}, motor {motor}", value) for what, value in _entry(own, name)]
    return rows


def _base(over: HandOver) -> Book:
    return next(iter(next(iter(over.books.values())).values()))


def _named_parts(profile: Profile, motor: str) -> Iterator[tuple[str, str]]:
    """The names under which part files have the parts."""
    for section, what in NAMED_PARTS.items():
        if section in profile.parts and (not motor or section in EACH_MOTORS):
            yield what, profile.parts[section]


def _entries(profile: Profile) -> Iterator[tuple[str, str]]:
    for name in LOOKED_FOR:
        yield from _entry(profile, name)


def _entry(profile: Profile, name: str) -> Iterator[tuple[str, str]]:
    given = profile.givens.get(name)
    if name in profile.absent:
        yield title_of(name), "none"
    elif given is not None and given.value not in (FITTED, None):
        words = shown(given.entered, unit_of_key(given.entered_as), MOST_DIGITS)
        yield title_of(name), words.replace("_", " ")


def figures_section(over: HandOver) -> Section:
    """Top speed, range and steepest start of each mode."""
    rows: tuple[tuple[Line, ...], ...] = tuple(
        (
            (ride.mode or "base settings",),
            (figure_words(ride.flat_top_speed_km_h, "km_h"),),
            (figure_words(ride.full_top_speed_km_h, "km_h"),),
            (figure_words(ride.stop_and_go_range_km, "km"),),
            (_steady(ride),),
            (figure_words(ride.steepest_start_percent, "percent"),),
        )
        for ride in over.rides
    )
    heads = ("mode", "top speed", "pack full", "range", "steady range", "steepest start")
    table = Table(heads, rows, labels=False, headed=True)
    exact = all(map(is_exact, over.rides)) and not any(
        cell == ("–",) for row in rows for cell in row
    )
    note = ON_THE_FLAT if exact else f"{ON_THE_FLAT} {NOT_EXACT}"
    return Section("The ride", (Passage((note,)), table), "whole")


def _steady(ride: Ride) -> str:
    words = figure_words(ride.range_km, "km")
    return (
        words if ride.cruise_km_h is None else f"{words} at {shown(ride.cruise_km_h, '', 3)} km/h"
    )


def rider_section(over: HandOver) -> Section:
    """What a rider has to know of riding and charging, with the values of this vehicle."""
    points = tuple(Passage((one,), "·") for one in _cautions(over))
    return Section("Riding and charging", points, "whole")


def _cautions(over: HandOver) -> Iterator[str]:
    book = _base(over)

    def told(name: str, unknown: str) -> str:
        value = exact_number(book, name)
        return unknown if value is None else shown(value, unit_of_key(name))

    has_regen = not book.is_absent("settings.regen.")  # the dot: what lies below the section
    if has_regen:
        stop = told("settings.regen.stop_V", "the regen stop voltage")
        yield (
            f"With a full pack regen fades, and it ends at {stop}: just off the charger, and on a long "
            "descent, only the brakes stop the vehicle."
        )
    least = told("pack.cell.charge_from_degC", "the cells' lowest charging temperature")
    yield (
        f"Frost: charge no pack colder than {least}, let it warm up first; in the cold it sags, gives "
        f"less range{', and regen may be off' if has_regen else ''}."
    )
    most = told("pack.cell.charge_to_degC", "the cells' highest charging temperature")
    yield (
        f"Heat: charge no pack warmer than {most}; on a long climb power falls as motor and controller "
        "get hot. Stop and let them cool."
    )
    if not book.is_absent("settings.low_voltage."):
        taper = told("settings.low_voltage.taper_from_V", "the start of the low-voltage taper")
        cutoff = told("settings.low_voltage.cutoff_V", "the low-voltage cutoff")
        yield f"Power falls from {taper} downwards, and at {cutoff} the drive ends: be home before."
    if not book.is_absent("pack.charger."):
        volts = told("pack.charger.voltage_V", "its own")
        yield (
            f"Charge with this vehicle's charger alone ({volts}), where nothing burns and the way out "
            "stays free, and while somebody is awake near by."
        )
    yield "After a fall, water in the pack, a swollen cell or a smell: do not ride, do not charge."
