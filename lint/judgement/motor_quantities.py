"""The quantities of several motors: which the vehicle has once, and which each motor has of its own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from ..documents.motors import MOTOR, MOTORS, OF_ONE_MOTOR
from ..documents.profile import BASE
from ..expressions.formatting import shown
from ..expressions.names import vocabulary
from ..quantities.book import Book
from ..quantities.registry import WORKED, rests_on, unit_of
from .motor_books import (
    AT_ITS_BATTERY,
    BATTERY,
    CLIMB,
    HOW,
    REGEN_SETTING,
    ROAD_SPEED,
    SAG,
    SHARED,
    OfMotor,
)

SECTIONS_OF_EACH = ("motor.", "settings.", "controller.", "drivetrain.")
ADDENDS_ALONE = frozenset(HOW) - {ROAD_SPEED, CLIMB, SAG}


class Having(NamedTuple):
    """A quantity as all motors have it together (no `motors`), or as each of some has it.

    `told` says of quantities of its book how they come about of several motors.
    """

    name: str
    motors: tuple[str, ...]
    book: Book
    told: Mapping[str, str]


def motor_quantity(asked: str, motors: Mapping[str, object]) -> tuple[str, str] | None:
    """The motor and the quantity of a name such as `motors.rear.kv_rpm_per_V`; None for any other."""
    section, _, rest = asked.partition(".")
    name = next((one for one in motors if rest.startswith(f"{one}.")), None)
    if section != MOTORS or name is None:
        return None
    inner = rest.removeprefix(f"{name}.")
    whole = f"{MOTOR}.{inner}"
    return name, inner if inner in vocabulary() and whole not in vocabulary() else whole


def key_of_motor(motor: str, name: str) -> str:
    """The name by which a quantity of one motor is asked for.

    >>> key_of_motor("rear", "motor.kv_rpm_per_V"), key_of_motor("rear", "ride.climb_N")
    ('motors.rear.kv_rpm_per_V', 'motors.rear.ride.climb_N')
    """
    return f"{MOTORS}.{motor}.{name.removeprefix(f'{MOTOR}.')}"


def havings(
    name: str, heard: Mapping[str, OfMotor], mode: str = BASE, deep: bool = True
) -> Iterator[Having]:
    """A quantity once for all motors together, then for each of them, those alike together.

    A quantity of the vehicle comes once; one of a motor comes together too where it adds up.
    Where it is `deep`, motors are alike in all that the quantity rests on, else in its value.
    """
    together = _together(name, heard, mode)
    if together is not None:
        yield together
    if together is None or name in ADDENDS_ALONE:
        yield from having_of_each(name, heard, mode, deep=deep)


def having_of_each(
    name: str,
    heard: Mapping[str, OfMotor],
    mode: str = BASE,
    only: str | None = None,
    deep: bool = True,
) -> Iterator[Having]:
    """A quantity as each motor has it, or `only` one of them."""
    alike: dict[str, list[str]] = {}
    books: dict[str, Book] = {}
    for motor, one in heard.items():
        if only in (None, motor):
            of_mode = one.books[mode]
            books[motor] = of_mode.alone if name in ADDENDS_ALONE or name == SAG else of_mode.own
            book = books[motor]
            below = sorted(rests_on(name)) if deep else [name]
            key = repr([(each, book.operand(each)[:2]) for each in below])
            alike.setdefault(key, []).append(motor)
    told = _told(heard, mode)
    for names in alike.values():
        kept = {} if name in HOW else told
        kept = {SAG: told[SAG]} if name in ADDENDS_ALONE else kept
        yield Having(name, tuple(names), books[names[0]], kept)


def _together(name: str, heard: Mapping[str, OfMotor], mode: str) -> Having | None:
    first = next(iter(heard.values())).books[mode]
    told = _told(heard, mode)
    if name in AT_ITS_BATTERY or name == REGEN_SETTING:
        return Having(name, (), first.shop, told)
    if name.startswith(tuple(f"{section}." for section in SHARED)):
        book = first.pack.told({BATTERY: first.pack.entry(BATTERY)})
        return Having(name, (), book, {key: said for key, said in told.items() if key != SAG})
    if name != CLIMB and (name in HOW or not _of_a_motor(name, first.own)):
        return Having(name, (), first.own, told)
    return None


def _of_a_motor(name: str, book: Book) -> bool:
    """Whether a quantity rests on anything that one motor may have other than another."""
    readings = tuple(".".join(("readings", *keys)) for keys in OF_ONE_MOTOR)
    waiting, seen = [name], {name}
    while waiting:
        one = waiting.pop()
        if one.startswith((*SECTIONS_OF_EACH, *readings)) or one == CLIMB:
            return True
        entry = book.entry(one)
        below = () if one in HOW else entry.inputs
        if entry.operand.value is None and one in WORKED and one not in HOW:
            below = tuple(rests_on(one))
        waiting += [each for each in below if each not in seen]
        seen.update(below)
    return False


def _told(heard: Mapping[str, OfMotor], mode: str) -> dict[str, str]:
    """How each quantity that several motors share comes about, with what each of them adds."""
    told: dict[str, str] = {}
    for name, how in HOW.items():
        parts = []
        for motor, one in heard.items():
            book = one.books[mode].alone
            operand = one.books[mode].speed if name == ROAD_SPEED else book.operand(name)
            parts.append(
                f"{motor} {shown(operand.value, unit_of(name))}" if operand.known else f"{motor} ?"
            )
        told[name] = how if name in (SAG, CLIMB) else f"{how}: {', '.join(parts)}"
    return told
