"""The books of several motors on one pack: each motor's own, and those of what they share.

A motor is an overlay over the vehicle, as a mode is. So each has a book of its own, in which the
others show only where they are felt: the pack sags under all of them, their thrusts add, the fastest
turns the wheels, and the voltage of the common bus reaches the controller that withstands least. Rules about what they share (pack, wiring, a shared controller) read other books of
it, in which a current at the battery is the sum over the motors.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import replace
from typing import NamedTuple, Protocol

from ..documents.profile import BASE, Profile
from ..quantities.book import Book, Entry
from ..quantities.operand import EXACT, NO_MORE, NOTHING, Operand
from ..quantities.registry import affected
from .catalogue import Catalogue
from .evaluation import Hearing, Ruling, book_of, ruling, settle_any
from .motor_sums import MAX_V, greatest, held_on_bus, summed, weakest_of, withstands_less
from .rule import Rule

CONTROLLER = "controller"
BATTERY = "settings.battery_current_A"
REGEN = "controller.regen_battery_A"
REGEN_SETTING = "settings.regen.battery_current_A"
CAPACITANCE = "controller.input_capacitance_uF"
WINDINGS = "controller.regen_winding_J"
DRIVE_WINDINGS = "controller.drive_winding_J"
SAG = "pack.sag_V"
PUSH = "ride.push_N"
BRAKING = "ride.regen_N"
CHARGED_BRAKING = "ride.charged_regen_N"
SHAFT_POWER = "ride.shaft_power_W"
ROAD_SPEED = "ride.reachable_km_h"
CLIMB = "ride.hold_N"
MOTOR_TORQUE, REDUCTION, CIRCUMFERENCE = (
    "motor.torque_Nm",
    "drivetrain.ratio",
    "drivetrain.circumference_m",
)
# What is not as one motor alone would have it, and how it comes about.
HOW = {
    **dict.fromkeys(
        (BATTERY, REGEN, REGEN_SETTING, WINDINGS, DRIVE_WINDINGS), "sum over the motors"
    ),
    CAPACITANCE: "sum over the controllers",
    **dict.fromkeys((PUSH, BRAKING, CHARGED_BRAKING, SHAFT_POWER), "sum over the motors"),
    SAG: "sag under all motors together",
    ROAD_SPEED: "highest of the motors",
    CLIMB: "share of this motor in the force that holds the vehicle on the grade",
}
SUMS = frozenset(HOW)
AT_ONE_BUS = (BATTERY, REGEN, WINDINGS, DRIVE_WINDINGS)  # of all motors added
AT_THE_BATTERY = frozenset((*AT_ONE_BUS, REGEN_SETTING, CAPACITANCE))
AT_ITS_BATTERY = (BATTERY, REGEN, CAPACITANCE)
ADDED = (SHAFT_POWER, PUSH, BRAKING, CHARGED_BRAKING)
OF_MOTOR, OF_PACK, OF_CONTROLLER, OF_SHOP = range(4)  # the books, in the order of `Books`
SHARED = ("pack", "wiring")  # topics of rules about what the motors share
OF_ONE = ("motor.", "settings.phase_current", "settings.regen.phase_current", "controller.")


class Books(NamedTuple):
    """The books of one motor in one mode.

    `own` is for rules about the motor, `pack` for those about what all motors share, `controller` for
    those about its controller's battery side, `shop` for a shop's own rules about currents; `alone`
    says what the motor adds to the sums, `speed` how fast it drives by itself.
    """

    own: Book
    pack: Book
    controller: Book
    shop: Book
    alone: Book
    speed: Operand

    @property
    def books(self) -> tuple[Book, Book, Book, Book]:
        """Those that rules are judged by, in the order of `which_book`."""
        return self.own, self.pack, self.controller, self.shop


class OfMotor(NamedTuple):
    """One motor heard: its hearing by its own book, and the books of each mode.

    `shares` is true where its controller drives other motors too. `weakest` is the motor on the bus
    whose controller withstands less voltage than its own, if there is one. `plain` has the book of
    each mode that knows nothing of the other motors.
    """

    hearing: Hearing
    books: Mapping[str, Books]
    shares: bool
    weakest: str | None
    plain: Mapping[str, Book]


def which_book(rule: Rule) -> int:
    """The number of the book, as `Books` has them, by which a rule is judged.

    What a controller itself withstands is its own; that of `OF_CONTROLLER` alone knows nothing of the bus.
    """
    if rule.of == MAX_V:
        return OF_CONTROLLER
    if rule.own:
        shared = not AT_THE_BATTERY.isdisjoint(rule.reads)
        one = any(name.startswith(OF_ONE) and name not in AT_THE_BATTERY for name in rule.reads)
        of_pack = any(name.startswith(("pack.", "wiring.")) for name in rule.reads)
        return OF_SHOP if of_pack or (shared and not one) else OF_MOTOR
    if rule.topic in SHARED:
        return OF_PACK
    rated = "controller.battery_current_A" in rule.reads
    return OF_CONTROLLER if rated and not {BATTERY, REGEN}.isdisjoint(rule.reads) else OF_MOTOR


class TakenOver(Protocol):
    """What is known of the books and rulings of a vehicle that is nearly the same."""

    def plain(self, motor: str, book: Book) -> None:
        """Take over what a motor alone comes to in its base settings."""

    def taken_over(
        self, motor: str, view: Profile, books: Mapping[str, Books]
    ) -> Mapping[str, tuple[frozenset[str], ...]]:
        """Take over what the books of a motor come to; by mode, the names of each book that moved."""

    def rulings(self, motor: str, mode: str) -> Mapping[str, Ruling]:
        """What the rules came to."""


class Stages(NamedTuple):
    """How the books of several motors in one mode come about, each step by motor.

    `turned` knows the road speed of the fastest motor, `loaded` the battery current of all, `sagging`
    how far the pack sags under it.
    """

    plain: Mapping[str, Book]
    turned: Mapping[str, Book]
    loaded: Mapping[str, Book]
    sagging: Mapping[str, Book]
    books: dict[str, Books]


def stages_of(
    views: Mapping[str, Profile], plain: Mapping[str, Book], bases: Mapping[str, Books]
) -> Stages:
    """The books of each motor in one mode, from plain ones that know nothing of the other motors.

    `bases` are those of the base settings, where it is a mode.
    """
    speed = {ROAD_SPEED: greatest(book.operand(ROAD_SPEED) for book in plain.values())}
    turned = {name: _told(book, speed) for name, book in plain.items()}
    boxes = {name: view.sections.get(CONTROLLER) for name, view in views.items()}
    capacitances = {boxes[name]: book.operand(CAPACITANCE) for name, book in turned.items()}
    currents = {
        **{quantity: _sum(quantity, turned) for quantity in AT_ONE_BUS},
        CAPACITANCE: summed(capacitances.values()),
    }
    loaded = {name: _told(book, {BATTERY: currents[BATTERY]}) for name, book in turned.items()}
    sag = {name: book.operand(SAG) for name, book in loaded.items()}
    sagging = {name: _told(book, {SAG: sag[name]}) for name, book in turned.items()}
    together = {quantity: _sum(quantity, sagging) for quantity in ADDED}
    setting = {REGEN_SETTING: _sum(REGEN_SETTING, turned)}
    climb = _climb(sagging)
    found: dict[str, Books] = {}
    for name, book in plain.items():
        base = bases.get(name)
        felt = {**speed, **together, SAG: sag[name], CLIMB: climb[name]}
        mates = {one: turned[one] for one, box in boxes.items() if box == boxes[name]}
        of_box = {quantity: _sum(quantity, mates) for quantity in (BATTERY, REGEN)}
        bus = held_on_bus(name, plain)
        found[name] = Books(
            _told(bus, felt, base and base.own),
            _told(bus, {**felt, **currents}, base and base.pack),
            _told(book, {**felt, **of_box}, base and base.controller),
            _told(bus, {**felt, **currents, **setting}, base and base.shop),
            _told(sagging[name], {}, base and base.alone),
            book.operand(ROAD_SPEED),
        )
    return Stages(plain, turned, loaded, sagging, found)


def _sum(quantity: str, books: Mapping[str, Book]) -> Operand:
    return summed(book.operand(quantity) for book in books.values())


def _told(book: Book, operands: Mapping[str, Operand], base: Book | None = None) -> Book:
    """A book with quantities as all motors have them; each still points at its motor's own entry."""
    entries: dict[str, Entry] = {}
    for name, operand in operands.items():
        entry = book.entry(name)
        worked = entry.worked
        if worked is not None and worked.words != HOW[name]:
            worked = replace(worked, formula="", words=HOW[name])
        entries[name] = entry._replace(operand=operand, worked=worked)
    return book.told(entries, base)


def _climb(books: Mapping[str, Book]) -> dict[str, Operand]:
    """What each motor has of the force that holds the vehicle on its steepest grade.

    Each carries a part as its torque at the wheel is of the torque of all: at one throttle they push so.
    """
    weights = {name: _torque_at_wheel(book) for name, book in books.items()}
    whole = summed(weights.values())
    shares: dict[str, Operand] = {}
    for name, book in books.items():
        force, own = book.operand(CLIMB), weights[name]
        if force.value is None:
            shares[name] = force
        elif whole.side == own.side == EXACT and whole.value and own.value is not None:
            shares[name] = force._replace(value=force.number * own.number / whole.number)
        else:  # as if it had to climb alone: enough to be clear, not enough to refuse
            shares[name] = force._replace(side=NO_MORE, missing=force.missing | whole.missing)
    return shares


def _torque_at_wheel(book: Book) -> Operand:
    """The motor's torque at the wheel over the wheel's circumference, losses left out."""
    parts = [book.operand(name) for name in (MOTOR_TORQUE, REDUCTION, CIRCUMFERENCE)]
    if any(part.value is None for part in parts):
        return Operand(None, EXACT, NOTHING.union(*(part.missing for part in parts)))
    torque, ratio, circumference = parts
    return torque._replace(value=torque.number * ratio.number / circumference.number)


def books_of_motors(
    profile: Profile, judged_on: str, before: TakenOver | None = None
) -> tuple[dict[str, dict[str, Book]], dict[str, dict[str, Books]]]:
    """The plain books and those in which the others are felt, by motor and mode."""
    views = profile.motors
    plain = {name: {BASE: book_of(view, judged_on)} for name, view in views.items()}
    for name, view in views.items():
        if before is not None:
            before.plain(name, plain[name][BASE])
        for mode, changes in view.modes.items():
            plain[name][mode] = plain[name][BASE].overlaid(changes)
    books: dict[str, dict[str, Books]] = {name: {} for name in views}
    for mode in (BASE, *profile.modes):
        bases = {name: known[BASE] for name, known in books.items() if mode != BASE}
        at_mode = {name: known[mode] for name, known in plain.items()}
        for name, of_mode in stages_of(views, at_mode, bases).books.items():
            books[name][mode] = of_mode
    return plain, books


def hear_motors(
    profile: Profile, catalogue: Catalogue, judged_on: str, before: TakenOver | None = None
) -> dict[str, OfMotor]:
    """Each motor heard, in the base settings and in each mode; `before` spares what did not move."""
    views = profile.motors
    plain, books = books_of_motors(profile, judged_on, before)
    boxes = Counter(view.sections.get(CONTROLLER) for view in views.values())
    based = {name: known[BASE] for name, known in plain.items()}
    weakest = weakest_of(based)
    return {
        name: OfMotor(
            _hearing(name, view, catalogue, books[name], before),
            books[name],
            boxes[view.sections.get(CONTROLLER)] > 1,
            weakest if weakest and withstands_less(based[weakest], based[name]) else None,
            plain[name],
        )
        for name, view in views.items()
    }


def _hearing(
    motor: str,
    view: Profile,
    catalogue: Catalogue,
    books: Mapping[str, Books],
    before: TakenOver | None,
) -> Hearing:
    rules = [(rule, which_book(rule)) for rule in catalogue.about("profile")]
    gone = before.taken_over(motor, view, books) if before is not None else {}
    rulings: dict[str, dict[str, Ruling]] = {}
    for mode, of_mode in books.items():
        moved = affected(SUMS.union(view.modes[mode])) if mode != BASE else frozenset()
        known = before.rulings(motor, mode) if before is not None else {}
        rulings[mode] = {
            rule.id: known[rule.id]
            if rule.modes != "any"
            and rule.id in known
            and gone[mode][number].isdisjoint(rule.reads)
            else ruling(rule, of_mode.books[number])
            for rule, number in rules
            if mode == BASE or (rule.modes != "base" and not moved.isdisjoint(rule.reads))
        }
    for rule, _ in rules if view.modes else ():
        if rule.modes == "any":
            settle_any(rule.id, rulings)
    return Hearing(view, {mode: of_mode.own for mode, of_mode in books.items()}, rulings)
