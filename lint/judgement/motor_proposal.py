"""First values of several motors: one entry where they come to the same, else one under each motor."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from ..documents.motors import MOTORS, entry_path
from ..documents.profile import BASE, Given, Profile
from ..documents.schema import Property, canonical, entered_under, properties
from ..quantities.book import Book
from ..quantities.registry import unit_of
from .catalogue import Catalogue
from .clause import in_force
from .evaluation import gate_of, ruling
from .frame import FIXED
from .motor_books import AT_THE_BATTERY, SHARED, OfMotor, hear_motors, which_book
from .motor_entries import Heard
from .motor_window import motor_window
from .proposal import (
    PROPOSAL_PASSES,
    Move,
    Point,
    Setting,
    Unfilled,
    held_back_by,
    placed,
    set_first,
    starting_points,
    tuned,
)
from .rule import STOPS


def tuned_motors(profile: Profile, moves: Iterable[Move]) -> Profile:
    """The profile as it would read with the values entered, each for its motors."""
    moves = list(moves)
    motors = {
        name: tuned(view, [move.setting for move in moves if name in move.motors])
        for name, view in profile.motors.items()
    }
    return replace(profile, motors=motors)


def motor_proposals(
    profile: Profile, catalogue: Catalogue, judged_on: str
) -> tuple[list[Move], list[Unfilled]]:
    """A first value for every setting that a motor lacks, and what stays open."""
    proposed: dict[str, list[Move]] = {}
    unfilled: dict[str, Unfilled] = {}
    for _ in range(PROPOSAL_PASSES):
        before = dict(proposed)
        for point in starting_points().values():
            name = point.setting
            missing = [one for one, view in profile.motors.items() if name not in view.givens]
            if not missing:
                continue
            others = [move for key, moves in proposed.items() if key != name for move in moves]
            tried = tuned_motors(profile, others)
            heard = Heard(tried, hear_motors(tried, catalogue, judged_on), catalogue)
            moves, left = first_moves(point, missing, heard)
            proposed.pop(name, None)
            unfilled.pop(name, None)
            if moves:
                proposed[name] = moves
            if left is not None:
                unfilled[name] = left
        if proposed == before:
            break
    return [move for moves in proposed.values() for move in moves], list(unfilled.values())


def first_moves(
    point: Point, of: Sequence[str], heard: Heard
) -> tuple[list[Move], Unfilled | None]:
    """The first values of one setting, for those of these motors that have a use for it.

    Either none of them has an entry of it, or one entry holds for them all.
    """
    starts: dict[str, Any] = {}
    wanting: set[str] = set()
    for motor in of:
        value, lacks = _start(point, motor, heard)
        if value is not None:
            starts[motor] = value
        wanting |= lacks
    if not starts or wanting:
        return [], Unfilled(point.setting, tuple(sorted(wanting))) if wanting else None
    (entry, *_) = heard.entries_of(point.setting, BASE, starts)
    entry = entry._replace(motors=tuple(starts))
    property_ = _property_of(point.setting, entry.given)
    numeric = property_.kind in ("number", "integer") and point.setting not in FIXED
    if numeric:
        window = motor_window(entry, heard)
        if window.best is None:
            views = heard.profile.motors
            first = tuple(
                dict.fromkeys(
                    name
                    for one in starts
                    for name in set_first(
                        point.setting, window.conflict, views[one], heard.catalogue
                    )
                )
            )
            return [], Unfilled(point.setting, first, () if first else window.conflict)
        starts = {
            motor: placed((value - property_.offset) / property_.factor, point.moves, window)
            for motor, value in starts.items()
        }
    elif property_.kind == "integer":
        starts = {motor: int(value) for motor, value in starts.items()}
    moves = _moves(point, starts, heard, entry.given)
    waits = _waits_for(moves, point, heard) if numeric else ()
    return ([], Unfilled(point.setting, waits)) if waits else (moves, None)


def _property_of(name: str, given: Given | None) -> Property:
    """The key that a setting is entered under: the one that stands there, else the canonical one."""
    known = canonical()[name]
    return known if given is None else properties()[entry_path(given.entered_as)]


def _moves(point: Point, values: dict[str, Any], heard: Heard, given: Given | None) -> list[Move]:
    """One entry for all motors where they come to the same and none has its own, else one for each."""
    name = point.setting
    property_ = _property_of(name, given)
    before = None if given is None else given.entered

    def setting(key: str, value: Any) -> Setting:
        because, offset = point.because, property_.offset
        return Setting(name, BASE, key, value, property_.factor, before, because, offset)

    same = len({repr(value) for value in values.values()}) == 1
    whose = heard.profile.motors if given is None else holders(given, name, heard.profile)
    if same and len(values) == len(whose):
        value = next(iter(values.values()))
        key = property_.path if given is None else given.entered_as
        return [Move(setting(key, value), tuple(values))]
    return [
        Move(setting(f"{MOTORS}.{motor}.{property_.path}", value), (motor,))
        for motor, value in values.items()
    ]


def holders(given: Given, name: str, profile: Profile) -> list[str]:
    """The motors for which one entry of a setting holds."""
    views = profile.motors.items()
    return [
        motor
        for motor, view in views
        if (own := view.givens.get(name)) is not None and own.place == given.place
    ]


def _start(point: Point, motor: str, heard: Heard) -> tuple[Any, frozenset[str]]:
    """The start of one motor; of what all draw from one pack each has an equal part."""
    one = heard.motors[motor]
    book = one.books[BASE].own
    nothing: frozenset[str] = frozenset()
    if book.is_absent(point.setting):
        return None, nothing
    if point.when is not None:
        modes = in_force(point.setting, BASE, one.hearing)
        answers = [point.when.evaluate(one.books[mode].own.operand) for mode in modes]
        if not any(answer.value for answer in answers):
            return None, nothing.union(*(answer.missing for answer in answers))
    if point.setting in AT_THE_BATTERY:
        book = _shared_out(book, point, len(heard.motors))
    missing = nothing
    for start in point.starts:
        operand = start.evaluate(book.operand)
        if operand.value is not None:
            return operand.value, nothing
        missing = missing or operand.missing
    return None, missing


def _shared_out(book: Book, point: Point, motors: int) -> Book:
    """The book with an equal part of each current that pack and wiring are rated for."""
    entries = {}
    for name in point.reads:
        entry = book.entry(name)
        if name.split(".")[0] in SHARED and unit_of(name) == "A" and entry.operand.known:
            part = entry.operand.number / motors
            entries[name] = entry._replace(operand=entry.operand._replace(value=part))
    return book.told(entries)


def _waits_for(moves: Sequence[Move], point: Point, heard: Heard) -> tuple[str, ...]:
    """What is not known of the build and could still refuse the values, once they are entered."""
    name = point.setting
    tried = tuned_motors(heard.profile, moves)
    motors = hear_motors(tried, heard.catalogue, _day(heard))
    missing: set[str] = set()
    for motor in (motor for move in moves for motor in move.motors):
        if point.moves == "down" and _is_off(moves, motor, name):
            continue
        for rule in heard.catalogue.about("profile"):
            grave = {heard.catalogue.severity(rule), rule.gravest} & set(STOPS)
            if rule.points_at != name or not grave:
                continue
            book = motors[motor].books[BASE].books[which_book(rule)]
            if gate_of(rule, book) is not None:
                missing |= held_back_by(ruling(rule, book))
    return tuple(sorted(map(entered_under, missing)))


def _is_off(moves: Sequence[Move], motor: str, name: str) -> bool:
    lowest = canonical()[name].lowest or 0.0
    return any(motor in move.motors and move.setting.entered <= lowest for move in moves)


def _day(heard: Heard) -> str:
    one: OfMotor = next(iter(heard.motors.values()))
    return str(one.books[BASE].own.operand("judged.on").value)
