"""Second values of several motors: each motor's own where its readings part it from the others."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from ..documents.profile import BASE, Profile
from .catalogue import Catalogue
from .motor_books import hear_motors
from .motor_entries import Heard, MotorEntry
from .motor_proposal import first_moves, tuned_motors
from .proposal import Move, Point, starting_points
from .second_values import PASSES, is_as_before, is_moved, with_readings
from .verdict import READINGS


def motor_second_values(
    profile: Profile, catalogue: Catalogue, judged_on: str, early: Collection[str] = ()
) -> list[Move]:
    """What the readings make of each entry that still stands at its first value without them.

    As `second_values` of one motor. An entry that holds for several motors is moved where they come to
    the same; where they part, each that moves gets an entry of its own.
    """
    views = profile.motors.values()
    if not any(name.startswith(READINGS) for view in views for name in view.givens):
        return []
    now = _heard(profile, catalogue, judged_on)
    then = [_heard(with_readings(profile, kept), catalogue, judged_on) for kept in ((), early)]
    guesses = [
        (point, entry)
        for point in starting_points().values()
        if point.moves != "never"
        for entry in _entries(point, now)
        if any(_is_guess(point, entry, heard) for heard in then)
    ]
    changed: dict[str, list[Move]] = {}
    for _ in range(PASSES):
        before = dict(changed)
        for point, entry in guesses:
            others = [
                move for key, moves in changed.items() if key != entry.entered_as for move in moves
            ]
            changed.pop(entry.entered_as, None)
            tuned = tuned_motors(profile, others)
            moves = _moved(point, entry, _heard(tuned, catalogue, judged_on))
            if moves:
                changed[entry.entered_as] = moves
        if changed == before:
            break
    return [move for moves in changed.values() for move in moves]


def _heard(profile: Profile, catalogue: Catalogue, judged_on: str) -> Heard:
    return Heard(profile, hear_motors(profile, catalogue, judged_on), catalogue)


def _entries(point: Point, heard: Heard) -> Iterator[MotorEntry]:
    """The entries of a setting that stand in the base with a value."""
    name = point.setting
    having = [one for one, view in heard.profile.motors.items() if view.value(name) is not None]
    return heard.entries_of(name, BASE, having)


def _is_guess(point: Point, entry: MotorEntry, then: Heard) -> bool:
    """Whether an entry has the first value that would be proposed with fewer readings."""
    moves, _ = first_moves(point, entry.motors, then)
    told = {motor for move in moves for motor in move.motors}
    return told == set(entry.motors) and all(is_as_before(move.setting) for move in moves)


def _moved(point: Point, entry: MotorEntry, heard: Heard) -> list[Move]:
    """The values that readings move, none where they are unknown.

    An entry of several motors is moved for all of them where each by itself would come to the same.
    """
    moves, _ = first_moves(point, entry.motors, heard)
    if len(entry.motors) > 1:
        each = [move for motor in entry.motors for move in first_moves(point, (motor,), heard)[0]]
        if len({repr(move.setting.entered) for move in each}) > 1:
            moves = each
    return [move for move in moves if is_moved(move.setting, point)]
