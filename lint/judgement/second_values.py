"""Second values: first values that were worked out without a reading, offered again once it is there."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from math import isclose

from ..documents.profile import Profile
from .catalogue import Catalogue
from .evaluation import Hearing, unheard
from .proposal import Point, Setting, first_value, starting_points, tuned
from .verdict import READINGS

_EQUAL = 1e-9
# A value that readings move may move the window of one before it.
PASSES = 2


def second_values(
    profile: Profile, catalogue: Catalogue, judged_on: str, early: Collection[str] = ()
) -> list[Setting]:
    """What the readings make of each setting that still stands at its first value without them.

    A first value may also have been worked out when only the readings `early` were there. A value
    that somebody chose is left alone, a limit on current, speed or temperature never goes up, and
    what no start may move is not moved.
    """
    if not any(name.startswith(READINGS) for name in profile.givens):
        return []
    then = [unheard(with_readings(profile, kept), catalogue, judged_on) for kept in ((), early)]
    points = [
        point
        for point in _movable(profile)
        if any(_is_guess(point, hearing, catalogue) for hearing in then)
    ]
    changed: dict[str, Setting] = {}
    for _ in range(PASSES):
        before = dict(changed)
        for point in points:
            others = [setting for name, setting in changed.items() if name != point.setting]
            changed.pop(point.setting, None)
            second = first_value(
                point, unheard(tuned(profile, others), catalogue, judged_on), catalogue
            )
            if isinstance(second, Setting) and is_moved(second, point):
                changed[point.setting] = second
        if changed == before:
            break
    return list(changed.values())


def _movable(profile: Profile) -> list[Point]:
    """The settings that stand in the base with a value, and may be moved."""
    return [
        point
        for point in starting_points().values()
        if point.moves != "never" and profile.value(point.setting) is not None
    ]


def with_readings(profile: Profile, kept: Collection[str]) -> Profile:
    """The profile, with each of its motors, as it was when only some readings were taken."""
    left = {
        name: given
        for name, given in profile.givens.items()
        if not name.startswith(READINGS) or name in kept
    }
    motors = {name: with_readings(view, kept) for name, view in profile.motors.items()}
    return replace(profile, givens=left, motors=motors)


def _is_guess(point: Point, then: Hearing, catalogue: Catalogue) -> bool:
    """Whether a setting has the first value that would be proposed with fewer readings."""
    guess = first_value(point, then, catalogue)
    return isinstance(guess, Setting) and is_as_before(guess)


def is_moved(second: Setting, point: Point) -> bool:
    """Whether readings give another value, on the side to which it may be moved."""
    if is_as_before(second):
        return False
    return point.moves == "either" or second.entered < second.before


def is_as_before(setting: Setting) -> bool:
    """Whether a value is the one that stands there."""
    one, other = setting.entered, setting.before
    if isinstance(one, float | int) and isinstance(other, float | int):
        return isclose(one, other, rel_tol=_EQUAL, abs_tol=_EQUAL)
    return bool(one == other)
